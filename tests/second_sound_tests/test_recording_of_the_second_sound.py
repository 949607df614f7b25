"""What the second simulator's recorder does, and the watches that are drawn."""

import numpy as np
import pytest
from second_sound import (
    Escapement,
    Recorder,
    Room,
    Sound,
    alarm_clock,
    clock_out_of_beat,
    draw,
    listen,
    random_watch,
)
from second_sound.recording import controlled


def heard_by(recorder, *, snr_db=30.0, seed=5, duration_s=6.0, **room):
    room = Room(snr_db=snr_db, **room)
    return listen(Escapement(), Sound(), room, recorder, duration_s=duration_s, seed=seed)


def late_us(before, after, onset_s, rate_hz):
    """How much later a beat stands in `after`: phase slope of the cross spectrum, 1.5 to 9 kHz."""
    at = int((onset_s - 0.01) * rate_hz)
    count = int(0.04 * rate_hz)
    one, two = (np.fft.rfft(each[at : at + count] * np.hanning(count)) for each in (before, after))
    hz = np.fft.rfftfreq(count, 1 / rate_hz)
    used = (hz > 1500) & (hz < 9000)
    cross = (two * np.conj(one))[used]
    slope = np.sum(np.abs(cross) * hz[used] * np.angle(cross)) / np.sum(
        np.abs(cross) * hz[used] ** 2
    )
    return -slope / (2 * np.pi) * 1e6


@pytest.mark.parametrize("codec", ["vorbis", "opus", "mp3"])
def test_a_lossy_codec_keeps_the_intervals(codec):
    plain = heard_by(Recorder(bits=None))
    coded = heard_by(Recorder(bits=None, codec=codec, codec_level=0.3))
    assert len(coded.samples) == len(plain.samples)
    assert not np.array_equal(coded.samples, plain.samples)
    beats = plain.truth.unlocking_s[1:-1]
    late = np.array([late_us(plain.samples, coded.samples, t, 48000) for t in beats])
    assert np.std(late) < 5.0
    assert abs(np.mean(late)) < 21.0  # one sample: the delay is taken out in whole samples


def test_codecs_say_which_rates_they_take():
    with pytest.raises(ValueError, match="Opus takes"):
        heard_by(Recorder(rate_hz=44100, codec="opus"))
    with pytest.raises(ValueError, match="MP3 takes"):
        heard_by(Recorder(rate_hz=96000, codec="mp3"))


@pytest.mark.parametrize("rate_hz", [22050, 32000, 44100, 48000, 88200, 96000, 192000])
def test_every_rate_holds_the_same_beats(rate_hz):
    heard = heard_by(Recorder(rate_hz=rate_hz), snr_db=None, duration_s=3.0)
    assert len(heard.samples) == 3 * rate_hz
    assert heard.samples.dtype == np.float32
    assert heard.truth.drop_s == pytest.approx(heard_by(Recorder(), duration_s=3.0).truth.drop_s)
    at = int(heard.truth.unlocking_s[2] * rate_hz)
    still, loud = (
        heard.samples[at - rate_hz // 100 : at - 13],
        heard.samples[at : at + rate_hz // 1000],
    )
    assert np.max(np.abs(loud)) > 20 * np.max(np.abs(still))


def test_a_fast_clock_puts_the_beats_later_in_the_file():
    slow = heard_by(Recorder(bits=None, rate_hz=192000), snr_db=None)
    fast = heard_by(Recorder(bits=None, rate_hz=192000, clock_ppm=500.0), snr_db=None)
    last = slow.truth.drop_s[-2]
    assert fast.truth.file_s(last) - last == pytest.approx(last * 5e-4)
    for heard, at_s in ((slow, last), (fast, fast.truth.file_s(last))):
        piece = np.abs(heard.samples[int(at_s * 192000) - 100 :][:300])
        first = np.argmax(piece > 0.05 * piece.max())
        assert 99 <= first <= 104


def test_clipping_is_at_full_scale_and_counts_are_whole():
    heard = heard_by(Recorder(peak=3.0, bits=16))
    assert np.max(heard.samples) == np.float32(32767 / 32768)
    assert np.min(heard.samples) == -1.0
    counts = heard.samples.astype(float) * 32768
    assert np.array_equal(counts, np.rint(counts))
    assert np.max(np.abs(heard_by(Recorder(peak=0.25)).samples)) == pytest.approx(0.25, abs=1e-4)


def test_a_level_control_follows_loudness_and_no_further_than_it_may():
    t = np.arange(96000) / 48000
    sound = np.sin(2 * np.pi * 1000 * t) * np.where(t < 1, 0.05, 0.5)
    ruled = controlled(sound, Recorder(level_control_db=6.0, attack_ms=10.0, release_ms=200.0))
    before, after = np.max(np.abs(ruled[40000:47000])), np.max(np.abs(ruled[60000:]))
    assert after / before == pytest.approx(10 / 10 ** (12 / 20), rel=0.1)
    steady = controlled(np.sin(2 * np.pi * 1000 * t), Recorder(level_control_db=6.0))
    assert np.max(np.abs(steady[1000:])) == pytest.approx(1.0, abs=0.05)


def test_knocks_are_louder_than_the_watch_and_leave_its_level_alone():
    calm = heard_by(Recorder(bits=None, peak=0.1), snr_db=None)
    shaken = heard_by(Recorder(bits=None, peak=0.1), snr_db=None, knocks=2, knock_db=12.0)
    assert np.max(np.abs(calm.samples)) == pytest.approx(0.1, rel=1e-5)
    assert np.max(np.abs(shaken.samples)) > 0.3
    same = np.mean(shaken.samples == calm.samples)
    assert 0.9 < same < 1.0


def test_the_same_seed_is_the_same_recording_and_another_is_not():
    one, again, other = (random_watch(seed, snr_db=20.0) for seed in (4, 4, 6))
    assert np.array_equal(one.samples, again.samples)
    assert one.truth.rate_s_per_day == again.truth.rate_s_per_day
    assert one.truth.swing_deg != other.truth.swing_deg


def test_what_is_asked_for_changes_nothing_else_that_is_drawn():
    plain, given = draw(11), draw(11, snr_db=17.0, rate_s_per_day=3.0)
    assert (given.room.snr_db, given.escapement.rate_s_per_day) == (17.0, 3.0)
    assert given.sound == plain.sound
    assert given.escapement.amplitude_deg == plain.escapement.amplitude_deg


def test_an_unknown_name_is_refused():
    with pytest.raises(TypeError, match="loudness"):
        draw(1, loudness=3)


@pytest.mark.parametrize("hard", [False, True])
def test_the_draws_cover_the_trade(hard):
    specs = [draw(seed, hard=hard) for seed in range(400)]
    swings = np.array([each.escapement.amplitude_deg for each in specs])
    assert swings.min() >= 90
    assert swings.max() <= 345
    assert 0.8 < np.mean((swings > 150) & (swings < 320)) < 0.95
    lifts = np.array([each.escapement.lift_deg for each in specs])
    assert lifts.min() >= 38
    assert lifts.max() <= 60
    assert np.mean((lifts >= 48) & (lifts <= 54)) > 0.8
    assert {each.sound.attack for each in specs} == {"contact", "gamma", "step"}
    louder = np.mean([each.sound.impulse_db[0] > each.sound.drop_db[0] for each in specs])
    assert 0.05 < louder < 0.3
    assert len({each.escapement.beats_per_hour for each in specs}) > 10
    assert len({each.recorder.rate_hz for each in specs}) > 4
    coded = np.mean([each.recorder.codec is not None for each in specs])
    assert 0.2 < coded < 0.5 if hard else 0.01 < coded < 0.1


@pytest.mark.parametrize("seed", range(100, 112))
def test_a_drawn_watch_is_what_its_truth_says(seed):
    spec = draw(seed, hard=seed % 2 == 0)
    heard = spec.listen(12.0)
    true, escapement = heard.truth, spec.escapement
    assert len(heard.samples) == 12 * heard.rate_hz
    assert np.all(np.isfinite(heard.samples))
    assert np.max(np.abs(heard.samples)) <= 1.2  # a codec may overshoot
    assert abs(len(true.side) - 12 / escapement.beat_s) <= 2
    assert true.swing_deg == pytest.approx(escapement.amplitude_deg, abs=5)
    assert true.rate_s_per_day == pytest.approx(escapement.rate_s_per_day, abs=25)
    assert true.beat_error_at_centre_ms <= 3.05 * escapement.beat_s / 0.2 + 0.1
    assert 0.75 * true.swing_deg < true.trade_amplitude_deg < 1.05 * true.swing_deg


def test_the_alarm_clock_beats_12000_times_an_hour():
    heard = alarm_clock(3, snr_db=30.0).listen(10.0)
    assert np.median(np.diff(heard.truth.unlocking_s)) == pytest.approx(0.3, abs=0.02)


def test_the_clock_out_of_beat_is_80_ms_out():
    heard = clock_out_of_beat(3, snr_db=30.0).listen(20.0)
    assert heard.truth.beat_error_at_centre_ms == pytest.approx(80.0, abs=1.5)
    assert heard.truth.beat_error_ms > 80.0
