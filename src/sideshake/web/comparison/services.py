"""Before and after: readings and rounds of a watch to choose from, and what has changed."""

import hashlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.translation import gettext as _

from sideshake.analysis import comparison
from sideshake.analysis.comparison import ToCompare
from sideshake.core.errors import InputError
from sideshake.storage.files import write_whole
from sideshake.storage.folder import made
from sideshake.timing.compare.compared import Comparison, compare, other_ear
from sideshake.timing.compare.difference import Difference
from sideshake.web.models import Reading, Watch
from sideshake.web.readings.heard_rows import HEARD, LOOK, PICTURES
from sideshake.web.readings.kept_figures import figures_of

if TYPE_CHECKING:
    from sideshake.drawings.shapes import Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonChoice:
    """A reading, or the readings of a round, to be compared; `key` names it in an address."""

    key: str
    readings: tuple[Reading, ...]
    whole_round: bool

    @property
    def last(self) -> Reading:
        """Return the reading that was taken last."""
        return self.readings[-1]

    @property
    def after(self) -> bool:
        """Return whether it was heard after the work."""
        return self.last.after

    @property
    def told(self) -> ToCompare:
        """Return what its readings say."""
        return ToCompare(
            readings=tuple(map(figures_of, self.readings)),
            taken=self.last.pk,
            after=self.after,
            whole_round=self.whole_round,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBySide:
    """Two choices and what has changed from one to the other."""

    before: ComparisonChoice
    after: ComparisonChoice
    compared: Comparison

    @property
    def other_ear(self) -> str:
        """Say so if another ear heard before than after."""
        return other_ear(
            [each.ear for each in self.before.readings], [each.ear for each in self.after.readings]
        )


def ears_apart(readings: Iterable[Reading]) -> str:
    """Say so if another ear heard the readings before the work than those after it."""
    heard = [reading for reading in readings if reading.state == HEARD]
    return other_ear(
        [each.ear for each in heard if not each.after], [each.ear for each in heard if each.after]
    )


def choices(readings: Iterable[Reading]) -> list[ComparisonChoice]:
    """Return what can be compared, in order of time: rounds of several positions, then readings."""
    heard = [reading for reading in readings if reading.state == HEARD]
    rounds: dict[int, list[Reading]] = {}
    for reading in heard:
        if reading.round_id is not None:
            rounds.setdefault(reading.round_id, []).append(reading)
    whole = [
        ComparisonChoice(key=f"round-{pk}", readings=tuple(group), whole_round=True)
        for pk, group in rounds.items()
        if len(group) > 1
    ]
    single = [
        ComparisonChoice(key=f"reading-{reading.pk}", readings=(reading,), whole_round=False)
        for reading in heard
    ]
    return whole + single


def choices_of(watch: Watch) -> list[ComparisonChoice]:
    """Return what can be compared of a watch, over all its visits."""
    rows = Reading.objects.filter(visit__watch=watch, state=HEARD).select_related("visit")
    return choices(rows.order_by("pk"))


def usual_pair(found: Sequence[ComparisonChoice]) -> SideBySide | None:
    """Return the last after the work and the last heard alike before that, as the watch came."""
    told = [each.told for each in found]
    pair = comparison.usual_pair(told)
    if pair is None:
        return None
    before, after = (found[told.index(each)] for each in (pair.before, pair.after))
    return SideBySide(before=before, after=after, compared=pair.compared)


def chosen_pair(found: Sequence[ComparisonChoice], before: str, after: str) -> SideBySide | None:
    """Return the pair chosen by its keys, or the usual one when none is chosen.

    Raises
    ------
    InputError : a key is none of this watch's readings or rounds
    NotEnough : the two have no position, or no figure, in common
    """
    if not (before or after):
        return usual_pair(found)
    one, other = chosen(found, before), chosen(found, after)
    return SideBySide(
        before=one, after=other, compared=compare(one.told.readings, other.told.readings)
    )


def chosen(found: Sequence[ComparisonChoice], key: str) -> ComparisonChoice:
    """Return the choice of that key."""
    for each in found:
        if each.key == key:
            return each
    raise InputError(_("this watch has no such reading: choose two of those listed"))


def usual_of(readings: Iterable[Reading]) -> SideBySide | None:
    """Return the usual pair among some readings."""
    return usual_pair(choices(readings))


def differences(pair: SideBySide | None) -> list[str]:
    """Return sentences on after against before; none when no pair was heard in the same way."""
    return [each.sentence for each in pair.compared.main] if pair else []


def picture_of(differences: Sequence[Difference]) -> bytes:
    """Return the picture of before and after as SVG."""
    from sideshake.drawings.before_after import before_after_drawing

    return drawn_once("compared", differences, before_after_drawing)


def figure_of(differences: Sequence[Difference]) -> bytes:
    """Return the picture of one figure before and after as SVG."""
    from sideshake.drawings.before_after import figure_drawing

    return drawn_once("figure", differences, figure_drawing)


def drawn_once(
    kind: str, differences: Sequence[Difference], draw: Callable[[Sequence[Difference]], "Drawing"]
) -> bytes:
    """Return a drawing of differences as SVG; the same one is drawn once."""
    from sideshake.drawings.svg import svg_text

    name = hashlib.sha256(repr(differences).encode()).hexdigest()[:32]
    path = made(Path(settings.FILES) / PICTURES) / f"{kind}-{name}-{LOOK}.svg"
    if not path.exists():
        write_whole(path, svg_text(draw(differences)).encode())
    return path.read_bytes()
