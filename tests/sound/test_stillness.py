"""Who touches the watch is simulated; the levels of a sine and of full scale are worked by hand."""

from pathlib import Path

import numpy as np
import pytest
import soundfile

from sideshake.core.errors import InputError
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.stillness import PIECE_FRAMES, PIECES, Stillness

RATE_HZ = 48000
SOUND = Path(__file__).parents[2] / "../shared/data/sound"
CLOCKS = sorted(path for path in SOUND.glob("[1-5]-*.ogg"))
"""Real clocks and watches (ESC-10, K. J. Piczak, ACM Multimedia 2015)."""


def watch(duration_s=8.0, *, per_hour=18000.0, seed=1, **room):
    some = SimulatedWatch(beats_per_hour=per_hour, beat_error_ms=1.0)
    return simulate(some, duration_s=duration_s, room=RoomNoise(**room), seed=seed).samples.copy()


def heard(samples, *, rate_hz=RATE_HZ):
    stillness = Stillness(rate_hz)
    stillness.feed(samples)
    return stillness


def course(samples, *, rate_hz=RATE_HZ):
    """Return `still_for_s` ten times a second."""
    stillness, step, told = Stillness(rate_hz), rate_hz // 10, []
    for at in range(0, samples.size - step + 1, step):
        stillness.feed(samples[at : at + step])
        told.append(stillness.still_for_s)
    return np.array(told)


def hands(length_s, *, loud=0.3, low_hz=None, seed=3):
    """Return uneven noise, dull if `low_hz` is given."""
    random = np.random.default_rng(seed)
    count = round(length_s * RATE_HZ)
    wave = random.normal(size=count)
    if low_hz is not None:
        wave = np.sin(2 * np.pi * low_hz * np.arange(count) / RATE_HZ)
    uneven = np.interp(np.arange(count), np.arange(0, count + 960, 960),
                       random.uniform(0.3, 1, count // 960 + 1 + (count % 960 > 0)))  # fmt: skip
    return (loud * uneven * wave).astype(np.float32)


def touched(samples, at_s, hand):
    start = round(at_s * RATE_HZ)
    samples[start : start + hand.size] += hand
    return np.clip(samples, -1, 1)


@pytest.mark.parametrize("per_hour", [3600.0, 14400.0, 18000.0, 28800.0, 36000.0])
@pytest.mark.parametrize(
    "room", [{}, {"snr_db": 5.0}, {"snr_db": -5.0}, {"hum": 2.0}, {"rumble": 2.0}, {"echo": 0.7}]
)
def test_a_watch_that_nobody_touches_is_still_from_the_first_second_on(per_hour, room):
    told = course(watch(12, per_hour=per_hour, **room))
    assert told[:11].tolist() == [0.0] * 11  # nothing to compare with before 1.2 s
    assert told[12:] == pytest.approx(np.arange(13, 121) / 10, abs=0.011)


@pytest.mark.skipif(not CLOCKS, reason="the recordings are not beside the repository")
def test_real_clocks_are_still():
    assert len(CLOCKS) == 11
    for path in CLOCKS:
        samples, rate_hz = soundfile.read(path, dtype="float32")
        assert np.mean(course(samples, rate_hz=rate_hz)[15:] > 0) > 0.95, path.name


@pytest.mark.parametrize(
    "hand",
    [hands(0.4), hands(0.4, loud=0.1), hands(0.5, low_hz=90.0, loud=0.1), hands(0.02, loud=1.0)],
    ids=["scrape", "faint scrape", "rumble", "knock"],
)
def test_hands_are_noticed_and_the_stillness_counts_from_their_end(hand):
    samples = touched(watch(10, snr_db=40), 4.0, hand)
    told = course(samples)
    end_s = 4.0 + hand.size / RATE_HZ
    assert told[39] == pytest.approx(4.0, abs=0.02)
    assert told[round(10 * end_s)] == 0.0
    assert heard(samples).still_for_s == pytest.approx(10 - end_s, abs=0.15)


def test_it_is_nought_while_the_handling_goes_on():
    told = course(touched(watch(10), 4.0, hands(2.0)))
    assert not told[41:62].any()
    assert told[64] > 0


def test_long_handling_with_short_pauses_goes_on():
    random, samples, at_s = np.random.default_rng(5), watch(24), 4.0
    while at_s < 18:
        length_s, loud = random.uniform(0.1, 0.8), 10 ** random.uniform(-1.5, 0)
        samples = touched(samples, at_s, hands(length_s, loud=loud))
        at_s += length_s + random.uniform(0.05, 0.6)
    told = course(samples)
    assert told[42:180].max() < 3.0  # experiments/stillness.py
    assert heard(samples).still_for_s == pytest.approx(24 - 18, abs=1.5)


def test_handling_from_the_very_beginning_is_known_once_it_has_ended():
    samples = touched(watch(8), 0.0, hands(3.0))
    assert heard(samples).still_for_s == pytest.approx(5.0, abs=0.15)


def test_a_watch_laid_down_is_still_once_only_its_ticking_is_left_to_compare():
    """Silence, then ticks: loud against the silence until that is too long ago."""
    samples = np.concatenate([np.zeros(4 * RATE_HZ, np.float32), watch(12)])
    told = course(samples)
    longest_s = (PIECES + 2) * PIECE_FRAMES / 100
    assert not told[44:60].any()
    assert (told[round(10 * (4 + longest_s)) :] > 0).all()


def test_a_stillness_longer_than_what_is_kept_is_counted_on():
    samples = touched(watch(40), 4.0, hands(0.4))
    assert heard(samples).still_for_s == pytest.approx(35.6, abs=0.15)


@pytest.mark.parametrize("seed", range(3))
def test_how_the_sound_is_cut_changes_nothing(seed):
    samples = touched(watch(16), 3.0, hands(0.8))
    whole, cut, random, at = heard(samples), Stillness(RATE_HZ), np.random.default_rng(seed), 0
    while at < samples.size:
        length = int(random.integers(0, 30000))
        cut.feed(samples[at : at + length])
        cut.still_for_s  # noqa: B018 - asking changes nothing either
        at += length
    assert cut.still_for_s == whole.still_for_s == pytest.approx(12.2, abs=0.15)
    assert (cut.level_db, cut.clipped) == (whole.level_db, whole.clipped)


def test_memory_does_not_grow():
    stillness, sizes, minute = Stillness(16000), [], np.zeros(16000 * 60, np.int16)
    for _ in range(3):
        stillness.feed(minute)
        sizes.append(sum(np.size(getattr(stillness, name)) for name in vars(stillness)))
    assert sizes[0] == sizes[2] < 10000


def test_louder_or_softer_makes_no_difference():
    samples = touched(watch(10, snr_db=30), 4.0, hands(0.4))
    assert heard(samples / 30).still_for_s == heard(samples).still_for_s


@pytest.mark.parametrize(("peak", "db"), [(1.0, 0.0), (0.5, -6.02), (0.01, -40.0)])
def test_the_level_is_that_of_the_loudest_sample(peak, db):
    """20 log10 of the peak: half of full scale is -6.02 dB."""
    samples = np.zeros(RATE_HZ, np.float32)
    samples[-1000] = -peak
    stillness = heard(samples)
    assert stillness.level_db == pytest.approx(db, abs=0.01)
    assert stillness.clipped == (peak == 1.0)


def test_level_and_clipping_are_those_of_the_last_half_second():
    samples = np.full(2 * RATE_HZ, 0.1, np.float32)
    samples[RATE_HZ] = 1.0
    stillness = heard(samples)
    assert (round(stillness.level_db), stillness.clipped) == (-20, False)


def test_before_any_sound_there_is_neither_stillness_nor_level():
    stillness = Stillness(RATE_HZ)
    assert (stillness.still_for_s, stillness.level_db, stillness.clipped) == (0.0, -90.0, False)


def test_blocks_are_those_of_the_listener():
    samples = watch(4)
    whole = (samples * 32767).round().astype(np.int16)
    both = np.stack([whole, whole], axis=1)
    assert heard(both).level_db == pytest.approx(heard(samples).level_db, abs=0.01)
    with pytest.raises(InputError, match="not numbers"):
        heard(np.array([np.nan]))
    with pytest.raises(InputError, match="16000 to 192000"):
        Stillness(8000)
