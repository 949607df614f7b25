"""What a test counts for: its value against its limit, or the name of who looked."""

import pytest

from sideshake.core.quantities import Measured
from sideshake.workshop_rules.acceptance import LISTED, AcceptanceTest, Limit
from sideshake.workshop_rules.acceptance_told import TESTS_OF_JOB, Ticked, told
from sideshake.workshop_rules.jobs import JOBS

LIMIT = Limit(at_least=40.0, source="calibre sheet")
RESERVE = AcceptanceTest(key="reserve", title="Power reserve", noted="", unit="h", limit=LIMIT)
HANDS = AcceptanceTest(key="hands", title="Hands", noted="")


def reserve(value, u=0.3, result="good", check=RESERVE):
    measured = None if value is None else Measured(value, u)
    return told(Ticked(title="Power reserve", result=result, unit="h", value=measured), check)


@pytest.mark.parametrize(
    ("value", "result", "says", "good"),
    [
        (46.0, "good", "good", True),
        (31.0, "good", "not good", False),
        (46.0, "bad", "not good", False),
        (40.1, "good", "near the limit: keeps it with 63 %", True),
    ],
)
def test_a_value_is_held_against_its_limit_whatever_was_ticked(value, result, says, good):
    """By hand: 0.1 over the limit with u 0.3 is a third of u, kept with Phi(0.333) = 0.6306."""
    made = reserve(value, result=result)
    assert (made.says, made.good) == (says, good)
    assert made.limit == "at least 40 h"


def test_a_measured_test_without_its_value_counts_for_nothing():
    assert reserve(None) is None
    assert reserve(46.0) is not None


def test_without_a_limit_the_value_is_noted_and_not_called_good():
    made = reserve(46.0, check=None)
    assert (made.says, made.limit) == ("noted; no limit is set", "")


def test_what_is_seen_counts_only_with_the_name_of_who_looked():
    looked = told(Ticked(title="Hands", result="good", by="Edda"), HANDS)
    assert (looked.says, looked.good) == ("in order; looked at by Edda, no figure", True)
    assert told(Ticked(title="Hands", result="good"), HANDS) is None
    bad = told(Ticked(title="Hands", result="bad", by="Edda"), HANDS)
    assert (bad.says, bad.good) == ("not in order; looked at by Edda, no figure", False)


def test_what_was_not_done_is_not_told_and_what_was_left_out_says_why():
    assert told(Ticked(title="Hands", result="", by="Edda"), HANDS) is None
    left = told(Ticked(title="Hands", result="skip", note="no hands yet"), HANDS)
    assert (left.says, left.good) == ("left out: no hands yet", False)


def test_jobs_and_tests_that_belong_together_exist():
    assert set(TESTS_OF_JOB) <= {each.key for each in JOBS}
    listed = {each.check.key for each in LISTED}
    assert {key for keys in TESTS_OF_JOB.values() for key in keys} <= listed


@pytest.mark.parametrize(
    ("value", "result", "failed"),
    [(30.0, "good", True), (60.0, "bad", True), (60.0, "good", False), (50.0, "good", False),
     (50.0, "bad", True), (30.0, "skip", False)],
)  # fmt: skip
def test_what_failed_is_what_is_beyond_its_limit_or_was_ticked_so(value, result, failed):
    sheet = Limit(at_least=50.0, source="calibre sheet")
    limit = AcceptanceTest(key="reserve", title="Reserve", noted="", unit="h", limit=sheet)
    test = Ticked(title="Reserve", result=result, unit="h", value=Measured(value, 0.5))
    assert told(test, limit).failed == failed


def test_what_is_seen_failed_only_where_it_was_ticked_so():
    for result, failed in (("good", False), ("bad", True), ("skip", False)):
        assert told(Ticked(title="Hands", result=result, by="Edda"), None).failed == failed
