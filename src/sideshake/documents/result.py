"""One paragraph of result, in words that need no watchmaker: what the watch does now, and did."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, floor, log10

from sideshake.core.quantities import Measured

ALL_POSITIONS = 6
NUMBERS = ("no", "one", "two", "three", "four", "five", "six")
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
        return "It is here and has not been looked over yet."
    if result.stage is WorkStage.FINDINGS:
        return ""
    unfinished = "The work is not finished; this is what is done so far."
    told = " and ".join(each for each in (keeping(result.now), running(result.now)) if each)
    said = f"It now {told}." if told else ""
    if result.stage is WorkStage.SO_FAR:
        return f"{unfinished} {said}".strip()
    return said


def failed_words(result: Result) -> str:
    """Return which tests were not good; empty when none failed, or before any work."""
    if not result.not_good or result.stage not in (WorkStage.SO_FAR, WorkStage.DONE):
        return ""
    names = [f"{each[:1].lower()}{each[1:]}" for each in result.not_good]
    return f"Not good in the tests: {', '.join(names)}."


def keeping(ran: Ran) -> str:
    """Return within what the watch keeps time; empty when no rate was read."""
    rates = ran.rates_s_per_day
    if not rates:
        return ""
    return f"keeps time within {within_words(rates)} a day{where(len(rates))}"


def within_words(rates: Sequence[Measured]) -> str:
    """Return the whole seconds that hold every rate with its 95 % interval."""
    seconds = max(1, ceil(max(abs(each.value) + each.expanded for each in rates)))
    return f"{seconds} second{'s' if seconds > 1 else ''}"


def where(count: int) -> str:
    """Return in how many positions a watch was heard."""
    if count >= ALL_POSITIONS:
        return " in all six positions"
    if count == 1:
        return " in the one position we listened to"
    return f" in the {NUMBERS[count]} positions we listened to"


def running(ran: Ran) -> str:
    """Return for how long the watch runs on one winding; empty when it was not measured."""
    return f"runs {hours_words(ran.running_h)} on one winding" if ran.running_h else ""


def hours_words(hours: Measured) -> str:
    """Return hours in whole numbers: about so many, or between two when they are less sure."""
    if hours.expanded <= 1:
        return f"about {round(hours.value)} hours"
    low, high = floor(hours.value - hours.expanded), ceil(hours.value + hours.expanded)
    return f"{low} to {high} hours"


def came_words(result: Result) -> str:
    """Return how the watch ran when it came; empty when it is not known."""
    rates = result.came.rates_s_per_day
    if result.ran_when_it_came is False:
        still = "When it came it did not run."
        return f"{still} Once set going, it {drift_words(rates)}." if rates else still
    return f"When it came it {drift_words(rates)}." if rates else ""


def drift_words(rates: Sequence[Measured]) -> str:
    """Return what a watch lost or gained in a day; where it did both, how well it kept time."""
    loses = all(each.value + each.expanded < -LEAST_SHOWN for each in rates)
    gains = all(each.value - each.expanded > LEAST_SHOWN for each in rates)
    if not (loses or gains):
        return f"kept time within {within_words(rates)} a day{where(len(rates))}"
    sizes = sorted(rounded(each) for each in rates)
    verb = "lost" if loses else "gained"
    if sizes[0] == sizes[-1]:
        return f"{verb} about {sizes[0]:g} second{'' if sizes[0] == 1 else 's'} a day"
    return f"{verb} about {sizes[0]:g} to {sizes[-1]:g} seconds a day, depending on its position"


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
        return "We found nothing that needs work."
    told = [counted(seen.to_mend, "thing that needs work", "things that need work")]
    if seen.grave:
        told.append(f"{grave_words(seen)} grave")
    if seen.to_know:
        known = counted(seen.to_know, "thing you should know", "things you should know")
        told.append(f"and {known}" if seen.to_mend else known)
    return f"We found {', '.join(each for each in told if each)}."


def grave_words(seen: FindingsSeen) -> str:
    """Return how many of the findings are grave."""
    if seen.grave < seen.to_mend:
        return f"{number_words(seen.grave)} of them"
    return {1: "and it is", 2: "both of them"}.get(seen.to_mend, "all of them")


def counted(count: int, one: str, many: str) -> str:
    """Return so many of something; empty for none."""
    return f"{number_words(count)} {one if count == 1 else many}" if count else ""


def number_words(count: int) -> str:
    """Return a small number in words, any other in figures."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
