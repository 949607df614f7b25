"""The hours in which a date must not be set on its own. Hand times are hours of the day, 0 to 24.

The clock of the hands is taken to be fitted right: the date jumps where `jump_h` says, and that
side of the day is called midnight.
"""

from dataclasses import dataclass
from math import degrees
from typing import Any, Literal

from uncertainties.umath import acos

from sideshake.core.errors import InputError, Lacking
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, propagate
from sideshake.movement.hand_times import DAY_H, HALF_DAY_H, hours_of, jump_of_day
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet import CalibreSheet

LEAST_MARGIN_H = 1.0
"""Margin on either side of the engaged hours (common practice: at least 1 h)."""
READ_TO_MIN = 5.0
"""How closely a hand time is read when the sheet does not say, as a standard uncertainty."""
COMMON_ADVICE = (20.0, 4.0)
"""Forbidden when nothing is known; published windows disagree, this is the widest of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """When the finger drives the date: hours before and after the jump, and the jump's time."""

    jump_h: Measured
    before_h: Measured
    after_h: Measured
    known_by: Literal[
        "hand times watched", "observed on this watch", "driving geometry", "common advice"
    ]

    def __post_init__(self) -> None:
        if min(self.before_h.value, self.after_h.value) < 0:
            raise InputError(
                f"the finger touches before the jump and is free after it, got "
                f"{self.before_h.value:.2f} h before and {self.after_h.value:.2f} h after"
            )
        if self.before_h.value + self.after_h.value >= HALF_DAY_H:
            raise InputError(
                f"the finger cannot be engaged for {self.before_h.value:.1f} h before the jump "
                f"and {self.after_h.value:.1f} h after it: together they must stay below 12 h"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class DialArc:
    """An arc of the dial, clockwise, by the hour the hour hand shows (0 to 12 or 0 to 24)."""

    start_h: float
    length_h: float
    safe: bool

    @property
    def end_h(self) -> float:
        """Return the hour at its end; may run past the dial's last hour."""
        return self.start_h + self.length_h


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCheck:
    """A rule of thumb ("hour hand between 3 and 9") held against the forbidden hours."""

    start_h: float
    end_h: float
    margin_h: float
    """The least distance to a forbidden hour; negative when the rule reaches into them."""

    @property
    def holds(self) -> bool:
        """Return whether every hour the rule allows is a safe one."""
        return self.margin_h >= 0

    @property
    def words(self) -> str:
        """Return the rule and what came of it, in words."""
        told = f'the rule "hour hand between {self.start_h:g} and {self.end_h:g}"'
        if self.holds:
            return f"{told} is safe, {span_words(self.margin_h)} from the nearest forbidden hour"
        return (
            f"{told} is NOT safe: it reaches {span_words(self.margin_h)} into the forbidden hours"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickSet:
    """The forbidden hours of the date's quick-set."""

    engagement: Engagement
    start_h: float
    """First forbidden hour of the day, 0 to 24."""
    length_h: float
    dial_h: float
    """12 for a dial that does not tell morning from evening, else 24."""

    @property
    def end_h(self) -> float:
        """Return the first hour of the day that is safe again, 0 to 24."""
        return (self.start_h + self.length_h) % DAY_H

    @property
    def margin_h(self) -> float:
        """Return what is kept on either side of the engaged hours, the lesser of the two."""
        before = (self.engagement.jump_h.value - self.start_h) % DAY_H
        after = self.length_h - before
        return min(before - self.engagement.before_h.value, after - self.engagement.after_h.value)

    @property
    def arcs(self) -> tuple[DialArc, DialArc]:
        """Return the forbidden and the safe arc of the dial."""
        start = self.start_h % self.dial_h
        forbidden = DialArc(start_h=start, length_h=self.length_h, safe=False)
        safe = DialArc(
            start_h=forbidden.end_h % self.dial_h, length_h=self.dial_h - self.length_h, safe=True
        )
        return forbidden, safe


def engagement_of(calendar: Calendar, place: str = "calendar") -> Engagement:
    """Return when the finger is engaged: from watched hand times, else from the geometry.

    `place` is the sheet's section, for the message: "calendar" for the date, "day" for the day.

    Raises
    ------
    InputError : the sheet gives neither; or two of its values contradict each other
    """
    if calendar.first_touch and calendar.jump and calendar.free:
        read_to = calendar.watched_to_min or Measured(READ_TO_MIN)
        return watched(calendar.first_touch, calendar.jump, free=calendar.free, u_min=read_to.value)
    return geometric(calendar, place)


def watched(first_touch: str, jump: str, *, free: str, u_min: float = READ_TO_MIN) -> Engagement:
    """Return the engaged hours from three hand times watched while turning forward.

    Parameters
    ----------
    first_touch, jump, free : "21:10"; twelve-hour times will do: the date jumps round midnight
    u_min : standard uncertainty of each reading, minutes

    Raises
    ------
    InputError : the times do not follow each other in less than half a day, or the jump is far
        from midnight and nothing tells morning from evening
    """
    if u_min <= 0:
        raise InputError(f"a hand time is read to some minutes, got {u_min}")
    touch_h, jump_h, free_h = (hours_of(each) for each in (first_touch, jump, free))
    before, after = (jump_h - touch_h) % HALF_DAY_H, (free_h - jump_h) % HALF_DAY_H
    if before + after >= HALF_DAY_H:
        raise InputError(
            f"first touch {first_touch}, jump {jump} and free {free} do not follow each other "
            "turning forward"
        )
    one = u_min / 60
    return Engagement(
        jump_h=Measured(jump_of_day(jump, first_touch, free), one),
        before_h=Measured(before, one),
        after_h=Measured(after, one),
        known_by="hand times watched",
    )


def observed(begins: str, moved: str, *, u_min: float = READ_TO_MIN) -> Engagement:
    """Return the engaged hours from two hand times observed on one watch, turning forward.

    The jump is put at `moved`. On a calibre that stores the change and lets go at once, the finger
    works for hours before the ring moves: then `begins` is the first resistance at the crown.

    Parameters
    ----------
    begins : when the ring first moves, or resistance begins, such as "22:10"
    moved : when it has moved and the work is free again; midnight may lie between the two
    u_min : standard uncertainty of each reading, minutes

    Raises
    ------
    InputError : they are 12 h or more apart; perhaps they were exchanged. Or they are far from
        midnight and nothing tells morning from evening
    """
    begins_h, moved_h = hours_of(begins), jump_of_day(moved, begins)
    lasts = min((each - begins_h) % DAY_H for each in (moved_h, hours_of(moved)))
    if lasts >= HALF_DAY_H:
        raise InputError(
            f"from {begins} to {moved} is {span_words(lasts)}: a date moves in less than 12 h; "
            "perhaps the two times are exchanged"
        )
    one = u_min / 60
    return Engagement(
        jump_h=Measured(moved_h, one),
        before_h=Measured(lasts, one),
        after_h=Measured(0.0, one),
        known_by="observed on this watch",
    )


def hand_time(hours: float) -> str:
    """Return hours of the day as a hand time, to the nearest minute.

    Examples
    --------
    >>> hand_time(20.5), hand_time(23.9999)
    ('20:30', '0:00')
    """
    minutes = round(hours * 60) % round(DAY_H * 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def span_words(hours: float) -> str:
    """Return a length of time as hours and minutes, its sign left out.

    Examples
    --------
    >>> span_words(-1.25)
    '1 h 15 min'
    """
    minutes = round(60 * abs(hours))
    return f"{minutes // 60} h {minutes % 60:02d} min"


def geometric(calendar: Calendar, place: str = "calendar") -> Engagement:
    """Return the engaged hours from the driving wheel's speed and the arc of its finger.

    When the sheet does not say how the arc lies about the jump, the whole arc is taken on both
    sides: wider than the truth, never narrower.
    """
    arc = finger_arc(calendar, place)
    turn_h = calendar.drive_turn_h or Measured(DAY_H)
    part = calendar.arc_before_jump_deg
    if part is not None and part.value > arc.value:
        raise InputError(
            f"arc_before_jump_deg {part.text()} is more than the whole finger_arc_deg {arc.text()}"
        )
    before = propagate(lambda angle, turn: angle / 360 * turn, part or arc, turn_h)
    after = before
    if part is not None:
        after = propagate(lambda all_, some, turn: (all_ - some) / 360 * turn, arc, part, turn_h)
    return Engagement(
        jump_h=Measured(jump_of_day(calendar.jump or "00:00")),
        before_h=before,
        after_h=after,
        known_by="driving geometry",
    )


def finger_arc(calendar: Calendar, place: str = "calendar") -> Measured:
    """Return the angle over which the finger can reach the ring's teeth, degrees.

    Given directly, or from three lengths: the finger's tip is beyond the ring's tooth tips while
    it stands within half this angle of the line of centres.

    Raises
    ------
    InputError : neither is given, or both and they contradict each other
    """
    lengths = (
        calendar.finger_radius_mm,
        calendar.driver_offset_mm,
        calendar.ring_teeth_radius_mm,
    )
    stated = calendar.finger_arc_deg
    if any(each is None for each in lengths):
        if stated is None:
            raise Lacking(
                f"the forbidden hours need {place}.first_touch, {place}.jump and {place}.free, "
                f"or {place}.finger_arc_deg, or the lengths finger_radius_mm, driver_offset_mm "
                "and ring_teeth_radius_mm"
            )
        return stated
    computed = arc_from_lengths(*(each for each in lengths if each is not None))
    if stated is None:
        return computed
    apart = abs(stated.value - computed.value)
    if apart > max(1.0, COVERAGE_FACTOR * (stated.u**2 + computed.u**2) ** 0.5):
        raise InputError(
            f"{place}.finger_arc_deg says {stated.text()}° but the three lengths give "
            f"{computed.text()}°"
        )
    return stated


def arc_from_lengths(finger_mm: Measured, offset_mm: Measured, tips_mm: Measured) -> Measured:
    """Return the arc in degrees where a finger tip lies beyond a ring's inner tooth tips."""
    reach = finger_mm.value + offset_mm.value
    if reach <= tips_mm.value:
        raise InputError(
            f"the finger reaches {reach:.3f} mm from the ring's centre (finger_radius_mm plus "
            f"driver_offset_mm), but the ring's teeth begin at ring_teeth_radius_mm "
            f"{tips_mm.value:g}"
        )
    return propagate(whole_arc, finger_mm, offset_mm, tips_mm)


def whole_arc(finger: Any, offset: Any, tips: Any) -> Any:
    """Return twice the angle at which the finger's tip crosses the tips' circle, degrees."""
    cosine = (tips**2 - offset**2 - finger**2) / (2 * offset * finger)
    return 2 * acos(cosine) * degrees(1)


def quick_set(
    engagement: Engagement, *, margin_h: float = LEAST_MARGIN_H, shows_half_day: bool = False
) -> QuickSet:
    """Return the forbidden hours: the engaged ones with the margin and the doubt on both sides.

    Raises
    ------
    InputError : the margin is below 1 h, or so large that no hour is left
    """
    if not margin_h >= LEAST_MARGIN_H:
        raise InputError(f"the margin is {LEAST_MARGIN_H:g} h at least, got {margin_h}")
    dial = DAY_H if shows_half_day else HALF_DAY_H
    before = margin_h + engagement.before_h.value + engagement.before_h.expanded
    after = margin_h + engagement.after_h.value + engagement.after_h.expanded
    if before + after >= dial:
        raise InputError(
            f"with a margin of {margin_h:g} h no hour of the {dial:g} h dial is left to set in"
        )
    return QuickSet(
        engagement=engagement,
        start_h=(engagement.jump_h.value - before) % DAY_H,
        length_h=before + after,
        dial_h=dial,
    )


def common_advice() -> QuickSet:
    """Return the forbidden hours to assume when a calibre is unknown: 20:00 to 4:00."""
    start, end = COMMON_ADVICE
    return QuickSet(
        engagement=Engagement(
            jump_h=Measured(0.0),
            before_h=Measured(DAY_H - start),
            after_h=Measured(end),
            known_by="common advice",
        ),
        start_h=start,
        length_h=DAY_H - start + end,
        dial_h=HALF_DAY_H,
    )


def rule_check(forbidden: QuickSet, *, start_h: float = 3.0, end_h: float = 9.0) -> RuleCheck:
    """Return whether a rule of thumb stays inside the safe hours, and by what margin.

    The default is "hour hand in the lower half of the dial", from 3 to 9.

    Raises
    ------
    InputError : the rule's hours lie outside 0 to 12 or run backwards
    """
    if not 0 <= start_h < end_h <= HALF_DAY_H:
        raise InputError(f"a rule runs forward inside 0 to 12, got {start_h:g} to {end_h:g}")
    safe = forbidden.arcs[1]
    offset = (start_h - safe.start_h) % forbidden.dial_h
    if offset > safe.length_h:
        offset -= forbidden.dial_h
    left = safe.length_h - offset - (end_h - start_h)
    return RuleCheck(start_h=start_h, end_h=end_h, margin_h=min(offset, left))


def polymer_warning(sheet: CalibreSheet) -> str:
    """Return the warning for a polymer wheel in the setting work; empty when there is none."""
    part = sheet.calendar.polymer_wheel if sheet.calendar else None
    if not part:
        return ""
    return (
        f"Polymer part: {part}. Look for hairline cracks before setting anything; no heat, no "
        "solvent that is not approved for it, no strong ammonia in the ultrasonic bath."
    )
