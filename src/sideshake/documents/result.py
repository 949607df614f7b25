"""One paragraph of result, in words that need no watchmaker: what the watch does now, and did."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, floor, log10

from sideshake.core.quantities import Measured
from sideshake.wording import gettext as _
from sideshake.wording import inside, ngettext, noop

ALL_POSITIONS = 6
NUMBERS = (
    noop("no"),
    noop("one"),
    noop("two"),
    noop("three"),
    noop("four"),
    noop("five"),
    noop("six"),
)
LEAST_SHOWN = 0.5
"""A rate this close to nothing is called that of a watch that keeps time (s a day)."""


class WorkStage(StrEnum):
    """How far the work is that a report tells of."""

    ARRIVED = "arrived"
    """Nobody has looked yet: nothing was found, measured or heard."""
    FINDINGS = "findings"
    """Nothing was done yet, or nothing will be."""
    SO_FAR = "so far"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """How a watch ran: its rates by position, fully wound, and its hours on one winding."""

    rates_s_per_day: tuple[Measured, ...] = ()
    running_h: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingsSeen:
    """How many findings there are by how bad they are; `looked` says whether somebody looked."""

    looked: bool = False
    to_mend: int = 0
    grave: int = 0
    to_know: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What the paragraph rests on; `ran_when_it_came` is None when nobody said."""

    stage: WorkStage
    now: Ran = Ran()
    came: Ran = Ran()
    ran_when_it_came: bool | None = None
    seen: FindingsSeen = FindingsSeen()
    not_good: tuple[str, ...] = ()
    """The tests before it goes home that were not good."""


def result_words(result: Result) -> str:
    """Return the paragraph; empty when nothing was measured, seen or done."""
    parts = (now_words(result), failed_words(result), came_words(result), seen_words(result))
    return " ".join(part for part in parts if part)


def now_words(result: Result) -> str:
    """Return how the watch runs now; that the work goes on, while it does."""
    if result.stage is WorkStage.ARRIVED:
        return _("It is here and has not been looked over yet.")
    if result.stage is WorkStage.FINDINGS:
        return ""
    unfinished = _("The work is not finished; this is what is done so far.")
    said = runs_now(result.now)
    if result.stage is WorkStage.SO_FAR:
        return f"{unfinished} {said}".strip()
    return said


def runs_now(ran: Ran) -> str:
    """Return within what it keeps time, and how long it runs; empty when neither was measured."""
    told = {"within": within_words(ran.rates_s_per_day), "hours": hours_words(ran.running_h)}
    if told["within"] and told["hours"]:
        return _("It now keeps time within {within} and runs {hours} on one winding.").format(
            **told
        )
    if told["within"]:
        return _("It now keeps time within {within}.").format(**told)
    return _("It now runs {hours} on one winding.").format(**told) if told["hours"] else ""


def failed_words(result: Result) -> str:
    """Return which tests were not good; empty when none failed, or before any work."""
    if not result.not_good or result.stage not in (WorkStage.SO_FAR, WorkStage.DONE):
        return ""
    names = [inside(each) for each in result.not_good]
    return _("Not good in the tests: {tests}.").format(tests=", ".join(names))


def within_words(rates: Sequence[Measured]) -> str:
    """Return within what a watch keeps time and where it was heard; empty when no rate was read."""
    if not rates:
        return ""
    count = len(rates)
    heard = {
        1: noop("{seconds} a day in the one position we listened to"),
        ALL_POSITIONS: noop("{seconds} a day in all six positions"),
    }.get(
        min(count, ALL_POSITIONS), noop("{seconds} a day in the {count} positions we listened to")
    )
    said = _(NUMBERS[count]) if count < ALL_POSITIONS else ""
    return _(heard).format(seconds=seconds_words(rates), count=said)


def seconds_words(rates: Sequence[Measured]) -> str:
    """Return the whole seconds that hold every rate with its 95 % interval."""
    seconds = max(1, ceil(max(abs(each.value) + each.expanded for each in rates)))
    return ngettext("{count} second", "{count} seconds", seconds).format(count=seconds)


def hours_words(hours: Measured | None) -> str:
    """Return hours in whole numbers: about so many, or between two when they are less sure.

    Empty when they were not measured.
    """
    if hours is None:
        return ""
    if hours.expanded <= 1:
        return _("about {hours} hours").format(hours=round(hours.value))
    low, high = floor(hours.value - hours.expanded), ceil(hours.value + hours.expanded)
    return _("{low} to {high} hours").format(low=low, high=high)


def came_words(result: Result) -> str:
    """Return how the watch ran when it came; empty when it is not known."""
    rates = result.came.rates_s_per_day
    if result.ran_when_it_came is False:
        still = _("When it came it did not run.")
        going = _("Once set going, it {drift}.").format(drift=drift_words(rates)) if rates else ""
        return f"{still} {going}".strip()
    return _("When it came it {drift}.").format(drift=drift_words(rates)) if rates else ""


def drift_words(rates: Sequence[Measured]) -> str:
    """Return what a watch lost or gained in a day; where it did both, how well it kept time."""
    loses = all(each.value + each.expanded < -LEAST_SHOWN for each in rates)
    gains = all(each.value - each.expanded > LEAST_SHOWN for each in rates)
    if not (loses or gains):
        return _("kept time within {within}").format(within=within_words(rates))
    sizes = sorted(rounded(each) for each in rates)
    if sizes[0] != sizes[-1]:
        told = (
            noop("lost about {least:g} to {most:g} seconds a day, depending on its position")
            if loses
            else noop("gained about {least:g} to {most:g} seconds a day, depending on its position")
        )
        return _(told).format(least=sizes[0], most=sizes[-1])
    return (lost_words(sizes[0]) if loses else gained_words(sizes[0])).format(count=sizes[0])


def lost_words(seconds: float) -> str:
    """Return that a watch lost so many seconds, to be filled in."""
    return ngettext(
        "lost about {count:g} second a day", "lost about {count:g} seconds a day", round(seconds)
    )


def gained_words(seconds: float) -> str:
    """Return that a watch gained so many seconds, to be filled in."""
    return ngettext(
        "gained about {count:g} second a day",
        "gained about {count:g} seconds a day",
        round(seconds),
    )


def rounded(rate: Measured) -> float:
    """Return a rate's size in whole seconds, no finer than it is known: to 1, 10, 100.

    So it is the number that the table of readings shows.

    Examples
    --------
    >>> rounded(Measured(-52.4, 2.5)), rounded(Measured(-52.4, 6.0))
    (52, 50)
    """
    step = 10.0 ** floor(log10(rate.expanded)) if rate.expanded > 1 else 1.0
    return round(round(abs(rate.value) / step) * step)


def seen_words(result: Result) -> str:
    """Return what was found before the work; nothing once work was done, or nobody looked."""
    seen = result.seen
    if result.stage is not WorkStage.FINDINGS or not seen.looked:
        return ""
    if not (seen.to_mend or seen.to_know):
        return _("We found nothing that needs work.")
    told = [to_mend_words(seen.to_mend)] if seen.to_mend else []
    if seen.grave:
        told.append(grave_words(seen))
    if seen.to_know:
        known = to_know_words(seen.to_know)
        told.append(_("and {known}").format(known=known) if seen.to_mend else known)
    return _("We found {found}.").format(found=", ".join(told))


def to_mend_words(count: int) -> str:
    """Return how many things need work."""
    told = ngettext("{count} thing that needs work", "{count} things that need work", count)
    return told.format(count=number_words(count))


def to_know_words(count: int) -> str:
    """Return how many things an owner should know."""
    told = ngettext("{count} thing you should know", "{count} things you should know", count)
    return told.format(count=number_words(count))


def grave_words(seen: FindingsSeen) -> str:
    """Return how many of the findings that need work are grave."""
    if seen.grave < seen.to_mend:
        some = ngettext("{count} of them grave", "{count} of them grave", seen.grave)
        return some.format(count=number_words(seen.grave))
    told = {1: noop("and it is grave"), 2: noop("both of them grave")}
    return _(told.get(seen.to_mend, noop("all of them grave")))


def number_words(count: int) -> str:
    """Return a small number in words, any other in figures."""
    return _(NUMBERS[count]) if count < len(NUMBERS) else str(count)
