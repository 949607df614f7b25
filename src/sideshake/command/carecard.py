"""`sideshake carecard`: the card that the owner keeps by the watch, as PDF."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, say
from sideshake.core.errors import InputError
from sideshake.documents.care_card import (
    CareCard,
    card_sheet,
    care_card,
    day_words,
    observed_words,
    quick_set_words,
    sheet_forbids_more,
)
from sideshake.documents.kinds import CareCardSize
from sideshake.documents.typeset import pdf
from sideshake.movement.calendar import Engagement, observed
from sideshake.movement.sheet_file import sheet_at
from sideshake.wording import Language, speaking


def carecard(
    sheet: str,
    *,
    watch: str,
    workshop: str,
    next_service: str = "",
    date_moves: str = "",
    size: CareCardSize = CareCardSize.A6,
    language: Language = Language.ENGLISH,
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
    date_moves
        When the date was seen to move on this watch, such as 22:10-00:20: first movement or
        resistance, and when it has moved. It counts in place of the sheet's hours.
    size
        a6, or credit-card (two sides).
    language
        en, de or fr: the language of the card and of its sentences here.
    to
        Where the PDF goes.
    as_json
        Write JSON instead of words.
    """
    calibre, seen = sheet_at(sheet), engagement_in(date_moves) if date_moves else None
    note = sheet_forbids_more(calibre, seen) if seen else ""
    with speaking(language):
        made = care_card(
            calibre, watch=watch, workshop=workshop, next_service=next_service, observed=seen
        )
        card = replace(made, size=size)
        write(card, to)
        told = answer(card, to, note)
    say(told, as_json=as_json)


def write(card: CareCard, to: Path) -> None:
    """Write the card's PDF."""
    try:
        to.write_bytes(pdf(card_sheet(card, day=date.today())))
    except OSError as fault:
        raise InputError(f"cannot write {to}: {fault.strerror}") from None


def engagement_in(written: str) -> Engagement:
    """Return when the date moves, from words such as 22:10-00:20.

    Raises
    ------
    InputError : they are no two hand times, or do not follow each other
    """
    times = written.replace("–", "-").split("-")
    if len(times) != 2:
        raise InputError(f"--date-moves is two hand times such as 22:10-00:20, got {written!r}")
    return observed(times[0].strip(), times[1].strip())


def answer(card: CareCard, to: Path, note: str) -> CommandAnswer:
    """Return what the card says."""
    date_words = quick_set_words(card.forbidden) or "This watch has no date to be set on its own."
    return CommandAnswer(
        schema="care-card",
        sentences=[f"The care card of {card.watch} is in {to}."],
        notes=[
            date_words,
            *filter(None, (day_words(card.forbidden_day), observed_words(card.forbidden), note)),
            *card.advice,
        ],
        figures={
            "file": str(to),
            "date": date_words,
            "day": day_words(card.forbidden_day),
            "advice": list(card.advice),
        },
    )
