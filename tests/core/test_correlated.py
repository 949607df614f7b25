import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import studentized_range

from sideshake.core import correlated
from sideshake.core.correlated import (
    STUDENTIZED_RANGE,
    SharedErrors,
    largest_minus_smallest,
    left_of,
    mean_parts,
    widened,
    with_common,
    with_share,
    without_share,
)
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured

COPY = re.compile(
    r"Measured\((\w+)(\.\w+)*\.value, (math\.)?hypot\(\1(\.\w+)*\.u,|"
    r"sqrt\(max\(0\.0, [\w.]*\bu\w*\*\*2 - "
)


def test_the_common_part_stays_whole_in_a_mean_and_cancels_in_a_difference():
    values = [Measured(4.0, 0.3), Measured(6.0, 0.4)]
    mean = with_common(mean_parts(values), 2.0)
    assert (mean.value, mean.u) == (5.0, pytest.approx(np.sqrt(0.25**2 + 2.0**2)))
    change = with_common([(1.0, values[1]), (-1.0, values[0])], 2.0)
    assert (change.value, change.u) == (2.0, pytest.approx(0.5))


def test_the_lift_angles_share_scales_a_fall():
    """280 and 240 degrees by a lift angle known to 3 %: the fall of 40 is known to 3 % too."""
    swings = [Measured(280.0, 8.4), Measured(240.0, 7.2)]
    drop = with_share([(1.0, swings[0]), (-1.0, swings[1])], 0.03)
    assert (drop.value, drop.u) == (40.0, pytest.approx(1.2))


def test_a_share_as_propagated_by_simulation():
    rng = np.random.default_rng(4)
    lift, own = rng.normal(1.0, 0.02, 200_000), rng.normal(0.0, 1.5, (2, 200_000))
    seen = np.array([[275.0], [231.0]]) * lift + own
    values = [Measured(float(row.mean()), float(row.std())) for row in seen]
    drop = with_share([(1.0, values[0]), (-1.0, values[1])], 0.02)
    assert drop.u == pytest.approx(np.std(seen[0] - seen[1]), rel=0.02)
    mean = with_share(mean_parts(values), 0.02)
    assert mean.u == pytest.approx(np.std(seen.mean(axis=0)), rel=0.02)


@given(share=st.floats(0.0, 0.03))
def test_an_untold_share_never_gives_less_than_any_told_one(share):
    values = [Measured(280.0, 8.4), Measured(280.0, 8.4)]
    for parts in (mean_parts(values), [(1.0, values[0]), (-1.0, values[1])]):
        assert with_share(parts, None).u >= with_share(parts, share).u - 1e-9


def test_the_table_is_that_of_the_studentized_range():
    """Against scipy's own integration of the distribution."""
    for count, factor in STUDENTIZED_RANGE.items():
        assert factor == pytest.approx(studentized_range.ppf(0.95, count, np.inf), abs=6e-4)


@pytest.mark.parametrize(
    "true", [(0, 0, 0, 0, 0), (0, 0, 2, 2, 2), (0, 5, 5, 0, 5), (0, 8, 20, 30, 40), (3, 3)]
)
def test_the_spreads_interval_holds_the_true_one_95_times_in_100(true):
    """Also when all are alike, where plain propagation would hold it three times in four."""
    rng = np.random.default_rng(11)
    u = np.resize([1.0, 0.7, 1.3], len(true))
    seen = np.asarray(true) + u * rng.standard_normal((2000, len(true)))
    spreads = [
        largest_minus_smallest([Measured(*pair) for pair in zip(row, u, strict=True)])
        for row in seen
    ]
    held = np.mean([each.holds(float(np.ptp(true))) for each in spreads])
    assert held > 0.95 - 3 * np.sqrt(0.95 * 0.05 / 2000)


def test_two_positions_spread_as_their_difference():
    spread = largest_minus_smallest([Measured(1.0, 0.3), Measured(9.0, 0.4)])
    assert (spread.value, spread.u) == (8.0, pytest.approx(0.5, rel=0.03))


def test_exact_values_spread_exactly():
    assert largest_minus_smallest([Measured(1.0), Measured(9.0), Measured(4.0)]) == Measured(8.0)


def test_one_value_has_no_spread():
    with pytest.raises(InputError, match="2 to 6 positions, got 1"):
        largest_minus_smallest([Measured(1.0)])


def test_a_part_taken_out_and_put_back_is_the_whole_again():
    value = Measured(270.0, 5.0)
    alone = without_share(value, 0.01)
    assert alone.u == pytest.approx(np.sqrt(25.0 - 2.7**2))
    assert widened(alone, 0.01 * value.value).u == pytest.approx(5.0)
    assert left_of(0.2, 0.3) == 0.0


def drawn_watch(rng, count):
    """What two readings of one watch read, drawn: each has an error of its own, both that of one
    clock (added) and of one lift angle (a factor)."""
    clock, lift = rng.normal(0.0, 1.7, count), rng.normal(1.0, 0.025, count)
    rates = np.array([[-12.0], [5.0]]) + rng.normal(0.0, [[0.6], [0.9]], (2, count)) + clock
    swings = np.array([[231.0], [275.0]]) * lift + rng.normal(0.0, [[2.0], [1.1]], (2, count))
    return rates, swings


def test_a_second_mind_draws_what_two_readings_share():
    """Monte Carlo by numpy alone (JCGM 101), against the three ways in which it is reckoned."""
    rates, swings = drawn_watch(np.random.default_rng(52), 200_000)
    own = [Measured(-12.0, 0.6), Measured(5.0, 0.9)]
    weights = [(1.0, own[1]), (-1.0, own[0])]
    assert with_common(mean_parts(own), 1.7).u == pytest.approx(rates.mean(0).std(), rel=0.01)
    assert with_common(weights, 1.7).u == pytest.approx((rates[1] - rates[0]).std(), rel=0.01)
    told = [
        Measured(231.0, float(np.hypot(2.0, 0.025 * 231.0))),
        Measured(275.0, float(np.hypot(1.1, 0.025 * 275.0))),
    ]
    assert with_share(mean_parts(told), 0.025).u == pytest.approx(swings.mean(0).std(), rel=0.01)
    change = with_share([(1.0, told[1]), (-1.0, told[0])], 0.025)
    assert change.u == pytest.approx((swings[1] - swings[0]).std(), rel=0.01)
    known = SharedErrors()
    first, last = (known.value(each.value, each.u, {"clock": 1.7}) for each in own)
    assert (last - first).std_dev == pytest.approx((rates[1] - rates[0]).std(), rel=0.01)
    assert ((first + last) / 2).std_dev == pytest.approx(rates.mean(0).std(), rel=0.01)


def test_errors_with_two_names_are_two_errors():
    known = SharedErrors()
    one, other = known.value(0.0, 0.0, {"mine": 3.0}), known.value(0.0, 0.0, {"yours": 4.0})
    assert (one - other).std_dev == pytest.approx(5.0)
    same = known.value(0.0, 0.0, {"mine": 3.0})
    assert (one - same).std_dev == 0.0


def test_the_arithmetic_of_what_is_shared_stands_in_one_place():
    """An uncertainty is widened, or freed of a part, nowhere else in the program."""
    root = Path(correlated.__file__).parents[1]
    copies = [
        (path.relative_to(root).as_posix(), line.strip())
        for path in root.rglob("*.py")
        if path != Path(correlated.__file__)
        for line in path.read_text("utf-8").splitlines()
        if COPY.search(line)
    ]
    assert copies == []
    assert COPY.search("return Measured(each.value, math.hypot(each.u, again))")
    assert COPY.search("return math.sqrt(max(0.0, u**2 - own_u**2))")
    assert not COPY.search("return Measured(value, math.hypot(from_time, from_lift))")
