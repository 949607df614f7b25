import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import studentized_range

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.timing.correlated import (
    STUDENTIZED_RANGE,
    largest_minus_smallest,
    mean_parts,
    with_common,
    with_share,
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
