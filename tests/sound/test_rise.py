"""Where powers first stand out, planted by hand."""

import numpy as np
import pytest

from sideshake.sound.rise import KEPT_MEAN, LEAST_CUT, cut_means, first_rises, middle_means


@pytest.mark.parametrize("level", [0.02, 0.05])
def test_a_ramp_first_stands_out_at_the_level_asked_for(level):
    """It rises from 200 on by 1/100 a column: the level is reached 100 times it later, four times
    as much three such lengths after that, half at 250."""
    power = np.clip((np.arange(400) - 200) / 100, 0, 1)[None]
    found = first_rises(power, 205.0, 192_000.0, level=level, chance=np.array([1e-9]))
    top = power[0, 250 : 250 + 48].max()
    assert found.at[0] == pytest.approx(200 + 100 * level * top, abs=0.1)
    assert found.rise[0] == pytest.approx(300 * level * top, abs=0.1)
    assert found.slow[0] == pytest.approx(50 - 100 * level * top, abs=10)


@pytest.mark.parametrize(("pause_s", "begins"), [(0.1e-3, 200), (0.4e-3, 297)])
def test_a_noise_that_pauses_for_a_moment_is_one_noise(pause_s, begins):
    """A wave passes through nought. Counter-case: after 0.4 ms of silence it is another."""
    rate_hz = 192_000.0
    second = 220 + round(pause_s * rate_hz)
    power = np.full((1, 700), 1e-6)
    power[:, 200:220] = 0.2
    power[:, second:] = 1.0
    found = first_rises(power, second, rate_hz, level=0.02, chance=np.array([1e-6]))
    assert found.at[0] == pytest.approx(begins, abs=1.1)


def test_what_stands_out_of_chance_nowhere_never_begins():
    power = np.full((1, 400), 1e-6)
    power[:, 200:] = 1.0
    found = first_rises(power, 205.0, 192_000.0, level=0.02, chance=np.array([3.0]))
    assert np.isnan(found.at[0])


def rows_and_shares(elsewhere):
    """75 rows of 1 to 2 but for some of 1000, and the shares of all of them and of the first 40."""
    rows = np.random.default_rng(1).uniform(1, 2, (75, 20)).astype(np.float32)
    rows[elsewhere] = 1000
    share = np.zeros((2, 75), np.float32)
    share[0] = 1 / 75
    share[1, :40] = 1 / 40
    return rows, share


def test_a_beat_that_lies_elsewhere_does_not_move_the_median_of_groups():
    """One row of 1000: the median over groups stays within what the others are, each row by its own
    shares; of eight rows, too few for groups, it is the plain mean."""
    rows, share = rows_and_shares(30)
    assert (middle_means(share, rows) < 2).all()
    assert (middle_means(share, rows) > 1).all()
    few = middle_means(np.full((1, 8), 1 / 8, np.float32), rows[:8])
    assert few[0] == pytest.approx(rows[:8].mean(axis=0))


def test_beats_that_lie_elsewhere_do_not_move_the_mean_power():
    """Ten rows of 1000: the mean without the loudest fifth stays within what the others are, each
    row by its own shares. Counter-case: of rows too few to leave any out it is the plain mean."""
    rows, share = rows_and_shares(slice(30, 40))
    means, left = cut_means(share, rows)
    assert left == KEPT_MEAN
    assert (means < 2).all()
    assert (means > 1).all()
    few, left = cut_means(np.full((1, LEAST_CUT - 1), 1 / (LEAST_CUT - 1)), rows[-LEAST_CUT + 1 :])
    assert few[0] == pytest.approx(rows[-LEAST_CUT + 1 :].mean(axis=0))
    assert left == 1.0


def test_so_much_of_a_background_is_left_as_normal_numbers_leave():
    """The mean of squares of normal numbers below their 80 % quantile, z = 1.2816: (0.8 - 2 z f(z))
    / 0.8 = 0.438 (by parts: the integral of z squared times the density f). 200 000 draws."""
    rows = np.random.default_rng(2).normal(size=(200, 1000)) ** 2
    means, left = cut_means(np.full((1, 200), 1 / 200), rows)
    assert float(means.mean()) == pytest.approx(left, rel=0.02)
