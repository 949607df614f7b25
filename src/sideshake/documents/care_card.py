"""The care card: what the owner keeps by the watch, so that it is not broken again."""

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from sideshake.core.errors import InputError
from sideshake.documents.kinds import CareCardSize
from sideshake.documents.typeset import Sheet
from sideshake.movement.calendar import (
    Engagement,
    QuickSet,
    common_advice,
    engagement_of,
    hand_time,
    quick_set,
    span_words,
)
from sideshake.movement.day import DAY, day_hours_or_advice
from sideshake.movement.hand_times import BETWEEN, DAY_H, outward, said_outward
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.winding import wound_by_key
from sideshake.wording import gettext as _
from sideshake.wording import noop, spoken
from sideshake.workshop_rules.cautions import WatchCaution
from sideshake.workshop_rules.owner_cautions import magnets, water

if TYPE_CHECKING:
    from sideshake.drawings.shapes import Drawing

LONGEST_NAME = 60
LEAST_SAFE_H = 1.0
WINDING_BY_HAND = noop(
    "Wind it fully once a day, at the same hour, until the crown stops by itself. Never force it."
)
WINDING_BY_KEY = noop(
    "Wind it with its own key once a day, at the same hour, until it stops by itself. A worn or "
    "wrong key spoils the square."
)
WINDING_BY_ROTOR = noop(
    "Wearing it winds it. After a rest give the crown about twenty turns before you put it on."
)
WINDING = noop("Wind it gently. Never force the crown.")
UNMENDED = noop("Do not wind or wear it before it is mended.")
CHRONOGRAPH = noop("Stop the chronograph before you set it back to zero, unless it is a fly-back.")
RADIUM = noop(
    "{title}: keep it closed, not in a bedroom or with children, and do not wear it day and night. "
    "Ask the radiation protection authority where you live."
)
POLYMER = noop("A small plastic wheel sets the date inside: it breaks when it is forced.")
NEVER = noop("Never set the date on its own while the hands stand {hours}.")
NEVER_IF_IT_HAS_ONE = noop(
    "If it shows the date: never set the date on its own while the hands stand {hours}."
)


DIAL_MM = {CareCardSize.CREDIT_CARD: 26.0, CareCardSize.A6: 40.0}
"""How wide the dial is printed."""
PAIR_MM = {CareCardSize.CREDIT_CARD: 14.0, CareCardSize.A6: 35.0}
"""How wide each of two dials is printed."""


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
    if_it_has_a_date: str = ""
    """Advice for a watch of which nobody knows whether its date can be set on its own."""
    radium: str = ""
    next_service: str = ""
    phone: str = ""
    forbidden_day: QuickSet | None = None
    """For a day of the week that has a finger of its own."""
    size: CareCardSize = CareCardSize.A6

    def __post_init__(self) -> None:
        for what, name in (("the watch", self.watch), ("the workshop", self.workshop)):
            if not 0 < len(name.strip()) <= LONGEST_NAME:
                raise InputError(
                    f"the name of {what} on a care card needs 1 to {LONGEST_NAME} letters, "
                    f"got {len(name.strip())}"
                )


def care_card(
    sheet: CalibreSheet | None,
    *,
    watch: str,
    workshop: str,
    next_service: str = "",
    observed: Engagement | None = None,
) -> CareCard:
    """Return the care card of a watch with this calibre; an A6 card, `replace` makes it small.

    Telephone and radium are put in by `replace` too.

    Parameters
    ----------
    sheet : None when the calibre is not known: the card then says what holds for any watch
    observed : when the date moved on this very watch; hours that the sheet knows stay forbidden
        too, for the finger may be at work before anything is seen to move
    """
    calendar = sheet.calendar if sheet else None
    return CareCard(
        watch=watch.strip(),
        workshop=workshop.strip(),
        forbidden=forbidden_hours(sheet, observed),
        advice=advice(sheet),
        warning=_(POLYMER) if calendar and calendar.polymer_wheel else "",
        if_it_has_a_date=common_words() if sheet is None and observed is None else "",
        next_service=next_service,
        forbidden_day=day_hours_or_advice(sheet),
    )


def radium_words(caution: WatchCaution) -> str:
    """Return a caution about radium as short as a card has room for, called as a report does."""
    return _(RADIUM).format(title=caution.title)


def common_words() -> str:
    """Return the common, wide advice for a watch that may have a date."""
    return quick_set_words(common_advice(), never=NEVER_IF_IT_HAS_ONE)


def forbidden_hours(
    sheet: CalibreSheet | None, observed: Engagement | None = None
) -> QuickSet | None:
    """Return when the date must not be set on its own; None when it cannot be.

    What was observed and what the sheet knows are both forbidden. Where neither is known the
    common, wide advice is given.
    """
    calendar = sheet.calendar if sheet else None
    if calendar and calendar.quick_set is False:
        return None
    shows_half_day = bool(calendar and calendar.dial_shows_half_day)
    known = None
    if calendar:
        with suppress(InputError):
            known = quick_set(engagement_of(calendar), shows_half_day=shows_half_day)
    if observed:
        here = quick_set(observed, shows_half_day=shows_half_day)
        return here if known is None else covering(here, known)
    return known if known or calendar is None else common_advice()


def covering(one: QuickSet, other: QuickSet) -> QuickSet:
    """Return the hours that either forbids, as one stretch; known by what `one` is known by.

    Raises
    ------
    InputError : together they leave no safe hour on the dial
    """
    half_h = one.dial_h / 2
    ahead_h = (other.start_h - one.start_h + half_h) % one.dial_h - half_h
    first_h = min(0.0, ahead_h)
    last_h = max(one.length_h, ahead_h + other.length_h)
    if last_h - first_h > one.dial_h - LEAST_SAFE_H:
        raise InputError(
            f"the date was seen to move round {hand_time(one.engagement.jump_h.value)}, but the "
            f"calibre sheet says round {hand_time(other.engagement.jump_h.value)}: together they "
            "leave no safe hour. Watch it again, or correct the sheet"
        )
    return replace(one, start_h=(one.start_h + first_h) % DAY_H, length_h=last_h - first_h)


def sheet_forbids_more(sheet: CalibreSheet | None, observed: Engagement) -> str:
    """Return a note when the calibre sheet forbids hours that the observed times leave open."""
    own, here = forbidden_hours(sheet), quick_set(observed)
    if own is None or own.engagement.known_by == "common advice":
        return ""
    if covering(here, own).length_h <= here.length_h:
        return ""
    return (
        f"The calibre sheet forbids more: from {hand_time(own.start_h)} to {hand_time(own.end_h)}. "
        "Where the change is stored and let go at once, the finger works for hours before the date "
        "moves. The card forbids both."
    )


def advice(sheet: CalibreSheet | None, *, mended: bool = True) -> tuple[str, ...]:
    """Return how to wind, wear and keep a watch with this calibre; unmended it is not wound."""
    return (
        winding(sheet) if mended else _(UNMENDED),
        *((_(CHRONOGRAPH),) if sheet and sheet.chronograph else ()),
        water().text,
        magnets().text,
    )


def winding(sheet: CalibreSheet | None) -> str:
    """Return how the watch is wound; careful where the sheet does not tell."""
    if sheet and wound_by_key(sheet):
        return _(WINDING_BY_KEY)
    if sheet and sheet.automatic is not None:
        return _(WINDING_BY_ROTOR)
    by_hand = sheet is not None and "hand-wound" in (sheet.kind or "")
    return _(WINDING_BY_HAND if by_hand else WINDING)


def quick_set_words(forbidden: QuickSet | None, *, never: str = NEVER) -> str:
    """Return the forbidden hours in a layman's words, empty when there is nothing to forbid.

    They are widened to whole quarters of an hour; `never` is how it begins.
    """
    if forbidden is None:
        return ""
    hours = said_outward(forbidden.start_h, forbidden.length_h, said=BETWEEN)
    words = [_(never).format(hours=hours)]
    if forbidden.dial_h < 24:
        words.append(
            _("The dial does not tell morning from evening: mind those hours twice a day.")
        )
    safe = forbidden.arcs[1]
    middle = round(safe.start_h + safe.length_h / 2) % forbidden.dial_h or forbidden.dial_h
    forward = _("Turn the hands forward to {hour:g} o'clock first, then set the date.")
    return " ".join([*words, forward.format(hour=middle)])


def day_words(forbidden: QuickSet | None) -> str:
    """Return the forbidden hours of the day of the week in words, empty when there are none."""
    if forbidden is None:
        return ""
    hours = said_outward(forbidden.start_h, forbidden.length_h, said=BETWEEN)
    safe = forbidden.arcs[1]
    middle = round(safe.start_h + safe.length_h / 2) % forbidden.dial_h or forbidden.dial_h
    return _(
        "Never set the day of the week while the hands stand {hours}: for that turn them forward "
        "to {hour:g} o'clock first."
    ).format(hours=hours, hour=middle)


def whole_quarters(forbidden: QuickSet) -> QuickSet:
    """Return the forbidden hours as the card says them, widened to quarters of an hour."""
    first, last = outward(forbidden.start_h, forbidden.start_h + forbidden.length_h)
    length = min(last - first, forbidden.dial_h)
    return replace(forbidden, start_h=first % DAY_H, length_h=length)


def observed_words(forbidden: QuickSet | None) -> str:
    """Return what was observed on this watch and the margin kept, empty when it was not."""
    if forbidden is None:
        return ""
    engaged = forbidden.engagement
    if engaged.known_by != "observed on this watch":
        return ""
    begins, moved = engaged.jump_h.value - engaged.before_h.value, engaged.jump_h.value
    return _(
        "Observed on this watch: the date moves from {begins} to {moved}; {margin} is kept on "
        "either side."
    ).format(
        begins=hand_time(begins), moved=hand_time(moved), margin=span_words(forbidden.margin_h)
    )


def card_sheet(card: CareCard, *, day: date) -> Sheet:
    """Return the card ready for setting: its words, and its dial when there are forbidden hours."""
    wide_mm = (PAIR_MM if card.forbidden_day else DIAL_MM)[card.size]
    dials = {
        "dial.svg": card_dial(card.forbidden, wide_mm, "date"),
        "day-dial.svg": card_dial(card.forbidden_day, wide_mm, DAY),
    }
    dial, day_dial = dials.values()
    return Sheet(
        template="care_card.typ",
        day=day,
        said={
            "watch": card.watch,
            "workshop": card.workshop,
            "size": card.size.value,
            "date": quick_set_words(card.forbidden) or card.if_it_has_a_date,
            "radium": card.radium,
            "observed": observed_words(card.forbidden),
            "warning": card.warning,
            "advice": list(card.advice),
            "service": card.next_service,
            "phone": card.phone,
            "dial": dial.description if dial else "",
            "day": day_words(card.forbidden_day),
            "day_dial": day_dial.description if day_dial else "",
            "dial_mm": wide_mm,
            "language": spoken().value,
            "named": {
                "title": _("Care card: {watch}").format(watch=card.watch),
                "date": _("date"),
                "day": _("day of the week"),
                "service": _("Next service:"),
            },
        },
        pictures={name: drawn(each) for name, each in dials.items() if each},
    )


def card_dial(forbidden: QuickSet | None, wide_mm: float, thing: str) -> "Drawing | None":
    """Return the dial of what is set, as wide as it is printed; None when nothing is forbidden."""
    if forbidden is None:
        return None
    from sideshake.drawings.dial import bare_dial  # late: a report has the words, not the dial

    return bare_dial(whole_quarters(forbidden), printed_mm=wide_mm, thing=thing)


def drawn(drawing: "Drawing") -> bytes:
    """Return a drawing as the bytes of its SVG."""
    from sideshake.drawings.svg import svg_text

    return svg_text(drawing).encode()
