"""Noises planted late by known amounts, beat by beat; 48 kHz, the background's variance is 1."""

import numpy as np
import pytest

from sideshake.sound.align import ByPower, ByWave, aligned

RATE_HZ = 48000
BEATS = 75
TIMES_S = 0.4 * np.arange(BEATS)
COLUMNS, PLACE = 400, 160
REACH = 58
"""1.2 ms."""


def bursts(late, *, level, seed=0, alike=True):
    """Return beats with one noise each, late by so many samples; a decay of 0.6 ms.

    `level` : its amplitude, in standard deviations of the background; not `alike`: its wave is new
    noise on each beat
    """
    random = np.random.default_rng(seed)
    since_s = (np.arange(COLUMNS) - PLACE - late[:, None]) / RATE_HZ
    envelope = np.where(since_s > 0, np.exp(-np.maximum(since_s, 0) / 6e-4), 0)
    envelope *= 1 - np.exp(-np.maximum(since_s, 0) / 40e-6)
    if alike:
        wave = np.sin(2 * np.pi * 4100 * since_s) + 0.7 * np.sin(2 * np.pi * 7700 * since_s)
    else:
        wave = random.normal(size=since_s.shape)
    return (level * envelope * wave + random.normal(size=since_s.shape)).astype(np.float32)


def by_wave(rows, late, *, wander=10.0):
    return aligned(
        ByWave(rows, REACH, noise=1.0), TIMES_S[: late.size], start=np.zeros(late.size),
        wander=wander, reach=REACH,
    )  # fmt: skip


def by_power(rows, late, *, wander=10.0):
    """Powers here are squared samples, two of them a cell: each is exponential."""
    cells = (rows**2).reshape(rows.shape[0], -1, 2).mean(axis=2)
    return aligned(
        ByPower(cells, REACH // 2), TIMES_S[: late.size], start=np.zeros(late.size),
        wander=wander / 2, reach=REACH // 2,
    )  # fmt: skip


def error(found, late, *, step=1.0):
    """Return how far off each lateness is (samples); only differences are told."""
    return found.late * step - (late - late.mean())


@pytest.mark.parametrize("wander_us", [20, 80, 200, 300])
def test_planted_lateness_is_found_by_waves(wander_us):
    """30 dB: to half a sample, and nothing of it is left open."""
    late = np.random.default_rng(wander_us).normal(0, wander_us * 1e-6 * RATE_HZ, BEATS)
    late = np.clip(late, -2.5 * np.std(late), 2.5 * np.std(late))
    found = by_wave(bursts(late, level=30.0), late)
    assert np.std(error(found, late)) < 0.5
    assert found.wander == pytest.approx(np.std(late), rel=0.15, abs=0.3)
    assert found.sure > 0.95 or found.smear < 0.5


@pytest.mark.parametrize("wander_us", [80, 200, 300])
def test_powers_find_what_waves_cannot(wander_us):
    """Each beat's wave is new noise, its power alike: to 50 us, and the smear says so."""
    late = np.random.default_rng(wander_us).normal(0, wander_us * 1e-6 * RATE_HZ, BEATS)
    late = np.clip(late, -2.5 * np.std(late), 2.5 * np.std(late))
    rows = bursts(late, level=30.0, alike=False)
    found = by_power(rows, late)
    off = np.std(error(found, late, step=2.0))
    assert off < 50e-6 * RATE_HZ
    assert off < 2.0 * max(2 * found.smear, 0.5)


def test_a_drift_is_followed():
    """300 us over half a minute, with 20 us of scatter: the line is in the lateness, and only what
    is left of it is wander."""
    scatter = np.random.default_rng(1).normal(0, 1.0, BEATS)
    late = 14.4 * (TIMES_S - TIMES_S.mean()) / TIMES_S[-1] + scatter
    found = by_wave(bursts(late, level=10.0), late)
    slope = np.polyfit(TIMES_S, found.late, 1)[0]
    assert slope == pytest.approx(14.4 / TIMES_S[-1], rel=0.1)
    assert found.wander == pytest.approx(1.0, abs=0.4)


def test_a_faint_drift_is_followed_too():
    """Each beat alone is told only to a third of its scatter; the line is told by all."""
    scatter = np.random.default_rng(2).normal(0, 2.0, BEATS)
    late = 24.0 * (TIMES_S - TIMES_S.mean()) / TIMES_S[-1] + scatter
    found = by_wave(bursts(late, level=2.5), late)
    slope = np.polyfit(TIMES_S, found.late, 1)[0]
    assert slope == pytest.approx(24.0 / TIMES_S[-1], rel=0.3)


def test_a_faint_noise_is_not_sure_and_leaves_a_smear():
    """The same lateness, told well at 30 standard deviations and hardly at all at one."""
    late = np.random.default_rng(3).normal(0, 6.0, BEATS)
    clear, faint = (by_wave(bursts(late, level=level), late) for level in (30.0, 1.0))
    assert clear.sure > 0.95
    assert faint.sure < 0.6
    assert faint.smear > 5 * clear.smear


def test_nothing_at_all_tells_nothing():
    """Counter-case: pure noise leaves the lateness as unknown as it was thought to be."""
    rows = np.random.default_rng(0).normal(size=(BEATS, COLUMNS)).astype(np.float32)
    found = by_wave(rows, np.zeros(BEATS))
    assert found.sure < 0.6
    assert found.smear > 3.0


@pytest.mark.parametrize(("level", "most"), [(2.0, 1.6), (4.0, 1.3), (10.0, 1.3), (30.0, 1.3)])
def test_the_smear_is_never_much_less_than_the_error(level, most):
    """12 draws at each level: the root of the mean squared error against the smear stated, with
    another quarter of a sample for what lies between samples. In noise twice the background's
    standard deviation the scatter is now and then thought too small (rms 1.45 times the smear); of
    waves only the lateness is used further, an onset's uncertainty takes the smear of powers."""
    squares, stated = [], []
    for seed in range(12):
        late = np.random.default_rng([seed, 8]).normal(0, 3.0, BEATS)
        found = by_wave(bursts(late, level=level, seed=seed), late)
        squares.append(np.mean(error(found, late) ** 2))
        stated.append(found.smear**2 + 0.25**2)
    assert np.sqrt(np.mean(squares)) < most * np.sqrt(np.mean(stated))


def test_the_smear_of_powers_is_never_much_less_than_the_error():
    """The same for noises whose waves are new each time."""
    squares, stated = [], []
    for level in (3.0, 10.0, 30.0):
        for seed in range(6):
            late = np.random.default_rng([seed, 9]).normal(0, 5.0, BEATS)
            found = by_power(bursts(late, level=level, seed=seed, alike=False), late)
            squares.append(np.mean(error(found, late, step=2.0) ** 2))
            stated.append((2 * found.smear) ** 2 + 0.25**2)
    assert np.sqrt(np.mean(squares)) < 1.3 * np.sqrt(np.mean(stated))


def test_a_beat_is_not_held_against_itself():
    """Loud beats that are not alike would each recognise themselves, stay where they are, and seem
    to scatter by nothing; they scatter by 8 samples."""
    late = np.random.default_rng(6).normal(0, 8.0, BEATS)
    found = by_wave(bursts(late, level=30.0, alike=False), late)
    assert found.wander > 4.0


def test_lateness_has_no_mean():
    """When the noise comes on the whole is the average's, not the beats'."""
    late = 20.0 + np.random.default_rng(7).normal(0, 2.0, BEATS)
    found = by_wave(bursts(late, level=20.0), late)
    assert found.late.mean() == pytest.approx(0, abs=1e-9)
    assert np.std(error(found, late)) < 0.5
