"""`sideshake card`: the card that gives a photograph its scale, as PDF."""

from datetime import date
from pathlib import Path

from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, say
from sideshake.core.errors import InputError
from sideshake.documents.blocks import Paper
from sideshake.documents.photo_card import STEPS, photo_card_sheet
from sideshake.documents.typeset import pdf


def card(
    *, to: Path = Path("photo-card.pdf"), paper: Paper = Paper.A4, as_json: Json = False
) -> None:
    """Write the card that lies beside a part in a photograph, in three sizes, with two lines.

    Parameters
    ----------
    to
        Where the PDF goes.
    paper
        a4 or us-letter.
    as_json
        Write JSON instead of words.
    """
    try:
        to.write_bytes(pdf(photo_card_sheet(day=date.today(), paper=paper)))
    except OSError as fault:
        raise InputError(f"cannot write {to}: {fault.strerror}") from None
    told = CommandAnswer(
        schema="photo-card",
        sentences=[f"The card for photographs is in {to}."],
        notes=STEPS,
        figures={"file": str(to), "steps": list(STEPS)},
    )
    say(told, as_json=as_json)
