"""Planted: each sound of the room has the level and the spectrum that its name says."""

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.sound.noise import RoomNoise, coloured, echo, hum, knocks, speech, unit_rms

RATE_HZ = 16000
COUNT = 10 * RATE_HZ


def random():
    return np.random.default_rng(3)


def share_of_power(wave, low_hz, high_hz):
    power = np.abs(np.fft.rfft(wave)) ** 2
    freq_hz = np.fft.rfftfreq(wave.size, 1 / RATE_HZ)
    return power[(freq_hz >= low_hz) & (freq_hz < high_hz)].sum() / power[1:].sum()


def test_unit_rms_by_hand():
    assert unit_rms(np.array([3.0, -3.0])).tolist() == [1.0, -1.0]


def test_hum_is_at_the_mains_and_its_harmonics():
    wave = hum(COUNT, RATE_HZ, random())
    assert np.sqrt(np.mean(wave**2)) == pytest.approx(1)
    lines = sum(share_of_power(wave, f - 0.5, f + 0.5) for f in (50, 100, 150, 250, 350))
    assert lines > 0.999


def test_rumble_is_low():
    wave = coloured(COUNT, RATE_HZ, random(), slope=2.0, low_hz=8.0)
    assert share_of_power(wave, 0, 100) > 0.9


def test_speech_comes_in_syllables():
    """Loudness over 50 ms swings by far more than noise of that length would (7 %)."""
    wave = speech(COUNT, RATE_HZ, random())
    loud = np.sqrt(np.mean(wave.reshape(-1, RATE_HZ // 20) ** 2, axis=1))
    assert np.std(loud) / np.mean(loud) > 0.3


def test_knocks_come_as_often_as_asked():
    wave = knocks(600 * 1000, 1000, 60, random())  # ten minutes at 1 kHz
    quiet = np.abs(wave) == 0
    starts = np.count_nonzero(np.diff(quiet.astype(int)) == -1)
    assert starts == pytest.approx(600, abs=80)  # Poisson: 24; a few overlap


def test_one_echo_comes_back_late_and_weaker():
    dry = np.zeros(200)
    dry[0] = 1.0
    wet = echo(dry, 48000, RoomNoise(echo=0.2))
    # 0.31 ms is 14.9 samples; strengths 0.2, -0.2^1.5, 0.2^2, -0.2^2.5
    assert wet[[0, 15, 36, 60, 101]] == pytest.approx([1, 0.2, -(0.2**1.5), 0.04, -(0.2**2.5)])


def test_no_echo_leaves_the_sound():
    dry = random().normal(size=500)
    assert np.array_equal(echo(dry, 48000, RoomNoise(echo=0.0)), dry)


@pytest.mark.parametrize(
    "wrong", [{"hum": -1}, {"missing_share": 1.1}, {"echo": 1.0}, {"knocks_per_minute": -5}]
)
def test_a_room_that_cannot_be_is_refused(wrong):
    with pytest.raises(InputError):
        RoomNoise(**wrong)
