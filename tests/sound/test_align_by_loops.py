"""How beats are held against the average of the others, reckoned by loops from the definition."""

import numpy as np
import pytest

from sideshake.sound.align import MANY, SMOOTH_CELLS, ByPower, aligned
from sideshake.sound.windows import quantile_of_rows

REACH, CELLS = 4, 20


def told_by_loops(power: np.ndarray, chance: np.ndarray) -> np.ndarray:
    """Return the log-likelihoods of exponential powers about the mean of the others, turned back.

    The mean of many is that of all. Cells go round, on as many as a fast transform has.
    """
    floor = np.quantile(power.mean(axis=0), 0.1)
    count, size, lags = power.shape[0], 30, np.arange(-REACH, REACH + 1)
    rows = np.full((count, size), floor)
    rows[:, :CELLS] = power
    turned = np.zeros((count, size))
    for beat in range(count):
        for share, lag in zip(chance[beat], lags, strict=True):
            turned[beat] += share * np.roll(rows[beat], -lag)
    told = np.zeros((count, lags.size))
    for beat in range(count):
        among = turned if count > MANY else np.delete(turned, beat, axis=0)
        mean = among.mean(axis=0)
        smooth = np.mean([np.roll(mean, -step) for step in range(SMOOTH_CELLS)], axis=0)
        for at, lag in enumerate(lags):
            told[beat, at] = -np.sum(np.roll(rows[beat], -lag) / np.maximum(smooth, floor / 2))
    return told


@pytest.mark.parametrize("count", [2, MANY, MANY + 1, 60])
def test_powers_are_told_as_the_loops_say_for_few_beats_and_for_many(count: int) -> None:
    rng = np.random.default_rng(count)
    power = rng.exponential(1.0, (count, CELLS)).astype(np.float32)
    power[:, 8:12] *= 6
    chance = rng.random((count, 2 * REACH + 1)).astype(np.float32)
    chance /= chance.sum(axis=1, keepdims=True)
    found = ByPower(power, REACH).told(chance)
    assert found == pytest.approx(told_by_loops(power, chance), rel=1e-5)


@pytest.mark.parametrize("count", [12, 60])
def test_planted_latenesses_come_back(count: int) -> None:
    rng, cells, reach = np.random.default_rng(7), np.arange(120), 20
    late = rng.normal(0.0, 4.0, count)
    after = cells - 60 - late[:, None]
    power = rng.exponential(1.0, after.shape) * (1 + 200 * np.exp(-after / 8) * (after > 0))
    found = aligned(
        ByPower(power.astype(np.float32), reach),
        np.arange(count) * 0.4,
        start=np.zeros(count),
        wander=4.0,
        reach=reach,
    )
    assert np.std(found.late - late) < 0.8
    assert np.corrcoef(found.late, late)[0, 1] > 0.95


@pytest.mark.parametrize("count", [1, 2, 5, 24, 25])
def test_the_quantile_of_rows_is_that_of_numpy(count: int) -> None:
    rows = np.random.default_rng(count).random((count, 50)).astype(np.float32)
    assert quantile_of_rows(rows, 0.25) == pytest.approx(np.quantile(rows, 0.25, axis=0))
