"""Planted onsets: in steps of power by hand, and in a simulated watch whose truth is known."""

import numpy as np
import pytest

from sideshake.sound.onset import choose_onsets, own_shifts, sharp_onsets
from sideshake.sound.page import hear_page
from sideshake.sound.portrait import DRAWS, clearness_db, fine_power, group_edges, row_weights
from sideshake.sound.room import Room
from sideshake.sound.simulate import Watch, simulate
from sideshake.timing.amplitude import ONSET_U_S

RATE_HZ = 192_000.0


def sharp_onset(power, noise, coarse):
    """Return the onset of a single row."""
    return sharp_onsets(power[None], np.array([noise]), coarse, RATE_HZ)[0]


def bursts(*places_and_levels, size=8000, noise=1e-4):
    """Return power with bursts of 2 ms decay that begin at the given samples."""
    power = np.full(size, noise)
    for place, level in places_and_levels:
        since = np.arange(size - place)
        power[place:] += level * np.exp(-since / (2e-3 * RATE_HZ / 4))
    return power


def test_unlocking_and_drop_are_chosen_by_loudness_and_distance():
    """18000 an hour, 12.28 ms apart as at 270 degrees: samples 1500 and 3858."""
    found = choose_onsets(bursts((1500, 0.3), (3858, 1.0)), 1e-4, RATE_HZ, 0.2)
    assert found == pytest.approx((1500, 3858), abs=12)


def test_impulse_between_them_is_not_taken():
    power = bursts((1500, 0.3), (2160, 0.1), (3858, 1.0))
    assert choose_onsets(power, 1e-4, RATE_HZ, 0.2) == pytest.approx((1500, 3858), abs=12)


def test_a_loud_unlocking_is_still_the_first():
    """The strongest has nothing before it: it is unlocking and the drop follows."""
    found = choose_onsets(bursts((1500, 1.0), (3858, 0.5)), 1e-4, RATE_HZ, 0.2)
    assert found == pytest.approx((1500, 3858), abs=12)


def test_one_noise_alone_is_no_pair():
    assert choose_onsets(bursts((3000, 1.0)), 1e-4, RATE_HZ, 0.2) is None


def test_noises_at_an_impossible_distance_are_no_pair():
    """3 ms at 18000 an hour would be more than 1000 degrees."""
    assert choose_onsets(bursts((1500, 0.3), (2076, 1.0)), 1e-4, RATE_HZ, 0.2) is None


def test_a_drop_barely_above_the_noise_could_hide_an_unlocking():
    assert choose_onsets(bursts((1500, 2e-3), (3858, 5e-3)), 1e-4, RATE_HZ, 0.2) is None


def test_noise_alone_has_no_onsets():
    power = np.random.default_rng(0).exponential(1e-4, 8000)
    assert choose_onsets(power, 1e-4, RATE_HZ, 0.2) is None


def test_a_step_of_power_begins_where_it_was_planted():
    power = np.full(2000, 1e-6)
    power[1000:] = 1.0
    assert sharp_onset(power, 1e-6, 1005) == pytest.approx(999.1, abs=0.1)


def test_a_ramp_begins_at_a_tenth_of_its_top():
    """The ramp rises from 1000 on by 1/20 a sample and then stays: a tenth is at 1002."""
    power = np.clip((np.arange(2000) - 1000) / 20, 1e-6, 1)
    assert sharp_onset(power, 1e-9, 1005) == pytest.approx(1002, abs=0.1)


def test_nothing_rising_has_no_onset():
    assert np.isnan(sharp_onset(np.ones(2000), 1.0, 1000))


def test_a_sine_has_the_same_power_everywhere():
    """The squared envelope of a sine of height 2 is 4."""
    wave = 2 * np.sin(2 * np.pi * 40 * np.arange(400) / 400)
    assert fine_power(wave[None].astype(np.float32)) == pytest.approx(
        np.full((1, 1600), 4), rel=1e-3
    )


def test_clearness_is_the_loudest_millisecond_over_the_noise():
    """1 ms of 100 in noise of 1 is 20 dB."""
    power = np.ones(4000)
    power[1000:1192] = 100
    assert clearness_db(power, 1.0, RATE_HZ) == pytest.approx(20)


def test_rows_are_all_draws_and_groups_of_ten_seconds():
    times_s = np.linspace(0, 29.9, 75)
    weights = row_weights(times_s, group_edges(times_s), 1)
    assert weights.shape == (1 + DRAWS + 3, 75)
    assert np.all(weights[0] == 1)
    assert np.mean(weights[1 : 1 + DRAWS]) == pytest.approx(1, abs=0.1)  # Poisson, 1200 of them
    assert np.array_equal(weights[1 + DRAWS :].sum(axis=0), np.ones(75))
    assert weights[1 + DRAWS, :25].all()


@pytest.mark.parametrize(
    ("per_hour", "swing"), [(18000, 270), (18000, 190), (28800, 300), (21600, 230)]
)
def test_the_simulated_watch_s_onsets_are_found(per_hour, swing):
    """Each within three of the stated standard uncertainty of its shape (11 us)."""
    watch = Watch(beats_per_hour=per_hour, amplitude_deg=swing, beat_error_ms=0.4)
    truth = simulate(watch, duration_s=30, room=Room(snr_db=25), seed=per_hour)
    page = hear_page(truth.samples, truth.rate_hz, start_s=0.0)
    arrival_s, side = page.beats.arrival_s, page.beats.side
    true = np.rint(np.interp(arrival_s, truth.centre_s, np.arange(truth.centre_s.size))).astype(int)
    for one in (0, 1):
        onsets, some = page.portraits[one].onsets, side == one
        unlock_s = np.mean(truth.unlock_s[true[some]] - arrival_s[some])
        drop_s = np.mean(truth.drop_s[true[some]] - arrival_s[some])
        assert onsets.drop_s[0] - onsets.unlock_s[0] == pytest.approx(
            drop_s - unlock_s, abs=3 * 2**0.5 * ONSET_U_S
        )
        assert onsets.beats == np.count_nonzero(some)


def test_each_noise_s_own_shift_is_found():
    """40 bursts of two tones, each late by a planted fraction of samples; noise 30 dB down."""
    random, rate_hz = np.random.default_rng(6), 48000
    late = random.normal(0, 5, 40)
    since_s = (np.arange(400) - 200 - late[:, None]) / rate_hz
    wave = np.sin(2 * np.pi * 4100 * since_s) + 0.7 * np.sin(2 * np.pi * 7700 * since_s)
    burst = 30 * np.where(since_s > 0, np.exp(-np.maximum(since_s, 0) / 6e-4), 0) * wave
    rows = (burst + random.normal(size=burst.shape)).astype(np.float32)
    found = own_shifts(rows, 200, rate_hz)
    assert np.std(found - (late - late.mean())) < 0.2
    assert own_shifts(random.normal(size=(40, 400)).astype(np.float32), 200, rate_hz) is None
