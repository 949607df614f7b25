"""Before and after: two readings, or two rounds, of one watch side by side.

What both share drops out of their difference. Two readings by the same sound clock have the clock's
error in common; two with the same lift angle have its error in common, which is in proportion to
the amplitude.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sideshake.core.correlated import relative_u, widened, without_share
from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.timing.compare.conditions import unlike
from sideshake.timing.compare.difference import ComparedFigure, Difference, Turn, difference
from sideshake.timing.compare.reading_figures import CorrelatedErrors, ReadingFigures
from sideshake.timing.positions.summary import HANGING, LYING, Position
from sideshake.timing.repeatability import AS_HEARD, USUAL, Repeatability


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """All differences, in order of the figures; `cautions` first say what makes them doubtful.

    `basis` says which uncertainties dropped out of the differences; `plain` are the cautions
    without the program's own words and without what only its user can answer.
    """

    differences: tuple[Difference, ...]
    cautions: tuple[str, ...]
    basis: tuple[str, ...]
    plain: tuple[str, ...] = ()

    @property
    def main(self) -> tuple[Difference, ...]:
        """Return what is said first: of rounds the means, and each position that got worse."""
        if not any(each.mean for each in self.differences):
            return self.differences
        return tuple(each for each in self.differences if each.mean or each.turn is Turn.WORSE)


def compare(
    before: Sequence[ReadingFigures],
    after: Sequence[ReadingFigures],
    *,
    again: Repeatability = USUAL,
) -> Comparison:
    """Return what has changed from one reading or round to another of the same watch.

    A single reading is compared with a single one whatever the conditions, and a caution says what
    differs; of rounds, each position is compared with itself, and the means of the lying and of the
    hanging positions that both rounds have. Of a position read twice the last reading counts.
    `again` is what each laying of the watch adds to its figures: without it a change might be of
    this laying only.

    Raises
    ------
    NotEnough : the two have no position, or no figure, in common
    """
    pairs = paired(before, after)
    shared = CorrelatedErrors(again=again)
    told = [each for what in ComparedFigure for each in differences(what, pairs, shared)]
    if not told:
        raise NotEnough("neither rate nor amplitude nor beat error was read both times")
    cautions = dict.fromkeys(text for pair in pairs for text in cautions_on(*pair))
    plain = dict.fromkeys(text for pair in pairs for text in plainly(*pair))
    alone = unpaired(before, after, pairs)
    return Comparison(
        differences=tuple(told),
        cautions=(*cautions, *alone),
        basis=(*basis(pairs), *on_laying(again)),
        plain=(*plain, *alone),
    )


Pair = tuple[ReadingFigures, ReadingFigures]


def paired(before: Sequence[ReadingFigures], after: Sequence[ReadingFigures]) -> list[Pair]:
    """Return the readings to be compared with each other, in order of their positions."""
    if len(before) == len(after) == 1:
        return [(before[0], after[0])]
    first, then = by_place(before), by_place(after)
    both = [place for place in first if place in then]
    if not both:
        raise NotEnough("no position was heard both before and after")
    order = [None, *Position]
    both.sort(key=lambda place: (place[1], order.index(place[0])))
    return [(first[place], then[place]) for place in both]


Place = tuple[Position | None, bool]


def by_place(readings: Iterable[ReadingFigures]) -> dict[Place, ReadingFigures]:
    """Return the last reading in each position, with the chronograph on and off."""
    return {(each.conditions.position, each.conditions.chronograph_on): each for each in readings}


def differences(
    what: ComparedFigure, pairs: Sequence[Pair], shared: CorrelatedErrors
) -> list[Difference]:
    """Return the differences of one figure: in each position, then of the means."""
    told, off = [], {}
    for before, after in pairs:
        was = shared.value(what, before, "before")
        now = shared.value(what, after, "after")
        if was is not None and now is not None:
            told.append(difference(what, was, now, place=place_of(before, after)))
            if before.conditions.position and not before.conditions.chronograph_on:
                off[before.conditions.position] = (was, now)
    if len(pairs) > 1:
        told += [*of_means(what, "lying", LYING, off), *of_means(what, "hanging", HANGING, off)]
    return told


def of_means(
    what: ComparedFigure,
    words: str,
    group: Sequence[Position],
    values: Mapping[Position, tuple[Any, Any]],
) -> list[Difference]:
    """Return the difference of the means over a group of positions; none below two positions."""
    where = [position for position in group if position in values]
    if len(where) < 2:
        return []
    was, now = (sum(side) / len(where) for side in zip(*(values[p] for p in where), strict=True))
    return [difference(what, was, now, place=f"mean {words}: {', '.join(where)}", mean=True)]


def place_of(before: ReadingFigures, after: ReadingFigures) -> str:
    """Return where both were read; how it lay first and then, if that differs."""
    was, now = before.conditions, after.conditions
    return was.place if was.place == now.place else f"{was.short}, then {now.short}"


def cautions_on(before: ReadingFigures, after: ReadingFigures) -> list[str]:
    """Return what makes the difference of two readings doubtful, the gravest first."""
    told = [
        other_watch(before, after),
        other_ear([before.ear], [after.ear]),
        *unlike(before.conditions, after.conditions),
    ]
    return [text for text in (*told, other_lift_angle(before, after)) if text]


def plainly(before: ReadingFigures, after: ReadingFigures) -> list[str]:
    """Return the cautions on two readings as they are told to who does not know the ear."""
    told = [
        ended(beats_apart(before, after)),
        OTHER_WAY if other_ear([before.ear], [after.ear]) else "",
        *unlike(before.conditions, after.conditions),
    ]
    return [text for text in (*told, other_lift_angle(before, after)) if text]


OTHER_WAY = (
    "The sound was not worked out in quite the same way before and after: a small difference may "
    "come of that alone."
)
"""What it means that another ear heard before than after, without the word."""


def ended(words: str) -> str:
    """Return words as a sentence; empty for none."""
    return f"{words}." if words else ""


def other_ear(before: Iterable[int | None], after: Iterable[int | None]) -> str:
    """Say so if another ear heard before than after; what is not known is not held against it.

    Examples
    --------
    >>> other_ear([1], [2])
    'Before was heard by an older ear (1) than after (2): hear both again to compare them.'
    """
    was, now = ({ear for ear in ears if ear is not None} for ears in (before, after))
    if not was or not now or was == now:
        return ""
    first, last = (", ".join(map(str, sorted(ears))) for ears in (was, now))
    again = "hear both again to compare them"
    if max(was) < min(now):
        return f"Before was heard by an older ear ({first}) than after ({last}): {again}."
    if max(now) < min(was):
        return f"After was heard by an older ear ({last}) than before ({first}): {again}."
    return f"Before and after were heard by several ears ({first}; {last}): {again}."


def other_watch(before: ReadingFigures, after: ReadingFigures) -> str:
    """Ask about it if the beats an hour are not the same."""
    said = beats_apart(before, after)
    return f"{said}: is that the same watch?" if said else ""


def beats_apart(before: ReadingFigures, after: ReadingFigures) -> str:
    """Return how often it beat before and after, without a full stop; empty if that is the same."""
    was, now = before.beats_per_hour, after.beats_per_hour
    if was is None or now is None or was == now:
        return ""
    return f"Before it beat {was:.0f} times an hour, after {now:.0f}"


def other_lift_angle(before: ReadingFigures, after: ReadingFigures) -> str:
    """Say so if the amplitudes were read with two lift angles, and what one would give."""
    was, now = before.lift_angle_deg, after.lift_angle_deg
    if not (was and now and before.amplitude_deg and after.amplitude_deg):
        return ""
    if was.value == now.value:
        return ""
    shared = CorrelatedErrors(again=AS_HEARD)
    one = (shared.amplitude(with_lift_angle(before, now)), shared.amplitude(after))
    change = difference(ComparedFigure.AMPLITUDE, *one, place=place_of(before, after)).change
    return (
        f"The lift angle was taken as {was.value:g}° before and {now.value:g}° after. With "
        f"{now.value:g}° both times the amplitude has changed by {change.text(sign=True)}°."
    )


def with_lift_angle(read: ReadingFigures, lift: Measured) -> ReadingFigures:
    """Return the figures as another lift angle gives them: the amplitude is in proportion to it."""
    swing, old = read.amplitude_deg, read.lift_angle_deg
    if swing is None or old is None:
        return read
    times = lift.value / old.value
    own = without_share(swing, relative_u(old))
    value = Measured(own.value * times, own.u * times)
    anew = widened(value, value.value * relative_u(lift))
    return replace(read, amplitude_deg=anew, lift_angle_deg=lift)


def unpaired(
    before: Sequence[ReadingFigures], after: Sequence[ReadingFigures], pairs: Sequence[Pair]
) -> list[str]:
    """Return which positions were heard one time only."""
    both = set(by_place(was for was, _ in pairs))
    if len(before) == len(after) == 1:
        return []
    told = []
    for when, readings in (("before", before), ("after", after)):
        left = [
            each.conditions.place or "a position not noted"
            for place, each in by_place(readings).items()
            if place not in both
        ]
        if left:
            told.append(f"Heard only {when}, and not compared: {'; '.join(left)}.")
    return told


def basis(pairs: Sequence[Pair]) -> list[str]:
    """Return what the differences rest on: the sound clock, and the lift angle."""
    said = [text for pair in pairs for text in (on_clock(*pair), on_lift_angle(*pair)) if text]
    return list(dict.fromkeys(said))


def on_laying(again: Repeatability) -> list[str]:
    """Return what the next laying of the watch changes, where that is counted."""
    if again == AS_HEARD:
        return []
    return [
        f"Laid the same way again, a watch comes back within about ± {2 * again.rate_s_per_day:g} "
        f"s a day and ± {2 * again.amplitude_deg:g}° (common practice): a change that is called "
        "real is larger than that."
    ]


def on_clock(before: ReadingFigures, after: ReadingFigures) -> str:
    """Return whether the sound clock's error drops out of the rates' difference."""
    if not (before.rate_s_per_day and after.rate_s_per_day):
        return ""
    if before.clock is None or before.clock != after.clock:
        return (
            "The rates were read by different sound clocks, or it is not known by which: the "
            "uncertainty of both is in the difference."
        )
    return (
        "Both rates were read by the same sound clock: its error drops out of the difference, but "
        "for 1 ppm (0.09 s a day) by which it may wander."
    )


def on_lift_angle(before: ReadingFigures, after: ReadingFigures) -> str:
    """Return which lift angle both amplitudes were read with."""
    lift = before.lift_angle_deg
    if lift is None or lift != after.lift_angle_deg:
        return ""
    return f"Both amplitudes were read with a lift angle of {lift.text()}°."
