"""The average tick's power: planted pulses at a known level over white noise."""

import numpy as np
import pytest
from planted_profiles import RATE_HZ, windows_with

from sideshake.sound.noise import RoomNoise
from sideshake.sound.profile import envelope_powers, median_of_means, side_profiles, turned
from sideshake.sound.segment import hear_segment
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.windows import cropped


def tone(level, *, hz=6000.0, length=480):
    """Return 10 ms of a tone of mean power `level`, its edges soft."""
    wave = np.sqrt(2 * level) * np.sin(2 * np.pi * hz / RATE_HZ * np.arange(length))
    return wave * np.minimum(1, np.minimum(np.arange(length), np.arange(length)[::-1]) / 24)


def profiles_of(windows, shift=None):
    late = np.zeros(windows.number.size) if shift is None else shift
    powers = envelope_powers(windows.spectra, windows)
    return side_profiles(
        windows, powers, turned(windows, powers, late, np.arange(windows.number.size))
    )


def between(profile, first_s, last_s):
    at_s = profile.start_s + profile.cell_s * np.arange(profile.power.size)
    return profile.power[(at_s > first_s) & (at_s < last_s)]


@pytest.mark.parametrize("snr_db", [-3, 10, 30])
def test_a_planted_pulse_has_its_power_over_the_background(snr_db):
    """The background is 1; a tone of ten times it is 11. What the noise has in its 48 kHz the
    pulse has too, but only 0.88 of the noise lies in the band listened to (0.9 to 22 kHz). The mean
    of 60 beats is open by 2 % of power where the tone is, the whitening by 3 %."""
    level = 10 ** (snr_db / 10)
    powers, waves = profiles_of(windows_with(tone(level)))
    loud = np.median(between(powers, 2e-3, 8e-3))
    quiet = np.median(between(powers, -30e-3, -5e-3))
    assert loud / quiet - 1 == pytest.approx(level / 0.879, rel=0.15)
    assert np.median(between(waves, 2e-3, 8e-3)) / quiet == pytest.approx(level / 0.879, rel=0.15)


def test_the_floor_is_the_background_s():
    powers, _ = profiles_of(windows_with(tone(100.0)))
    assert powers.floor == pytest.approx(np.median(between(powers, -30e-3, -5e-3)), rel=0.15)


def test_the_stated_spread_is_that_of_the_quiet_cells():
    """Of powers: 1.2 over the root of the beats; of waves: as much as itself."""
    for profile in profiles_of(windows_with(tone(1.0), beats=140)):
        quiet = between(profile, -40e-3, -5e-3)
        assert np.std(quiet) / np.mean(quiet) == pytest.approx(profile.spread, rel=0.2)


def test_waves_hear_what_does_not_move_far_below_the_room():
    """20 dB below the background, 200 beats: the average of powers shows 1 %, that of waves two
    (200 / 100) times its own floor."""
    powers, waves = profiles_of(windows_with(tone(0.01), beats=200))
    ratio = [
        np.mean(between(each, 1e-3, 9e-3)) / np.mean(between(each, -30e-3, -5e-3))
        for each in (powers, waves)
    ]
    assert ratio[0] == pytest.approx(1.0, abs=0.06)
    assert ratio[1] > 2.5


def test_waves_lose_what_moves_and_powers_keep_it():
    """Pulses 0 to 24 samples late, three periods of the tone; not aligned, as unlocking is not."""
    late = np.random.default_rng(4).integers(0, 25, 100)
    powers, waves = profiles_of(windows_with(tone(10.0), beats=100, late=late))
    assert np.median(between(powers, 2e-3, 8e-3)) > 8
    assert np.median(between(waves, 2e-3, 8e-3)) < 1


def test_beats_are_aligned_by_their_shift():
    late = np.random.default_rng(4).integers(-30, 31, 100)
    windows = windows_with(tone(10.0), beats=100, late=late)
    powers, waves = profiles_of(windows, late.astype(float))
    quiet = np.median(between(powers, -30e-3, -5e-3))
    assert np.median(between(waves, 2e-3, 8e-3)) / quiet == pytest.approx(10 / 0.879, rel=0.15)


def test_one_loud_knock_changes_nothing():
    """40 dB over the background in one beat of 60: in the plain mean it would be 167 times it."""
    knocked, _ = profiles_of(windows_with(tone(10.0), knock=(20, 100.0)))
    plain, _ = profiles_of(windows_with(tone(10.0)))
    quiet = [np.mean(between(each, -8e-3, -1e-3)) for each in (plain, knocked)]
    assert quiet[1] == pytest.approx(quiet[0], rel=0.15)


def test_the_median_of_means_is_the_median_of_seven_groups():
    """Rows 0 to 34: the groups' means are 14 to 20; and a spoilt group does not count."""
    rows = np.arange(35, dtype=np.float32)[:, None]
    assert median_of_means(rows) == pytest.approx([17.0])
    rows[3] = 1e6
    assert median_of_means(rows) == pytest.approx([18.0])
    assert median_of_means(rows[:4]) == pytest.approx(rows[:4].mean(axis=0))  # too few for groups


def test_no_rows_have_no_profile():
    windows = windows_with(tone(1.0), beats=4)
    powers = envelope_powers(windows.spectra, windows)
    assert side_profiles(windows, powers, turned(windows, powers, np.zeros(4), np.arange(0))) == []


def test_the_background_s_power_is_one_whatever_the_window():
    """To a tenth: it is known from the lower quartile of 24 gaps."""
    windows = windows_with(np.zeros(1), beats=80)
    for some in (windows, cropped(windows, 500, 2500)):
        powers = envelope_powers(some.spectra, some)
        middle = powers.cells[:, 100:-100]
        assert np.mean(middle) == pytest.approx(1.0, rel=0.1)


@pytest.mark.parametrize(("per_hour", "swing"), [(18000, 100), (18000, 300), (36000, 120)])
def test_the_window_has_silence_on_both_sides_of_the_tick(per_hour, swing):
    """At least 3 ms before unlocking and 5 after the drop."""
    watch = SimulatedWatch(beats_per_hour=per_hour, amplitude_deg=swing)
    truth = simulate(watch, duration_s=15, room=RoomNoise(snr_db=30), seed=4)
    page = hear_segment(truth.samples, truth.rate_hz, start_s=0.0)
    for portrait in page.portraits.sides:
        end_s = portrait.start_s + portrait.step_s * portrait.power.size
        assert portrait.onsets.unlock_s[0] - portrait.start_s > 3e-3
        assert end_s - portrait.onsets.drop_s[0] > 5e-3
