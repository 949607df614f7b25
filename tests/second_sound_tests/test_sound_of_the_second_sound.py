"""What is heard of the second simulator's impacts: onset, place, level, noise."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import second_sound
from second_sound import Escapement, Recorder, Room, Sound, draw, listen, together
from second_sound.impacts import Force, Grid, struck
from second_sound.received import decimated

SILENT = {"snr_db": None, "echoes": 0, "resonances": 0}
POLES = -1 / np.array([3e-4, 8e-4]) + 2j * np.pi * np.array([4000.0, 9000.0])
WEIGHTS = np.array([[1.0 + 0.5j, -0.7j]])


def silent_watch(seed=3, duration_s=10.0, *, sound=None, recorder=None, **room):
    return listen(
        Escapement(),
        sound or Sound(banking_db=None),
        Room(**(SILENT | room)),
        recorder or Recorder(bits=None, rate_hz=96000),
        duration_s=duration_s,
        seed=seed,
    )


def test_it_takes_nothing_from_the_program_it_tests():
    for module in Path(second_sound.__file__).parent.glob("*.py"):
        lines = module.read_text(encoding="utf-8").splitlines()
        assert not [line for line in lines if line.startswith(("import side", "from side"))]


@pytest.mark.parametrize("kind", ["contact", "gamma", "step"])
def test_nothing_sounds_before_the_onset_and_something_right_after(kind):
    grid = Grid(96000.0, 800, np.array([10.3 / 96000, 7.9 / 96000]))
    rows = struck(Force(kind, 40e-6), POLES, np.repeat(WEIGHTS, 2, axis=0), grid)
    assert np.all(rows[0, :11] == 0)
    assert np.all(rows[1, :8] == 0)
    assert np.max(np.abs(rows[0, 11:25])) > 0.3 * np.max(np.abs(rows[0]))


def test_a_contact_s_waveform_is_the_convolution_of_force_and_resonance():
    rate_hz, length_s = 9.6e6, 50e-6
    t = np.arange(30000) / rate_hz
    blow = (WEIGHTS[0][:, None] * np.exp(POLES[:, None] * t)).sum(axis=0).real
    press = np.sin(np.pi * t[t < length_s] / length_s)
    slow = np.convolve(blow, press)[: len(t)] / rate_hz
    grid = Grid(rate_hz, len(t), np.zeros(1))
    quick = struck(Force("contact", length_s), POLES, WEIGHTS, grid)[0]
    assert quick == pytest.approx(slow, abs=3e-3 * np.max(np.abs(slow)))


def test_a_gamma_rise_is_the_integral_of_its_density():
    """Scipy's regularised incomplete gamma function times the free decay."""
    from scipy.special import gammainc

    length_s, t = 60e-6, np.arange(400) / 96000
    free = (WEIGHTS[0][:, None] * np.exp(POLES[:, None] * t)).sum(axis=0).real
    rows = struck(Force("gamma", length_s), POLES, WEIGHTS, Grid(96000.0, 400, np.zeros(1)))
    assert rows[0] == pytest.approx(free * gammainc(3, 3 * t / length_s), abs=1e-6)


@pytest.mark.parametrize("kind", ["contact", "gamma", "step"])
def test_a_fraction_of_a_sample_is_not_rounded(kind):
    fine = struck(Force(kind, 40e-6), POLES, WEIGHTS, Grid(960000.0, 8000, np.zeros(1)))[0]
    offset = Grid(96000.0, 800, np.array([0.7 / 96000]))  # so its samples are at 0.3, 1.3, ...
    coarse = struck(Force(kind, 40e-6), POLES, WEIGHTS, offset)[0]
    assert coarse[1:790] == pytest.approx(fine[3:7893:10], abs=1e-7)


def test_what_the_recorder_cannot_hold_is_taken_away_and_the_rest_kept():
    t = np.arange(8820) / 88200
    rows = np.sin(2 * np.pi * np.array([[15000.0], [5000.0]]) * t)
    lost, kept = decimated(rows, 4)[:, 100:-100]
    assert np.std(lost) < 1e-3 * np.std(kept)
    assert kept == pytest.approx(rows[1, ::4][100:-100], abs=1e-3)


@pytest.mark.parametrize("seed", range(12))
def test_a_recording_is_still_before_each_beat_and_loud_at_each_onset(seed):
    given = {"echoes": 0, "bits": None, "codec": None, "level_control_db": 0.0, "clock_ppm": 0.0}
    heard = draw(seed, snr_db=None, knocks=0, rate_hz=48000, peak=0.5, **given).listen(6.0)
    loudest = np.max(np.abs(heard.samples))
    for name, share in (("unlocking", 1e-3), ("drop", 0.03)):
        for onset_s in getattr(heard.truth, f"{name}_s")[2:]:
            at = int(onset_s * 48000)
            assert np.max(np.abs(heard.samples[at : at + 24])) > share * loudest
            if name == "unlocking":  # 13 samples: the symmetric anti-alias filter's ring
                assert np.max(np.abs(heard.samples[at - 480 : at - 13])) < 1e-4 * loudest
                assert np.max(np.abs(heard.samples[at - 13 : at - 2])) < 0.02 * loudest


def test_beats_lie_where_the_truth_says_to_a_fraction_of_a_microsecond():
    coherent = Sound(banking_db=None, new_share=(0, 0, 0, 0), strength_db=0.0, tooth_db=0.0)
    heard = silent_watch(sound=coherent, recorder=Recorder(bits=None, rate_hz=48000))
    drops = heard.truth.drop_s[heard.truth.side == 0][1:-1]
    at = np.floor(drops * 48000).astype(int) - 30
    rows = heard.samples[at[:, None] + np.arange(512)].astype(float)
    spectrum = np.fft.rfft(rows, axis=1)
    hz = np.fft.rfftfreq(512, 1 / 48000)
    for other in range(1, len(drops)):
        cross = spectrum[other] * np.conj(spectrum[0])
        expected = (drops[other] - at[other] / 48000) - (drops[0] - at[0] / 48000)
        left = np.angle(cross * np.exp(2j * np.pi * hz * expected))
        weight = np.abs(cross) * hz
        late_s = -np.sum(weight * hz * left) / np.sum(weight * hz**2) / (2 * np.pi)
        assert abs(late_s) < 0.2e-6


def band_passed(samples, rate_hz):
    spectrum = np.fft.rfft(np.asarray(samples, dtype=float))
    hz = np.fft.rfftfreq(len(samples), 1 / rate_hz)
    spectrum[(hz < 1000) | (hz > 20000)] = 0
    return np.fft.irfft(spectrum, len(samples))


def loudest_power(samples, rate_hz, onsets_s):
    """The mean over impacts of the mean power of the loudest of the milliseconds that follow."""
    power, width = band_passed(samples, rate_hz) ** 2, round(1e-3 * rate_hz)
    found = []
    for onset_s in onsets_s:
        start = int((onset_s - 0.3e-3) * rate_hz)
        sums = np.convolve(power[start : start + 3 * width], np.ones(width) / width, "valid")
        found.append(sums.max())
    return np.mean(found)


@pytest.mark.parametrize("seed", range(4))
def test_the_levels_are_those_measured_in_the_samples(seed):
    heard = silent_watch(seed=seed, sound=Sound(banking_db=None, decay_ms=(0.1, 0.3)))
    true = heard.truth
    for side in (0, 1):
        ours = true.side == side
        power = [
            loudest_power(heard.samples, heard.rate_hz, onsets[ours][1:-1])
            for onsets in (true.unlocking_s, true.impulse_s, true.drop_s)
        ]
        level_db = 10 * np.log10(np.array(power) / power[2])
        assert level_db[0] == pytest.approx(true.unlocking_db[side], abs=0.5)
        assert level_db[1] == pytest.approx(true.impulse_db[side], abs=0.5)


def test_the_levels_asked_for_come_about():
    true = silent_watch(
        sound=Sound(unlocking_db=(-20, -8), impulse_db=(-3, 4), drop_db=(0, 2))
    ).truth
    assert true.unlocking_db == pytest.approx((-20, -10), abs=0.7)
    assert true.impulse_db == pytest.approx((-3, 2), abs=0.7)


@pytest.mark.parametrize(
    "room",
    [
        {"colour": "white"},
        {"colour": "room"},
        {"colour": "hiss"},
        {"colour": "hump"},
        {"colour": "white", "hum_hz": 50.0, "hum_db": 15.0},
        {"colour": "room", "breathing_db": 3.0},
    ],
)
@pytest.mark.parametrize("rate_hz", [44100, 96000])
def test_the_noise_stands_where_snr_db_says(room, rate_hz):
    recorder = Recorder(bits=None, rate_hz=rate_hz, peak=0.3)
    clean = silent_watch(recorder=recorder, duration_s=15.0)
    noisy = silent_watch(recorder=recorder, duration_s=15.0, **(room | {"snr_db": 14.0}))
    watch = clean.samples.astype(float)
    at = np.concatenate([int(t * rate_hz) + np.arange(60) for t in clean.truth.drop_s[:-1]])
    louder = (noisy.samples[at] @ watch[at]) / (watch[at] @ watch[at])
    for _ in range(3):  # the noise under the drops is left out bit by bit
        noise = noisy.samples - louder * watch
        band = band_passed(noise, rate_hz)
        louder += (band[at] @ band_passed(watch, rate_hz)[at]) / (watch[at] @ watch[at])
    drop = loudest_power(louder * watch, rate_hz, clean.truth.drop_s[1:-1])
    assert noisy.truth.snr_db == 14.0
    assert 10 * np.log10(drop / np.mean(band**2)) == pytest.approx(14.0, abs=0.5)


def test_without_noise_the_ratio_is_infinite():
    assert silent_watch(duration_s=2.0).truth.snr_db == np.inf


def test_how_much_repeats_is_as_asked():
    def likeness(new):
        sound = Sound(banking_db=None, new_share=(new,) * 4, strength_db=0.0, tooth_db=0.0)
        heard = silent_watch(sound=sound, recorder=Recorder(bits=None, rate_hz=192000))
        drops = heard.truth.drop_s[heard.truth.side == 1][1:-1]
        rows = heard.samples[np.floor(drops * 192000).astype(int)[:, None] + np.arange(192)]
        alike = np.corrcoef(rows)
        return np.mean(alike[np.triu_indices(len(alike), 1)])

    assert likeness(0.0) > 0.95  # a sample's fraction is left
    assert likeness(0.5) == pytest.approx(0.5, abs=0.12)
    assert abs(likeness(1.0)) < 0.12


def test_echoes_come_after_and_leave_the_onset_alone():
    dry, wet = (
        silent_watch(duration_s=3.0),
        silent_watch(duration_s=3.0, echoes=4, echo_ms=(2.0, 9.0)),
    )
    at = int(dry.truth.unlocking_s[1] * 96000)
    scale = np.max(np.abs(dry.samples[at - 5 : at + 150])) / np.max(
        np.abs(wet.samples[at - 5 : at + 150])
    )
    assert wet.samples[at : at + 150] * scale == pytest.approx(dry.samples[at : at + 150], abs=1e-5)
    after = slice(at + 1500, at + 6000)
    assert not np.allclose(wet.samples[after] * scale, dry.samples[after], atol=1e-4)


def test_two_watches_are_the_sum_of_both():
    first, second = draw(1, beats_per_hour=18000.0), draw(2, beats_per_hour=18000.0)
    quiet = {"room": Room(**SILENT), "recorder": Recorder(bits=None, peak=0.5)}
    both = together(
        replace(first, **quiet), replace(second, **quiet), duration_s=5.0, second_db=-6.0
    )
    alone = [replace(each, **quiet).listen(5.0) for each in (first, second)]
    columns = np.stack([each.samples for each in alone], axis=1).astype(float)
    share, rest, *_ = np.linalg.lstsq(columns, both.samples.astype(float), rcond=None)
    assert rest[0] < 1e-9 * np.sum(both.samples**2)
    power = [
        loudest_power(share[i] * alone[i].samples, 48000, alone[i].truth.drop_s[1:-1])
        for i in (0, 1)
    ]
    assert 10 * np.log10(power[1] / power[0]) == pytest.approx(-6.0, abs=1.5)
    assert both.second.drop_s == pytest.approx(alone[1].truth.drop_s)
