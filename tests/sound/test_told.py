"""Telling the beats per hour: the right number changes nothing, a wrong one is refused truly."""

import re

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.tempo import Tempo
from sideshake.sound.told import LEAST_SLOW_BEATS, OtherBeats, may_hide
from sideshake.timing.reading import read
from tests.sound.stepping import stepping

RATE_HZ = 48000


def heard(samples, told=None):
    listener = Listener(RATE_HZ, beats_per_hour=told)
    listener.feed(samples)
    return listener.hear()


def some_watch(seed):
    """Return a watch and a room drawn by chance."""
    random = np.random.default_rng(seed)
    watch = SimulatedWatch(
        beats_per_hour=float(random.choice([12000, 14400, 18000, 19800, 21600, 28800])),
        rate_s_per_day=random.uniform(-300, 300), amplitude_deg=random.uniform(170, 310),
        beat_error_ms=float(random.choice([0.0, 0.4, 2.0, 9.0, 20.0])), jitter_us=20.0,
    )  # fmt: skip
    return watch, RoomNoise(
        snr_db=random.uniform(8, 30), missing_share=float(random.choice([0, 0.1]))
    )


@pytest.mark.parametrize("seed", range(10))
def test_the_right_number_changes_no_digit(seed):
    """Amplitude, beat error, beat and each arrival; of one page and of two."""
    watch, room = some_watch(seed)
    samples = simulate(watch, duration_s=36 if seed < 3 else 8, room=room, seed=seed).samples
    free, told = heard(samples), heard(samples, watch.beats_per_hour)
    assert np.array_equal(free.beats.arrival_s, told.beats.arrival_s)
    unasked = read(free, said_watch=True)  # this simulator's beats are copies of one
    asked = read(told, beats_per_hour=watch.beats_per_hour, said_watch=True)
    for name in ("amplitude_deg", "beat_error_ms", "beat_s", "out_of_beat_deg", "scatter_ms"):
        assert getattr(unasked, name) == getattr(asked, name)


def test_a_number_a_little_off_changes_no_digit_either():
    samples = simulate(
        SimulatedWatch(beat_error_ms=1.0), duration_s=8, room=RoomNoise(snr_db=20)
    ).samples
    one, other = (read(heard(samples, told)) for told in (18000, 18200))
    assert one.amplitude_deg == other.amplitude_deg
    assert one.beat_error_ms == other.beat_error_ms


@pytest.mark.parametrize("beat_error_ms", [0.0, 3.0, 40.0])
@pytest.mark.parametrize("told", [3600, 9000, 12000, 27000])
def test_a_wrong_number_is_refused_with_what_is_heard(beat_error_ms, told):
    """Half of it too, which fits every second beat of a watch out of beat; the number said is what
    is read without one."""
    watch = SimulatedWatch(beats_per_hour=18000, beat_error_ms=beat_error_ms, amplitude_deg=220)
    samples = simulate(watch, duration_s=4, room=RoomNoise(snr_db=20), seed=3).samples
    with pytest.raises(OtherBeats, match=rf"^18000 beats an hour are heard, not {told}; leave"):
        heard(samples, told)
    assert 3600 / read(heard(samples)).beat_s.value == pytest.approx(18000, abs=0.5)


@pytest.mark.parametrize("beat_error_ms", [3.0, 15.0])
def test_twice_the_number_is_refused_where_tick_and_tock_are_seen_apart(beat_error_ms):
    watch = SimulatedWatch(beats_per_hour=18000, beat_error_ms=beat_error_ms, amplitude_deg=220)
    samples = simulate(watch, duration_s=4, room=RoomNoise(snr_db=20), seed=3).samples
    with pytest.raises(OtherBeats, match="18000 beats an hour are heard, not 36000"):
        heard(samples, 36000)


def test_twice_the_number_is_believed_where_only_one_of_tick_and_tock_is_heard():
    """The counter-case: every second beat of 36000 an hour is a beat of 18000."""
    every_second = stepping(seconds=8.0, click_ms=3.0)
    faster = np.concatenate([every_second[k::5][: RATE_HZ * 8 // 5] for k in range(5)])
    found = heard(faster.astype(np.float32), 36000)
    assert found.sides == 1
    assert found.beats.missing > 0.9 * found.beats.count


@pytest.mark.parametrize(
    ("found", "sides", "told", "may"),
    [(18000, 1, 36000, True), (18000, 2, 36000, False), (18000, 1, 9000, False),
     (18000, 1, 27000, False), (7200, 2, 3600, True), (7200, 1, 3000, False)],
)  # fmt: skip
def test_what_may_hide_behind_another_tempo(found, sides, told, may):
    period_s = 7200 / found
    tempo = Tempo(
        period_s=period_s, first_s=0.0, second_s=period_s / 2, sides=sides, sigmas=9.0
    )  # fmt: skip
    assert may_hide(tempo, told) == may


def test_a_slow_clock_says_what_to_do_and_doing_it_gives_a_reading():
    short, long = stepping(seconds=5.0), stepping(seconds=30.0)
    for sound in (stepping(seconds=12.0), long):
        with pytest.raises(NotEnough, match="half a minute or more and say its beats per hour"):
            heard(sound)
    with pytest.raises(NotEnough, match=rf"^5\.0 s .* {LEAST_SLOW_BEATS} s is the least"):
        heard(short, 3600)
    assert read(heard(long, 3600), said_watch=True).beat_s.value == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize("told", [1800, 18000, 21600])
def test_a_slow_clock_that_is_told_as_another_is_named_by_its_own_beat(told):
    with pytest.raises(NotEnough, match=rf"^about 36\d\d beats an hour are heard, not {told}$"):
        heard(stepping(seconds=12.0), told)


@pytest.mark.parametrize("told", [None, 18000, 12016, 3600])
@pytest.mark.parametrize("kind", ["silence", "noise", "hum"])
def test_no_number_makes_a_watch_of_what_is_none(kind, told):
    """And no refusal names a beat that was told, or advises what would be refused again."""
    random = np.random.default_rng(4)
    count = 6 * RATE_HZ
    sound = {
        "silence": np.zeros(count),
        "noise": random.normal(0, 0.1, count),
        "hum": 0.3 * np.sin(2 * np.pi * 50 * np.arange(count) / RATE_HZ),
    }[kind]
    with pytest.raises(NotEnough) as refused:
        heard(sound.astype(np.float32), told)
    assert not re.search(r"are heard|leave|jump", str(refused.value))


def test_the_beats_told_and_heard_never_read_alike():
    """What is refused as another beat is more than 2 % off, which four digits always show."""
    for heard_per_hour in (600.0, 5000.0, 43200.0):
        words = str(OtherBeats(heard_per_hour, heard_per_hour * 1.021))
        first, second = re.findall(r"\d+(?:\.\d+)?", words)[:2]
        assert float(first) != float(second)


def test_another_watch_in_the_middle_of_a_recording_is_no_fault_of_the_number():
    """The number was right for what was heard first; what follows is left out and said."""
    one = simulate(
        SimulatedWatch(beats_per_hour=18000), duration_s=31, room=RoomNoise(snr_db=20)
    ).samples
    two = simulate(
        SimulatedWatch(beats_per_hour=28800), duration_s=31, room=RoomNoise(snr_db=20)
    ).samples
    for told in (None, 18000):
        found = heard(np.concatenate([one, two]), told)
        assert found.beats_per_hour == pytest.approx(18000, rel=1e-3)
        assert any(re.search("another watch, 2(879|880)", each.reason) for each in found.notes)


def test_beats_outside_what_can_be_told_are_refused():
    with pytest.raises(InputError, match="600 to 72000 is allowed"):
        Listener(RATE_HZ, beats_per_hour=100)
