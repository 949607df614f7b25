"""One segment of simulated sound; the truth is the simulator's."""

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.sound.noise import RoomNoise
from sideshake.sound.segment import hear_segment
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate

RATE_HZ = 48000


def page_of(truth, **options):
    return hear_segment(truth.samples, truth.rate_hz, start_s=0.0, **options)


def true_number(page, truth):
    """Return which of the simulated beats each heard one is (they lie far apart)."""
    return np.rint(
        np.interp(page.beats.arrival_s, truth.centre_s, np.arange(truth.centre_s.size))
    ).astype(int)


def scatter_s(page, truth, side):
    """Return the standard deviation of arrivals about the true passages, one side."""
    some = page.beats.side == side
    return np.std((page.beats.arrival_s - truth.centre_s[true_number(page, truth)])[some])


@pytest.mark.parametrize("per_hour", [14400, 18000, 21306, 28800, 36000])
def test_arrivals_are_the_simulator_s_to_a_microsecond(per_hour):
    """20 dB: better than a twentieth of a sample; 60 us of jitter are followed."""
    truth = simulate(
        SimulatedWatch(beats_per_hour=per_hour, jitter_us=60, beat_error_ms=0.5),
        duration_s=20, room=RoomNoise(snr_db=20), seed=3,
    )  # fmt: skip
    page = page_of(truth)
    assert scatter_s(page, truth, 0) < 1e-6
    assert scatter_s(page, truth, 1) < 1e-6
    assert page.beats.missing == 0


def test_a_bad_wheel_s_wave_is_in_the_arrivals():
    """0.5 ms to either side every 8 s: the truth has it, and so has every beat to 3 us."""
    wheel = DisturbingWheel(period_s=8, delay_ms=0.5)
    truth = simulate(
        SimulatedWatch(wheels=(wheel,)), duration_s=30, room=RoomNoise(snr_db=20), seed=1
    )
    page = page_of(truth)
    late_s = page.beats.arrival_s - truth.centre_s[true_number(page, truth)]
    for side in (0, 1):
        some = late_s[page.beats.side == side]
        assert np.max(np.abs(some - np.median(some))) < 3e-6


def test_every_beat_has_its_number_and_side():
    truth = simulate(
        SimulatedWatch(), duration_s=20, room=RoomNoise(snr_db=30, missing_share=0.3), seed=5
    )
    page = page_of(truth)
    number = true_number(page, truth)
    assert np.array_equal(np.diff(number), np.diff(page.beats.index))
    assert len(set(truth.side[number] ^ page.beats.side)) == 1
    assert truth.heard[number].all()


def test_knocks_and_hum_leave_the_beats():
    """60 knocks a minute, three times as loud as the drop; hum as loud as it."""
    room = RoomNoise(snr_db=20, hum=1.0, knocks_per_minute=60)
    truth = simulate(SimulatedWatch(), duration_s=20, room=room, seed=6)
    page = page_of(truth)
    error_s = page.beats.arrival_s - truth.centre_s[true_number(page, truth)]
    for side in (0, 1):
        late_s = error_s[page.beats.side == side]
        assert np.mean(np.abs(late_s - np.median(late_s)) < 20e-6) > 0.9
    assert page.beats.count > 0.9 * page.expected


@pytest.mark.parametrize("rate_hz", [16000, 22050, 44100, 96000])
def test_other_sample_rates_hear_the_same(rate_hz):
    truth = simulate(
        SimulatedWatch(),
        duration_s=15,
        room=RoomNoise(snr_db=20),
        recorder=Recorder(rate_hz=rate_hz),
        seed=7,
    )
    page = page_of(truth)
    assert max(scatter_s(page, truth, side) for side in (0, 1)) < 2e-6


def test_two_watches_are_noticed():
    one = simulate(
        SimulatedWatch(beats_per_hour=18000), duration_s=30, room=RoomNoise(snr_db=30), seed=1
    )
    two = simulate(
        SimulatedWatch(beats_per_hour=21600), duration_s=30, room=RoomNoise(snr_db=30), seed=2
    )
    page = hear_segment(one.samples + 0.7 * two.samples, RATE_HZ, start_s=0.0)
    heard = {round(page.tempo.beats_per_hour, -2), round(page.other_beats_per_hour, -2)}
    assert heard == {18000, 21600}


@pytest.mark.parametrize("seed", range(4))
def test_one_watch_is_not_taken_for_two(seed):
    truth = simulate(
        SimulatedWatch(beat_error_ms=1.0), duration_s=30, room=RoomNoise(snr_db=20), seed=seed
    )
    assert page_of(truth).other_beats_per_hour is None


@pytest.mark.parametrize("kind", ["silence", "white", "hum", "clicks"])
def test_what_is_no_watch_is_refused(kind):
    random = np.random.default_rng(8)
    count = 20 * RATE_HZ
    sounds = {
        "silence": np.zeros(count),
        "white": random.normal(0, 0.1, count),
        "hum": 0.3 * np.sin(2 * np.pi * 50 * np.arange(count) / RATE_HZ)
        + random.normal(0, 1e-3, count),
        "clicks": (random.random(count) < 5 / RATE_HZ) * random.normal(0, 0.5, count)
        + random.normal(0, 1e-3, count),
    }
    with pytest.raises(NotEnough):
        hear_segment(sounds[kind].astype(np.float32), RATE_HZ, start_s=0.0)


def test_too_short_a_sound_is_refused():
    truth = simulate(SimulatedWatch(), duration_s=0.7, seed=1)
    with pytest.raises(NotEnough):
        page_of(truth)


def test_a_lock_carries_numbers_and_moment_over():
    """The same watch 20 s later, cut at an odd place: numbers go on, the moment stays the same."""
    truth = simulate(
        SimulatedWatch(beats_per_hour=28800), duration_s=40, room=RoomNoise(snr_db=20), seed=9
    )
    cut = 20 * RATE_HZ + 12345
    first = hear_segment(truth.samples[:cut], RATE_HZ, start_s=0.0)
    second = hear_segment(truth.samples[cut:], RATE_HZ, start_s=cut / RATE_HZ, before=first)
    numbers = [page.beats.index - true_number(page, truth) for page in (first, second)]
    assert len(set(np.concatenate(numbers))) == 1
    for side in (0, 1):
        late = [
            np.mean(
                (p.beats.arrival_s - truth.centre_s[true_number(p, truth)])[p.beats.side == side]
            )
            for p in (first, second)
        ]
        assert late[1] == pytest.approx(late[0], abs=2e-6)  # a tenth of a sample
