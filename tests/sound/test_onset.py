"""Where a noise begins: planted in beats of noise, and in powers by hand."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.sound.onset import (
    DRAWS,
    USUAL_SMEAR_S,
    NoiseOnset,
    SideBeats,
    crossings,
    early_s,
    is_astray,
    noise_onset,
    steps,
)
from sideshake.sound.profile import CELL_RATE_HZ
from sideshake.sound.template import shape_u_s

RATE_HZ = 48000
STEP = RATE_HZ / CELL_RATE_HZ
LEAD, COLUMNS = 960, 1920
BEATS = 75


def side_of(late_s, *, attack_s, snr_db=30.0, seed=0, alike=True):
    """Return beats whose noise begins `late_s` after the arrival (which is column LEAD).

    `attack_s` : a time constant of the rise, 0 for a step; the noise is a handful of resonances,
    its loudest moment `snr_db` above the background of variance 1
    """
    random = np.random.default_rng(seed)
    since_s = (np.arange(COLUMNS) - LEAD) / RATE_HZ - late_s[:, None]
    held_s = np.maximum(since_s, 0)
    wave = np.zeros_like(since_s)
    for hz, phase in ((3100, 0.4), (5200, -0.3), (8300, 0.1), (11900, 0.5)):
        turn = 2 * np.pi * hz * held_s + phase
        if not alike:
            turn = turn + random.uniform(0, 2 * np.pi, (late_s.size, 1))
        wave += np.sin(turn)
    envelope = np.where(since_s > 0, np.exp(-held_s / 6e-4), 0.0)
    if attack_s > 0:
        envelope *= 1 - np.exp(-held_s / attack_s)
    wave *= envelope
    power = np.convolve((wave**2).mean(axis=0), np.ones(12) / 12).max()
    wave *= np.sqrt(10 ** (snr_db / 10) / power)
    waves = (wave + random.normal(size=wave.shape)).astype(np.float32)
    cells = (waves**2).reshape(late_s.size, -1, round(STEP)).mean(axis=2)
    return SideBeats(
        waves=waves, powers=cells.astype(np.float32), step=STEP, offset=np.zeros(late_s.size),
        lead=LEAD, along=when(late_s.size),
        share=np.full((1, late_s.size), 1 / late_s.size, np.float32),
        counts=np.array([float(late_s.size)]), noise=1.0, rate_hz=RATE_HZ,
    )  # fmt: skip


def when(count):
    """Return when the beats come, all of them even."""
    return np.stack([0.4 * np.arange(count), np.zeros(count)])


def found_error_us(side, late_s):
    onset = noise_onset(side, 0.1e-3)
    return 1e6 * (float(onset.at_s[0]) - float(late_s.mean())), onset


def test_where_between_two_samples_a_noise_begins_does_not_matter():
    """Planted at every fifth of a sample (4 us), 40 dB above the room: all found alike within 4 us.
    On the samples alone what is found moves by 11 us, half a sample."""
    places_s = (0.13e-3 + np.arange(5) / 5 / RATE_HZ)[:, None] + np.zeros(BEATS)
    errors_us = [
        found_error_us(side_of(late_s, attack_s=60e-6, snr_db=40.0), late_s)[0]
        for late_s in places_s
    ]
    assert max(errors_us) - min(errors_us) < 4.0


@pytest.mark.parametrize(
    ("attack_us", "within_us"), [(0, 25), (20, 25), (40, 30), (70, 35), (150, 60)]
)
def test_a_noise_begins_where_it_was_planted(attack_us, within_us):
    """Five draws at each steepness, 30 dB. A tenth of the peak of power is reached after about a
    third of the attack's time constant; a softer one is open by more."""
    late_s = np.full(BEATS, 0.13e-3)
    for seed in range(5):
        error_us, _ = found_error_us(side_of(late_s, attack_s=attack_us * 1e-6, seed=seed), late_s)
        assert abs(error_us) < within_us


@pytest.mark.parametrize("snr_db", [5, 15, 40])
def test_it_hardly_depends_on_the_room(snr_db):
    late_s = np.full(BEATS, 0.05e-3)
    errors = [
        found_error_us(side_of(late_s, attack_s=40e-6, snr_db=snr_db, seed=seed), late_s)[0]
        for seed in range(6)
    ]
    assert np.max(np.abs(errors)) < 45


@pytest.mark.parametrize("wander_us", [30, 100, 200])
@pytest.mark.parametrize("snr_db", [10, 25])
def test_a_noise_that_moves_begins_at_the_mean_of_its_beats(wander_us, snr_db):
    """Its mean lateness is meant."""
    errors = []
    for seed in range(6):
        late_s = np.random.default_rng([seed, wander_us]).normal(0, wander_us * 1e-6, BEATS)
        late_s = np.clip(late_s, -2.5e-6 * wander_us, 2.5e-6 * wander_us)
        side = side_of(late_s, attack_s=40e-6, snr_db=snr_db, seed=seed)
        errors.append(found_error_us(side, late_s)[0])
    assert np.sqrt(np.mean(np.square(errors))) < 15


def followed_us(side, late_s):
    """Return how far off each beat's lateness is, standard deviation."""
    late = noise_onset(side, 0.1e-3).late_s
    return 1e6 * float(np.std(late - (late_s - late_s.mean())))


def scattered(seed, *, shared):
    """Return a noise as loud as the room whose beats scatter by 0.25 ms against their arrivals, and
    that lateness; `shared` : because the arrivals do, while it comes evenly to 15 us."""
    random = np.random.default_rng([seed, 8])
    late_s = np.clip(random.normal(0, 0.25e-3, BEATS), -0.6e-3, 0.6e-3)
    side = side_of(late_s, attack_s=40e-6, snr_db=0, seed=seed)
    uneven_s = -late_s + random.normal(0, 15e-6, BEATS) if shared else np.zeros(BEATS)
    return replace(side, along=np.stack([side.along[0], uneven_s])), late_s


def test_a_noise_that_comes_evenly_is_followed_though_the_arrivals_scatter():
    """The arrivals tell where an even balance lets the noise be: within 50 us. Without them its own
    sound, no louder than the room, leaves each beat open by more than twice as much."""
    for seed in range(4):
        shared, alone = (followed_us(*scattered(seed, shared=shared)) for shared in (True, False))
        assert shared < 50
        assert alone > 100


def test_a_noise_that_follows_its_arrivals_is_not_moved_by_where_they_scatter():
    """Counter-case: it comes with the arrival, which is uneven by 0.25 ms for both."""
    uneven_s = np.random.default_rng(8).normal(0, 0.25e-3, BEATS)
    late_s = np.full(BEATS, 0.1e-3)
    side = side_of(late_s, attack_s=40e-6, snr_db=15)
    found = replace(side, along=np.stack([side.along[0], uneven_s]))
    assert followed_us(found, late_s) < 5


def test_beats_that_lie_elsewhere_let_their_average_begin_early_and_it_is_put_later():
    assert early_s(USUAL_SMEAR_S) == early_s(0.0) == 0.0
    assert early_s(USUAL_SMEAR_S + 50e-6) == pytest.approx(45e-6)


@pytest.mark.parametrize("alike", [True, False])
@pytest.mark.parametrize("wander_us", [0.001, 100])
def test_the_stated_uncertainty_of_a_shape_is_honest(wander_us, alike):
    """Waves alike or new on each beat: over eight noises the error is no more than 1.5 times what
    is stated, root mean square (the shapes of eight leave 25 % open)."""
    errors, stated = [], []
    for seed in range(8):
        late_s = np.random.default_rng([seed, 3]).normal(0, wander_us * 1e-6, BEATS)
        side = side_of(late_s, attack_s=70e-6, snr_db=20, seed=seed, alike=alike)
        error_us, onset = found_error_us(side, late_s)
        errors.append(error_us)
        stated.append(1e6 * shape_u_s(onset))
    assert np.sqrt(np.mean(np.square(errors))) < 1.5 * np.sqrt(np.mean(np.square(stated)))


def test_the_beats_own_lateness_is_told():
    late_s = np.random.default_rng(5).normal(0, 80e-6, BEATS)
    _, onset = found_error_us(side_of(late_s, attack_s=40e-6), late_s)
    assert onset.late_s.mean() == pytest.approx(0, abs=1e-9)
    assert np.std(onset.late_s - (late_s - late_s.mean())) < 15e-6


def test_the_smear_widens_with_faintness():
    """The same scatter of 100 us: told at 30 dB, half of it open at 5."""
    late_s = np.random.default_rng(6).normal(0, 100e-6, BEATS)
    clear, faint = (
        found_error_us(side_of(late_s, attack_s=40e-6, snr_db=snr_db), late_s)[1]
        for snr_db in (30, 5)
    )
    assert clear.smear_s < 40e-6
    assert faint.smear_s > 1.5 * clear.smear_s


@pytest.mark.parametrize("seed", range(6))
def test_a_faint_noise_is_placed_by_the_step_it_makes(seed):
    """Mean powers of 75 beats about 1, half as much again from cell 60 on (24 a millisecond): no
    single cell stands out, their step does, to a quarter of a millisecond."""
    random = np.random.default_rng(seed)
    power = random.normal(0, 1 / np.sqrt(75), (1, 100))
    power[0, 60:] += 0.5
    at, top = steps(power, 60.0, CELL_RATE_HZ, chance=np.array([4 / np.sqrt(75)]))
    assert abs(at[0] - 60) <= 6
    assert top[0] == pytest.approx(0.5, abs=0.25)


def test_where_powers_do_not_step_up_nothing_begins():
    """Counter-case."""
    power = np.random.default_rng(0).normal(0, 1 / np.sqrt(75), (1, 100))
    at, _ = steps(power, 60.0, CELL_RATE_HZ, chance=np.array([4 / np.sqrt(75)]))
    assert np.isnan(at[0])


def test_an_onset_long_before_the_noise_noticed_or_moved_by_chance_is_astray():
    def onset(at_ms, scatter_ms):
        rows = at_ms * 1e-3 + scatter_ms * 1e-3 * np.tile([1.0, -1.0], DRAWS // 2 + 1)
        return NoiseOnset(
            at_s=rows, own_s=np.zeros(rows.size), alone_s=rows, by_wave=True, rise_s=0.0,
            smear_s=0.0, apart_s=0.0, late_s=np.zeros(4),
        )  # fmt: skip

    assert not is_astray(onset(-0.2, 0.02), 0.0)
    assert not is_astray(onset(0.6, 0.02), 0.0)  # a smeared noise is noticed early
    assert is_astray(onset(-0.5, 0.02), 0.0)
    assert is_astray(onset(-0.2, 0.2), 0.0)
    one_missing = onset(-0.2, 0.2)
    one_missing.at_s[3] = np.nan
    assert is_astray(one_missing, 0.0)


def test_the_softer_the_attack_the_longer_the_rise():
    late_s = np.zeros(BEATS)
    rises = [
        found_error_us(side_of(late_s, attack_s=attack_s), late_s)[1].rise_s
        for attack_s in (0.0, 70e-6, 200e-6)
    ]
    assert rises == sorted(rises)
    assert rises[2] > 2 * rises[0]


def test_each_row_has_its_own_onset():
    """Two groups of beats 60 us apart: their averages' onsets are too."""
    late_s = np.repeat([0.0, 60e-6], [40, 35])
    side = side_of(late_s, attack_s=30e-6)
    member = np.stack([np.ones(75), np.arange(75) < 40, np.arange(75) >= 40])
    counts = member.sum(axis=1)
    share = (member / counts[:, None]).astype(np.float32)
    rows = replace(side, share=share, counts=counts)
    at_s = noise_onset(rows, 0.1e-3).at_s
    assert at_s[2] - at_s[1] == pytest.approx(60e-6, abs=10e-6)
    assert at_s[1] < at_s[0] < at_s[2]


def test_where_there_is_no_noise_nothing_begins():
    """Counter-case: 20 rooms without a tick, asked all the same (a page asks only where an event
    stands out of chance); an onset is made up in three of them at most."""
    found = []
    for seed in range(20):
        waves = np.random.default_rng(seed).normal(size=(BEATS, COLUMNS)).astype(np.float32)
        plain = side_of(np.zeros(BEATS), attack_s=0.0)
        cells = (waves**2).reshape(BEATS, -1, round(STEP)).mean(axis=2)
        onset = noise_onset(replace(plain, waves=waves, powers=cells), 0.1e-3)
        found.append(onset is not None and np.isfinite(onset.at_s[0]))
    assert sum(found) <= 3


def test_a_step_of_power_begins_where_it_was_planted():
    power = np.full((1, 400), 1e-6)
    power[:, 200:] = 1.0
    found = crossings(power, 205.0, 192_000.0, chance=1e-6)
    assert found.at[0] == pytest.approx(199.1, abs=0.1)


def test_a_ramp_begins_at_a_tenth_of_its_top():
    """It rises from 200 on by 1/20 a column and then stays: a tenth at 202, half at 210."""
    power = np.clip((np.arange(400) - 200) / 20, 1e-6, 1)[None]
    found = crossings(power, 205.0, 192_000.0, chance=1e-9)
    assert found.at[0] == pytest.approx(202, abs=0.1)
    assert found.rise[0] == pytest.approx(8, abs=1)


@pytest.mark.parametrize(("pause_s", "begins"), [(0.15e-3, 200), (0.9e-3, 433)])
def test_a_noise_begins_with_its_first_rise_and_not_with_the_one_long_before(pause_s, begins):
    """A fainter first half, a dip of 0.15 ms, the loudest: it begins with the first half, as a drop
    does whose banking is louder. Counter-case: what lies 0.9 ms before (173 columns) is another
    noise."""
    rate_hz = 192_000.0
    second = round(260 + pause_s * rate_hz)
    power = np.full((1, 700), 1e-6)
    power[:, 200:260] = 0.4
    power[:, second:] = 1.0
    found = crossings(power, second, rate_hz, chance=1e-6)
    assert found.at[0] == pytest.approx(begins, abs=2)


def test_nothing_rising_has_no_onset():
    assert np.isnan(crossings(np.ones((1, 400)), 200.0, 192_000.0, chance=0.5).at[0])


def test_what_does_not_rise_above_chance_has_no_onset():
    power = np.full((1, 400), 1e-6)
    power[:, 200:] = 1.0
    assert np.isnan(crossings(power, 205.0, 192_000.0, chance=3.0).at[0])
