"""`sideshake carecard`: the card that the owner keeps by the watch, as PDF."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from sideshake.command.options import Json
from sideshake.command.say import Answer, say
from sideshake.errors import InputError
from sideshake.movement.sheet_file import sheet_at
from sideshake.paper.care_card import CardSize, CareCard, card_sheet, care_card, quick_set_words
from sideshake.paper.typeset import pdf


def carecard(
    sheet: str,
    *,
    watch: str,
    workshop: str,
    next_service: str = "",
    size: CardSize = CardSize.A6,
    to: Path = Path("care-card.pdf"),
    as_json: Json = False,
) -> None:
    """Write the care card of a watch: forbidden hours of the date, winding, water, magnets.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as lindquell-25).
    watch
        What the card calls the watch.
    workshop
        The workshop's name.
    next_service
        When the next service is due, as it should stand on the card.
    size
        a6, or credit-card (two sides).
    to
        Where the PDF goes.
    as_json
        Write JSON instead of words.
    """
    made = care_card(sheet_at(sheet), watch=watch, workshop=workshop, next_service=next_service)
    card = replace(made, size=size)
    try:
        to.write_bytes(pdf(card_sheet(card, day=date.today())))
    except OSError as fault:
        raise InputError(f"cannot write {to}: {fault.strerror}") from None
    say(answer(card, to), as_json=as_json)


def answer(card: CareCard, to: Path) -> Answer:
    """Return what the card says."""
    date_words = quick_set_words(card.forbidden) or "This watch has no date to be set on its own."
    return Answer(
        schema="care-card",
        sentences=[f"The care card of {card.watch} is in {to}."],
        notes=[date_words, *card.advice],
        figures={"file": str(to), "date": date_words, "advice": list(card.advice)},
    )
