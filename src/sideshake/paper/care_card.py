"""The care card: what the owner keeps by the watch, so that it is not broken again."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from sideshake.errors import InputError
from sideshake.movement.calendar import (
    QuickSet,
    common_advice,
    engagement_of,
    hand_time,
    quick_set,
)
from sideshake.movement.sheet import CalibreSheet
from sideshake.paper.typeset import Sheet
from sideshake.pictures.dial import bare_dial
from sideshake.pictures.shapes import Drawing
from sideshake.pictures.svg import svg_text

LONGEST_NAME = 60
WINDING_BY_HAND = (
    "Wind it fully once a day, at the same hour, until the crown stops by itself. Never force it."
)
WINDING_BY_ROTOR = (
    "Wearing it winds it. After a rest give the crown about twenty turns before you put it on."
)
WINDING = "Wind it gently. Never force the crown."
CHRONOGRAPH = "Stop the chronograph before you set it back to zero, unless it is a fly-back."
POLYMER = "A small plastic wheel sets the date inside: it breaks when it is forced."
WATER = "Keep it dry: no hand-washing, no shower, no swimming, whatever the case says."
MAGNETS = "Keep it a hand's breadth from loudspeakers, phones, tablet covers and magnetic clasps."


class CardSize(StrEnum):
    """How large the card is."""

    CREDIT_CARD = "credit-card"
    A6 = "a6"


@dataclass(frozen=True, slots=True, kw_only=True)
class CareCard:
    """What a care card says about one watch.

    `forbidden` is None for a watch whose date cannot be set on its own, or that has none.
    """

    watch: str
    workshop: str
    forbidden: QuickSet | None
    advice: tuple[str, ...]
    warning: str = ""
    next_service: str = ""
    size: CardSize = CardSize.A6

    def __post_init__(self) -> None:
        for what, name in (("the watch", self.watch), ("the workshop", self.workshop)):
            if not 0 < len(name.strip()) <= LONGEST_NAME:
                raise InputError(
                    f"the name of {what} on a care card needs 1 to {LONGEST_NAME} letters, "
                    f"got {len(name.strip())}"
                )


def care_card(
    sheet: CalibreSheet, *, watch: str, workshop: str, next_service: str = ""
) -> CareCard:
    """Return the care card of a watch with this calibre; an A6 card, `replace` makes it small."""
    return CareCard(
        watch=watch.strip(),
        workshop=workshop.strip(),
        forbidden=forbidden_hours(sheet),
        advice=advice(sheet),
        warning=POLYMER if sheet.calendar and sheet.calendar.polymer_wheel else "",
        next_service=next_service,
    )


def forbidden_hours(sheet: CalibreSheet) -> QuickSet | None:
    """Return when the date must not be set on its own; None when it cannot be.

    Without the geometry or the watched hand times the common, wide advice is given.
    """
    calendar = sheet.calendar
    if calendar is None or calendar.quick_set is False:
        return None
    try:
        engaged = engagement_of(calendar)
    except InputError:
        return common_advice()
    return quick_set(engaged, shows_half_day=bool(calendar.dial_shows_half_day))


def advice(sheet: CalibreSheet) -> tuple[str, ...]:
    """Return how to wind, wear and keep a watch with this calibre."""
    return (
        winding(sheet),
        *((CHRONOGRAPH,) if sheet.chronograph else ()),
        WATER,
        MAGNETS,
    )


def winding(sheet: CalibreSheet) -> str:
    """Return how the watch is wound; careful where the sheet does not tell."""
    if sheet.automatic is not None:
        return WINDING_BY_ROTOR
    return WINDING_BY_HAND if "hand-wound" in (sheet.kind or "") else WINDING


def quick_set_words(forbidden: QuickSet | None) -> str:
    """Return the forbidden hours in words, empty when there is nothing to forbid."""
    if forbidden is None:
        return ""
    start, end = hand_time(forbidden.start_h), hand_time(forbidden.end_h)
    words = f"Never set the date on its own while the hands stand between {start} and {end}."
    if forbidden.dial_h < 24:
        words += " The dial does not tell morning from evening: mind those hours twice a day."
    safe = forbidden.arcs[1]
    middle = round(safe.start_h + safe.length_h / 2) % forbidden.dial_h or forbidden.dial_h
    return f"{words} Turn the hands forward to {middle:g} o'clock first, then set the date."


def card_sheet(card: CareCard, *, day: date) -> Sheet:
    """Return the card ready for setting: its words, and its dial when there are forbidden hours."""
    dial = bare_dial(card.forbidden) if card.forbidden else None
    return Sheet(
        template="care_card.typ",
        day=day,
        said={
            "watch": card.watch,
            "workshop": card.workshop,
            "size": card.size.value,
            "date": quick_set_words(card.forbidden),
            "warning": card.warning,
            "advice": list(card.advice),
            "service": card.next_service,
            "dial": dial.description if dial else "",
        },
        pictures={"dial.svg": drawn(dial)} if dial else {},
    )


def drawn(drawing: Drawing) -> bytes:
    """Return a drawing as the bytes of its SVG."""
    return svg_text(drawing).encode()
