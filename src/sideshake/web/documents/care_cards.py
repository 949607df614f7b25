"""What an owner must mind, by a visit's records: the care card, and cautions for his papers."""

from dataclasses import replace

from sideshake.documents.blocks import Caution
from sideshake.documents.care_card import (
    LONGEST_NAME,
    CareCard,
    advice,
    care_card,
    day_words,
    forbidden_hours,
    quick_set_words,
    radium_words,
)
from sideshake.movement.calendar import Engagement, observed
from sideshake.movement.day import day_hours_or_advice
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.documents.words import written_day
from sideshake.web.documents.work_done import waits_for_work
from sideshake.web.evidence.look_over import known_of
from sideshake.web.models import Visit, Workshop, the_workshop
from sideshake.workshop_rules.owner_cautions import owner_cautions, radium


def card_of(visit: Visit) -> CareCard:
    """Return the care card of a visit's watch; hours observed on it count before the sheet's.

    Raises
    ------
    InputError : the hours observed and those of the sheet leave no safe hour
    """
    shop: Workshop = the_workshop()
    sheet = sheet_named(visit.watch.calibre)
    made = care_card(
        sheet,
        watch=shortened(visit.watch.title),
        workshop=shortened(shop.name),
        next_service=written_day(visit.next_service_on),
        observed=date_moves(visit),
    )
    return replace(
        made,
        advice=advice(sheet, mended=not waits_for_work(visit)),
        phone=shop.phone,
        radium="".join(radium_words(each) for each in radium(known_of(visit.watch, []))),
    )


def shortened(name: str) -> str:
    """Return a name as long as a card has room for; what is cut is told by an ellipsis."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1].rstrip()}…"


def date_moves(visit: Visit) -> Engagement | None:
    """Return when the date was seen to move on this watch; None when nobody noted both times."""
    begins, moved = visit.date_change_from, visit.date_change_until
    if begins is None or moved is None:
        return None
    return observed(f"{begins:%H:%M}", f"{moved:%H:%M}")


def date_words(visit: Visit) -> str:
    """Return when date and day of the week must not be set; empty without a date or a sheet."""
    sheet = sheet_named(visit.watch.calibre)
    words = quick_set_words(forbidden_hours(sheet, date_moves(visit)))
    return f"{words} {day_words(day_hours_or_advice(sheet))}".strip() if words else ""


def cautions_of(visit: Visit) -> tuple[Caution, ...]:
    """Return what the owner must mind; never what only the bench must."""
    known, sheet = known_of(visit.watch, []), sheet_named(visit.watch.calibre)
    return tuple(
        Caution(title=each.title, words=each.text, grave=each.grave)
        for each in owner_cautions(known, sheet, date_words=date_words(visit))
    )
