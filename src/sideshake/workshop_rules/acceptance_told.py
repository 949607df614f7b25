"""What a test before the watch goes home says on paper, and which test tells of which job.

A test with a unit is good only with its value; one that is seen, only with the name of who looked.
A value beyond its limit decides by itself, whatever was ticked.
"""

from dataclasses import dataclass, replace

from sideshake.core.quantities import Measured
from sideshake.wording import figures
from sideshake.wording import gettext as _
from sideshake.workshop_rules.acceptance import AcceptanceOutcome, AcceptanceTest, Judgement, judged

GOOD, BAD, LEFT_OUT = "good", "bad", "skip"
"""What somebody ticked, as the records keep it."""
RATES = ("rate-full", "rate-24h", "day-rate")
"""Tests whose value is a rate: without its sign nobody could tell gaining from losing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """A test as it stands in the records: what was ticked, by whom, value, unit, note."""

    title: str
    result: str
    unit: str = ""
    value: Measured | None = None
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptanceTold:
    """A test as it is told: its value and limit in words, what it says, whether that is good.

    `failed` : whether it is surely not good; a value near its limit, or none, is neither
    """

    title: str
    value: str
    limit: str
    says: str
    good: bool
    failed: bool = False


def told(test: Ticked, check: AcceptanceTest | None) -> AcceptanceTold | None:
    """Return what a test says; None when it was not done, or not so that it counts.

    `check` is the trade's test of that name, with its limit; None for one of the workshop's own.
    """
    if test.result == LEFT_OUT:
        bare = replace(test, value=None)
        return _told(bare, "", says=left_out(test.note))
    if test.unit:
        return told_by_value(test, check)
    if not test.by or test.result not in (GOOD, BAD):
        return None
    good = test.result == GOOD
    seen = (
        _("in order; looked at by {by}, no figure")
        if good
        else _("not in order; looked at by {by}, no figure")
    )
    made = _told(test, "", says=seen.format(by=test.by), good=good)
    return replace(made, failed=not good)


def left_out(note: str) -> str:
    """Return that a test was left out, and why."""
    return _("left out: {note}").format(note=note) if note else _("left out")


def told_by_value(test: Ticked, check: AcceptanceTest | None) -> AcceptanceTold | None:
    """Return what a measured test says; None without a value or before somebody ticked it."""
    if test.value is None or not test.result:
        return None
    said, sign = judgement_of(test, check), bool(check and check.key in RATES)
    limit = check.limit.text(unit_words(test.unit)) if check and check.limit else ""
    if said.outcome is AcceptanceOutcome.FAILS or test.result == BAD:
        return replace(_told(test, limit, says=_("not good"), sign=sign), failed=True)
    if said.outcome is AcceptanceOutcome.PASSES:
        return _told(test, limit, says=_("good"), good=True, sign=sign)
    if said.outcome is AcceptanceOutcome.NEAR and said.keeps is not None:
        near = _("near the limit: keeps it with {chance:.0f} %").format(chance=100 * said.keeps)
        return _told(test, limit, says=near, good=test.result == GOOD, sign=sign)
    return _told(test, limit, says=_("noted; no limit is set"), good=True, sign=sign)


def judgement_of(test: Ticked, check: AcceptanceTest | None) -> Judgement:
    """Return what a value says against its limit; that none is set, where there is none."""
    bare = AcceptanceTest(key="", title=test.title, noted="", unit=test.unit)
    return judged(check if check and check.unit else bare, test.value or Measured(0.0))


def _told(
    test: Ticked, limit: str, *, says: str, good: bool = False, sign: bool = False
) -> AcceptanceTold:
    value = f"{figures(test.value.text(sign=sign))} {unit_words(test.unit)}" if test.value else ""
    return AcceptanceTold(title=_(test.title), value=value, limit=limit, says=says, good=good)


def unit_words(unit: str) -> str:
    """Return a unit as papers write it everywhere: s a day, not s/day."""
    return _("s a day") if unit == "s/day" else unit


TESTS_OF_JOB = {
    "mainspring": ("reserve",),
    "winding-work": ("reserve", "feel"),
    "hairspring": ("beat",),
    "balance-pivots": ("amplitude-full",),
    "demagnetise": ("magnetism",),
    "setting-work": ("feel",),
    "gaskets": ("pressure",),
    "hands": ("hands",),
    "rotor": ("rotor",),
    "automatic-work": ("reserve-rotor",),
    "calendar": ("calendar-change",),
    "corrector": ("calendar-change",),
    "chronograph": ("chronograph-drop", "chronograph-functions"),
    "pushers": ("chronograph-functions",),
}
"""By the key of a job, the tests whose result tells what it brought (common practice)."""


def tests_of_job(key: str) -> tuple[str, ...]:
    """Return the keys of the tests that tell what a job brought; none for most."""
    return TESTS_OF_JOB.get(key, ())
