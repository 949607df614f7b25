"""Planted tones and clicks; powers worked by hand (Parseval)."""

import numpy as np
import pytest

from sideshake.sound.band import FRAME_S, frame_length, frame_powers, prominence

RATE_HZ = 48000


def tone(freq_hz, level=1.0, duration_s=1.0):
    times_s = np.arange(round(duration_s * RATE_HZ)) / RATE_HZ
    return (level * np.sin(2 * np.pi * freq_hz * times_s)).astype(np.float32)


@pytest.mark.parametrize(
    ("rate_hz", "length"), [(48000, 48), (44100, 44), (22050, 22), (16000, 16)]
)
def test_a_frame_is_about_a_millisecond(rate_hz, length):
    assert frame_length(rate_hz) == length
    assert length / rate_hz == pytest.approx(FRAME_S, rel=0.03)


def test_a_rest_shorter_than_a_frame_is_left_out():
    assert frame_powers(np.zeros(100, np.float32), RATE_HZ).shape[0] == 2


def test_a_tone_lies_in_its_own_band():
    """At 1 kHz steps from 1 kHz on, 5 kHz is the fifth band."""
    powers = frame_powers(tone(5000), RATE_HZ)
    assert np.all(np.argmax(powers[1:], axis=1) == 4)


def test_hum_weighs_nothing_beside_a_faint_click():
    """Hum at 0.3 of full scale, clicks 60 dB below it, every 200 ms."""
    random = np.random.default_rng(1)
    sound = tone(50, 0.3, 2.0) + random.normal(0, 1e-5, 2 * RATE_HZ).astype(np.float32)
    at = np.arange(4800, 2 * RATE_HZ, 9600)
    for k in at:
        sound[k : k + 24] += 3e-4 * random.normal(size=24).astype(np.float32)
    loud = prominence(frame_powers(sound, RATE_HZ))[1:]  # the very first frame begins with a jump
    assert set(np.argsort(loud)[-at.size :] + 1) == set(at // 48)


def test_prominence_by_hand():
    """Two bands of usual power 1 and 4; a frame of 3 and 12 gives ln 4 in each."""
    powers = np.tile(np.array([[1.0, 4.0]], np.float32), (50, 1))
    powers[10] = 3.0, 12.0
    found = prominence(powers)
    assert found[10] == pytest.approx(np.log(4))
    assert found[11] == pytest.approx(np.log(2))


def test_prominence_does_not_know_the_gain():
    powers = np.random.default_rng(2).exponential(size=(200, 5)).astype(np.float32)
    assert prominence(1e-4 * powers) == pytest.approx(prominence(powers), rel=1e-5)


def test_silence_is_not_prominent():
    assert prominence(np.zeros((30, 4), np.float32)).max() == 0.0


def test_pieces_of_whole_frames_give_the_whole():
    """Only the first sample of a piece has no neighbour to be subtracted from."""
    sound = np.random.default_rng(3).normal(size=96 * 100).astype(np.float32)
    whole, part = frame_powers(sound, RATE_HZ), frame_powers(sound[48 * 50 :], RATE_HZ)
    assert part[1:] == pytest.approx(whole[51:], rel=1e-4)
