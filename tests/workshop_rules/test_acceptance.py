import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.acceptance import (
    AcceptanceOutcome,
    AcceptanceTest,
    Limit,
    checks_before_home,
    judged,
    probability_kept,
)

TARNBROOK, LINDQUELL = shipped_sheet("tarnbrook-31"), shipped_sheet("lindquell-25")
AT_LEAST = AcceptanceTest(
    key="a", title="Amplitude", noted="it", unit="°", limit=Limit(at_least=190, source="sheet")
)


def by_key(sheet, own=None):
    return {each.key: each for each in checks_before_home(sheet, own)}


def test_limits_are_those_of_the_sheet():
    checks = by_key(TARNBROOK)
    assert checks["amplitude-hanging-24h"].limit == Limit(
        at_least=190, source="calibre sheet of Tarnbrook 31"
    )
    assert checks["reserve"].limit.at_least == 50
    assert checks["chronograph-drop"].limit.at_most == 30


def test_without_a_limit_on_the_sheet_the_workshop_s_own_holds():
    own = {"beat": Limit(at_most=0.8, source="own"), "reserve": Limit(at_least=30, source="own")}
    checks = by_key(TARNBROOK, own)
    assert checks["beat"].limit.source == "own"
    assert checks["reserve"].limit.at_least == 50
    assert by_key(None, own)["reserve"].limit.at_least == 30
    assert by_key(CalibreSheet(name="invented"))["reserve"].limit is None


def test_only_what_the_watch_has_is_checked():
    assert "chronograph-functions" not in by_key(LINDQUELL)
    assert {"rotor", "calendar-change", "reserve-rotor"} <= set(by_key(LINDQUELL))
    assert "rotor" not in by_key(TARNBROOK)
    assert {"rotor", "chronograph-drop", "calendar-change"} <= set(by_key(None))


@pytest.mark.parametrize("key", ["no-such", "feel"])
def test_a_limit_for_no_measured_check_is_refused(key):
    with pytest.raises(InputError, match=f"no measured test is called {key}"):
        checks_before_home(None, {key: Limit(at_most=1, source="own")})


# Standard normal distribution, as any table prints it: 1.645 sigma holds 95 %, 1.96 sigma 97.5 %.
@pytest.mark.parametrize(
    ("value", "u", "outcome", "keeps"),
    [
        (190 + 1.96 * 4, 4, AcceptanceOutcome.PASSES, 0.975),
        (190 + 1.60 * 4, 4, AcceptanceOutcome.NEAR, 0.9452),
        (190, 4, AcceptanceOutcome.NEAR, 0.5),
        (190 - 1.60 * 4, 4, AcceptanceOutcome.NEAR, 0.0548),
        (190 - 1.96 * 4, 4, AcceptanceOutcome.FAILS, 0.025),
        (190, 0, AcceptanceOutcome.PASSES, 1.0),
        (189.9, 0, AcceptanceOutcome.FAILS, 0.0),
    ],
)
def test_near_a_limit_the_answer_is_a_probability(value, u, outcome, keeps):
    found = judged(AT_LEAST, Measured(value, u))
    assert found.outcome is outcome
    assert found.keeps == pytest.approx(keeps, abs=1e-4)


def test_the_sentence_says_value_limit_and_where_it_is_from():
    assert judged(AT_LEAST, Measured(203, 3)).sentence == (
        "Amplitude: 203 ± 6 °: passes (at least 190 °, sheet)."
    )
    assert judged(AT_LEAST, Measured(191, 4)).sentence == (
        "Amplitude: 191 ± 8 °: near the limit (at least 190 °, sheet); "
        "kept with a probability of 60 %."
    )


# Between -1 and +1 sigma lie 68.27 %.
def test_two_limits_hold_a_value_between_them():
    limit = Limit(at_least=-10, at_most=10, source="own")
    assert probability_kept(limit, Measured(0, 10)) == pytest.approx(0.6827, abs=1e-4)
    assert probability_kept(limit, Measured(10)) == 1.0
    assert probability_kept(limit, Measured(10.1)) == 0.0


def test_what_has_no_limit_is_noted():
    found = judged(by_key(None)["rate-full"], Measured(6.2, 0.2))
    assert found.outcome is AcceptanceOutcome.NOTED
    assert found.keeps is None


def test_what_is_seen_is_not_judged_by_a_number():
    with pytest.raises(InputError, match="seen, not measured"):
        judged(by_key(None)["feel"], Measured(1))


@pytest.mark.parametrize(
    "fault", [{}, {"at_least": 2, "at_most": 1}, {"at_least": 1, "at_most": 1}]
)
def test_an_impossible_limit_is_refused(fault):
    with pytest.raises(InputError):
        Limit(source="own", **fault)
