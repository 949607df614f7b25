"""The pictures of a round: rate and amplitude by position, and the balance with its heavy spot."""

import hashlib
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.storage.files import write_whole
from sideshake.storage.folder import made
from sideshake.timing.poise.heavy_spot import find_poise
from sideshake.timing.poise.of_round import hanging_of
from sideshake.timing.positions.summary import HeardRound
from sideshake.timing.repeatability import laid_again
from sideshake.web.models import Round
from sideshake.web.readings.heard_rows import PICTURES
from sideshake.web.readings.kept_figures import round_read

POSITIONS, SPOT = "positions", "spot"


def picture_of(found: Round, drawn: str) -> bytes:
    """Return a picture of a round as SVG.

    Raises
    ------
    InputError : there is no such picture
    NotEnough : nothing was heard; or there is no heavy spot to be told, and why
    """
    heard = round_read(found.readings.all(), found.wound).heard
    if drawn == POSITIONS:
        return drawn_positions(laid_again(heard))
    if drawn == SPOT:
        return drawn_spot(heard)
    raise InputError(_("a round is drawn by position, or with its heavy spot"))


def drawn_positions(heard: HeardRound) -> bytes:
    """Return rate and amplitude by position; what was drawn once lies in the folder of files."""
    name = hashlib.sha256(repr(heard).encode()).hexdigest()[:32]
    path = made(Path(settings.FILES) / PICTURES) / f"round-{name}.svg"
    if not path.exists():
        write_whole(path, positions_svg(heard).encode())
    return path.read_bytes()


def positions_svg(heard: HeardRound) -> str:
    """Return the chart, with the readings with the chronograph running laid over the others."""
    from sideshake.drawings.page import svg_text
    from sideshake.drawings.positions import DrawnRound, positions_chart

    drawn = [on for on in (False, True) if heard.latest(chronograph_on=on)]
    off = _("chronograph off") if True in drawn else _("this round")
    names = {False: off, True: _("chronograph running")}
    return svg_text(
        positions_chart(
            [DrawnRound(name=names[on], heard=heard, chronograph_on=on) for on in drawn]
        )
    )


def drawn_spot(heard: HeardRound) -> bytes:
    """Return the balance with its heavy spot, as it is seen at the bench: from the back."""
    from sideshake.drawings.poise import poise_drawing
    from sideshake.drawings.svg import svg_text

    hanging = hanging_of(heard)
    return svg_text(poise_drawing(find_poise(hanging), hanging.rates)).encode()
