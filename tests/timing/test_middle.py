"""How fast the middle of lift moves: what tick and tock do not share is open."""

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.timing.amplitude import Swing
from sideshake.timing.middle import middle_drift, sides_apart

BEAT_S, COUNT = 0.2, 150


def beats_with(middle_s):
    index = np.arange(COUNT)
    return Beats(BEAT_S * index, index, np.ones(COUNT, np.float32), middle_s)


def swing():
    nothing = Measured(0.0)
    return Swing(
        time_s=nothing, shape_u_s=0.0, offset_s=nothing, offset_shape_u_s=0.0,
        groups_s=np.empty(0), start_s=-1.0, end_s=31.0,
    )  # fmt: skip


def test_a_drift_that_both_sides_share_is_known():
    """2 us a second on both; its uncertainty stands in the beats' scatter."""
    at_s = BEAT_S * np.arange(COUNT)
    drift, _ = middle_drift(beats_with(2e-6 * (at_s - at_s.mean())), [swing()])
    assert drift.value == pytest.approx(2e-6, rel=1e-3)
    assert drift.u == pytest.approx(0, abs=1e-9)


def test_a_drift_of_one_side_alone_is_open_by_half_of_it():
    """Tick moves by 3 us a second, tock stays: the mean is 1.5, and either may be right."""
    index = np.arange(COUNT)
    at_s = BEAT_S * index
    late_s = np.where(index % 2 == 0, 3e-6 * (at_s - at_s.mean()), 0.0)
    drift, _ = middle_drift(beats_with(late_s), [swing()])
    assert drift.value == pytest.approx(1.5e-6, rel=0.01)
    assert drift.u == pytest.approx(1.5e-6, rel=0.01)


def test_what_chance_makes_of_the_sides_is_not_counted_twice():
    """Counter-case: lateness that scatters by 30 us without a drift; what is left of the sides'
    difference over 40 draws is less than its chance (0.57 us a second, from the sum of squares)."""
    random = np.random.default_rng(7)
    apart = [sides_apart(beats_with(random.normal(0, 30e-6, COUNT))) for _ in range(40)]
    chance = 30e-6 * np.sqrt(2 / (COUNT / 2 * np.var(BEAT_S * np.arange(COUNT))))
    assert np.median(apart) < chance
    assert min(apart) == 0


def test_few_beats_of_a_side_say_nothing_of_it():
    index = np.arange(8)
    few = Beats(BEAT_S * index, index, np.ones(8, np.float32), 1e-6 * index**2)
    assert sides_apart(few) == 0
