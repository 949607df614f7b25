"""The tests before a watch goes home, and what a measured value says against its limit.

The list is the trade's (common practice). Limits come from the calibre sheet; where it has none,
from the workshop; otherwise the value is noted and not judged.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, probability_below
from sideshake.movement.sheet import CalibreSheet
from sideshake.wording import figures
from sideshake.wording import gettext as _
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms

SURE = 0.95
"""A test passes, or fails, when that is at least this likely; in between it is near the limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What a value must reach, must not pass, or both; and where that comes from."""

    at_least: float | None = None
    at_most: float | None = None
    source: str

    def __post_init__(self) -> None:
        if self.at_least is None and self.at_most is None:
            raise InputError(f"a limit has a least or a most: {self.source}")
        if self.at_least is not None and self.at_most is not None and self.at_least >= self.at_most:
            raise InputError(f"a limit runs from least to most: {self.at_least} to {self.at_most}")

    def text(self, unit: str) -> str:
        """Return the limit in words."""
        if self.at_most is None:
            told = _("at least {least:g} {unit}").format(least=self.at_least, unit=unit)
        elif self.at_least is None:
            told = _("at most {most:g} {unit}").format(most=self.at_most, unit=unit)
        else:
            told = _("{least:g} to {most:g} {unit}").format(
                least=self.at_least, most=self.at_most, unit=unit
            )
        return figures(told)


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptanceTest:
    """One test: what to do, what is noted, its unit (empty when it is seen and not measured)."""

    key: str
    title: str
    noted: str
    unit: str = ""
    limit: Limit | None = None


class AcceptanceOutcome(StrEnum):
    """What a test says."""

    PASSES = "passes"
    FAILS = "fails"
    NEAR = "near the limit"
    NOTED = "noted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """The outcome, the probability that the limit is kept, and a sentence."""

    outcome: AcceptanceOutcome
    keeps: float | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedCheck:
    """A row of the list: a test, the mechanism it needs, the line of the sheet with its limit."""

    check: AcceptanceTest
    needs: Mechanism | None = None
    least_line: str | None = None
    most_line: str | None = None


def row(key: str, title: str, noted: str, unit: str = "", **needs: str) -> ListedCheck:
    """Return a row of the list."""
    return ListedCheck(
        check=AcceptanceTest(key=key, title=title, noted=noted, unit=unit),
        needs=Mechanism(needs["needs"]) if "needs" in needs else None,
        least_line=needs.get("least"),
        most_line=needs.get("most"),
    )


M = Mechanism
LISTED: tuple[ListedCheck, ...] = (
    row("rate-full", "Rate, fully wound", "mean of at least five positions", "s/day"),
    row("rate-spread", "Spread of the positions, fully wound", "largest minus smallest rate",
        "s/day"),
    row("dial-up-down", "Dial up against dial down", "difference of the two rates", "s/day"),
    row("beat", "Beat", "beat error: half the difference of tick and tock", "ms"),
    row("amplitude-full", "Amplitude lying, fully wound",
        "half an hour after winding, dial up and dial down", "°"),
    row("amplitude-hanging-24h", "Amplitude hanging after 24 h", "the smallest hanging position",
        "°", least="nominal.least_hanging_24h_deg"),
    row("rate-24h", "Rate after 24 h", "mean of the same positions", "s/day"),
    row("reserve", "Power reserve", "hours from full wind to standstill", "h",
        least="nominal.power_reserve_h"),
    row("reserve-rotor", "Power reserve from the rotor", "hours after a day of being moved", "h",
        needs=M.AUTOMATIC),
    row("chronograph-drop", "Amplitude with the chronograph on",
        "fall against chronograph off, same position", "°", needs=M.CHRONOGRAPH,
        most="nominal.chronograph_drop_deg"),
    row("day-rate", "Rate over a day, by the hands", "against a reference clock over at least "
        "24 h: readings of a minute are not a day's rate", "s/day"),
    row("calendar-change", "Calendar over two or three changes",
        "hand time of each jump; 31 to 1 once", needs=M.CALENDAR),
    row("chronograph-functions", "Start, stop, reset, counters",
        "ten times each; reset from near 30 s and either side", needs=M.CHRONOGRAPH),
    row("feel", "Winding, setting, all that is turned or pressed",
        "crown, pushers, bezel, as far as it has them: even, firm, nothing jumps out"),
    row("hands", "Hands", "parallel, clear of each other and of the crystal; hour and minute agree "
        "at 12, 3, 6 and 9"),
    row("rotor", "Rotor", "free, no rubbing, no noise beyond its own", needs=M.AUTOMATIC),
    row("magnetism", "Magnetism", "a compass stays still beside it"),
    row("pressure", "Pressure, if agreed", "pressure, dry or wet, result and date: it holds for "
        "that day only", "bar"),
    row("clean", "Dust, case screws, strap bars", "no dust under the crystal, all screws firm"),
    row("next-day", "Looked over again", "by a second person, or on another day"),
)  # fmt: skip


def checks_before_home(
    sheet: CalibreSheet | None, own: Mapping[str, Limit] | None = None
) -> tuple[AcceptanceTest, ...]:
    """Return the tests of a watch, with the limits of the sheet, else the workshop's `own`.

    Raises
    ------
    InputError : `own` has a limit for a test that is not in the list or is not measured
    """
    limits = own or {}
    measurable = {each.check.key for each in LISTED if each.check.unit}
    strange = sorted(set(limits) - measurable)
    if strange:
        raise InputError(
            f"no measured test is called {', '.join(strange)}; there are "
            f"{', '.join(sorted(measurable))}"
        )
    has = mechanisms(sheet)
    return tuple(
        with_limit(each, sheet_limit(each, sheet) or limits.get(each.check.key))
        for each in LISTED
        if each.needs is None or each.needs in has
    )


def with_limit(listed: ListedCheck, limit: Limit | None) -> AcceptanceTest:
    """Return the test with its limit."""
    return replace(listed.check, limit=limit)


def sheet_limit(listed: ListedCheck, sheet: CalibreSheet | None) -> Limit | None:
    """Return the limit the sheet gives for a test; None when it gives none."""
    least = sheet_line(sheet, listed.least_line)
    most = sheet_line(sheet, listed.most_line)
    if sheet is None or (least is None and most is None):
        return None
    return Limit(
        at_least=least.value if least else None,
        at_most=most.value if most else None,
        source=f"calibre sheet of {sheet.name}",
    )


def sheet_line(sheet: CalibreSheet | None, key: str | None) -> Measured | None:
    """Return a line under "nominal" of the sheet; None when there is none."""
    if sheet is None or sheet.nominal is None or key is None:
        return None
    found: Measured | None = getattr(sheet.nominal, key.removeprefix("nominal."))
    return found


def judged(check: AcceptanceTest, value: Measured) -> Judgement:
    """Return what a measured value says against the test's limit.

    It passes, or fails, only when that is at least 95 % likely; otherwise it is near the limit and
    the probability is told.

    Raises
    ------
    InputError : the test is seen, not measured
    """
    if not check.unit:
        raise InputError(f"{check.title} is seen, not measured: note what you saw")
    told = f"{check.title}: {value.text()} {check.unit}"
    if check.limit is None:
        return Judgement(
            outcome=AcceptanceOutcome.NOTED, keeps=None, sentence=f"{told}; no limit is set."
        )
    keeps = probability_kept(check.limit, value)
    limit = f"{check.limit.text(check.unit)}, {check.limit.source}"
    if SURE > keeps > 1 - SURE:
        words = f"{told}: near the limit ({limit}); kept with a probability of {100 * keeps:.0f} %."
        return Judgement(outcome=AcceptanceOutcome.NEAR, keeps=keeps, sentence=words)
    outcome = AcceptanceOutcome.PASSES if keeps >= SURE else AcceptanceOutcome.FAILS
    return Judgement(outcome=outcome, keeps=keeps, sentence=f"{told}: {outcome} ({limit}).")


def probability_kept(limit: Limit, value: Measured) -> float:
    """Return the probability that the true value keeps the limit; on the limit is kept."""
    if value.u == 0:
        low = limit.at_least is None or value.value >= limit.at_least
        return float(low and (limit.at_most is None or value.value <= limit.at_most))
    above = 0.0 if limit.at_least is None else probability_below(value, limit.at_least)
    below = 1.0 if limit.at_most is None else probability_below(value, limit.at_most)
    return below - above
