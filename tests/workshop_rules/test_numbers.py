import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.workshop_rules.numbers import Numbering, missing_numbers, next_number


@given(st.integers(1, 2000))
def test_numbers_follow_each_other_without_a_gap(count):
    last, given_out = None, []
    for _ in range(min(count, 50)):
        last = next_number(last, 2026)
        given_out.append(last)
    assert missing_numbers(tuple(given_out)) == ()
    assert len(set(given_out)) == len(given_out)


def test_a_year_begins_at_one():
    assert next_number("2026-317", 2027) == "2027-001"


def test_a_full_number_grows_longer():
    assert next_number("2026-999", 2026) == "2026-1000"
    assert next_number("2026-1000", 2026) == "2026-1001"


def test_a_workshop_has_its_own_way_of_writing():
    own = Numbering(prefix="INV-", digits=4)
    assert next_number("INV-2026-0041", 2026, own) == "INV-2026-0042"


@pytest.mark.parametrize("last", ["2026/001", "026-001", "2026-", "INV-2026-001", "2026-000", "x"])
def test_a_number_of_another_kind_is_refused(last):
    with pytest.raises(InputError, match="looks like 2026-001"):
        next_number(last, 2026)


def test_a_clock_that_runs_back_is_noticed():
    with pytest.raises(InputError, match="check the date"):
        next_number("2027-001", 2026)


def test_a_gap_is_named():
    written = ("2026-001", "2026-004", "2027-002")
    assert missing_numbers(written) == ("2026-002", "2026-003", "2027-001")


@pytest.mark.parametrize("fault", [{"prefix": "a b"}, {"prefix": "12"}, {"digits": 0}])
def test_an_impossible_way_of_writing_is_refused(fault):
    with pytest.raises(InputError):
        Numbering(**fault)


def test_a_year_has_four_figures():
    with pytest.raises(InputError, match="four figures"):
        next_number(None, 26)
