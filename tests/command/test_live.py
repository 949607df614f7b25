"""Listening live, with simulated blocks in the microphone's place."""

import json
import os
import pty
import re
import signal
import subprocess
import sys
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile

from sideshake.analysis.hearing import KnownForHearing
from sideshake.command.hear import require_sound, tell
from sideshake.command.kept_sound import MOST_BYTES, KeptSound, kept_sound
from sideshake.command.live import LiveAsked, as_recorded, hear_live, outcome_of, told_devices
from sideshake.command.microphone import Device, SoundSource
from sideshake.command.say import json_text
from sideshake.command.screen import lines
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.core.version import EAR, PROGRAM
from sideshake.sound.clock import unchecked_clock
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.sound.stillness import Stillness

RATE_HZ = 48000
LIFT = Measured(52.0, 1.0)


@pytest.fixture(scope="module")
def ticking():
    samples = simulate(SimulatedWatch(rate_s_per_day=12.0), duration_s=14).samples
    return (samples * 32767).round().astype(np.int16)[:, None]


def cut(samples, length=4800):
    return [samples[at : at + length] for at in range(0, len(samples), length)]


def source(blocks):
    channels = blocks[0].shape[1] if isinstance(blocks, list) else 1
    return SoundSource(name="a microphone", rate_hz=RATE_HZ, channels=channels, blocks=iter(blocks))


def asked(**how):
    return LiveAsked(known=KnownForHearing(lift_angle_deg=LIFT), clock=unchecked_clock(), **how)


def said_json(capsys, outcome):
    tell(outcome, None, None, as_json=True)
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("length", [37, 1000, 4800, 100_000])
def test_live_and_file_agree_to_the_last_digit(capsys, sideshake, ticking, tmp_path, length):
    path = tmp_path / "kept.wav"
    blocks = cut(ticking[: 6 * RATE_HZ] if length == 37 else ticking, length)
    live = said_json(capsys, outcome_of(source(blocks), asked(keep=path)))
    assert (live["program"], live["ear"]) == (PROGRAM, EAR)
    file = json.loads(sideshake("hear", path, "--lift-angle", "52+-2", "--json").out)
    assert live["readings"] == file["readings"]
    assert live["sentences"] == file["sentences"]
    assert live["written"] == [str(path)]


def test_the_words_are_those_of_a_recording(capsys, sideshake, ticking, tmp_path):
    path = tmp_path / "kept.wav"
    tell(outcome_of(source(cut(ticking)), asked(keep=path)), None, None, as_json=False)
    live = " ".join(capsys.readouterr().out.split())
    file = sideshake("hear", path, "--lift-angle", "52+-2").text
    assert live.startswith(file[:200])
    assert "Written:" in live.removeprefix(file)


def test_the_samples_kept_are_those_heard(ticking, tmp_path):
    both = np.concatenate([ticking, -ticking // 2], axis=1)
    hear_live(source(cut(both)), asked(keep=tmp_path / "both.wav"))
    kept, rate_hz = soundfile.read(tmp_path / "both.wav", dtype="int16", always_2d=True)
    assert rate_hz == RATE_HZ
    assert np.array_equal(kept, both)
    again, _ = soundfile.read(tmp_path / "both.wav", dtype="float32", always_2d=True)
    assert np.array_equal(again, as_recorded(both))


def test_ctrl_c_ends_it_with_the_answer_and_a_whole_file(ticking, tmp_path):
    def endless():
        for number, block in enumerate(cut(np.concatenate([ticking, ticking]))):
            if number == 100:
                signal.raise_signal(signal.SIGINT)
            yield block

    path = tmp_path / "kept.wav"
    reading = hear_live(source(endless()), asked(keep=path))
    assert reading.heard.duration_s == pytest.approx(10.1)
    with wave.open(str(path)) as kept:
        assert kept.getnframes() == round(10.1 * RATE_HZ)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_second_ctrl_c_stops_without_an_answer_but_keeps_the_sound(ticking, tmp_path):
    def impatient():
        yield ticking[:4800]
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)
        yield ticking[4800:9600]

    with pytest.raises(KeyboardInterrupt):
        hear_live(source(impatient()), asked(keep=tmp_path / "kept.wav"))
    with wave.open(str(tmp_path / "kept.wav")) as kept:
        assert kept.getnframes() == 4800
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_it_listens_no_longer_than_asked(ticking, tmp_path):
    path = tmp_path / "kept.wav"
    reading = hear_live(source(cut(ticking, 7000)), asked(seconds=8.0, keep=path))
    assert reading.heard.duration_s == 8.0
    assert soundfile.info(path).frames == 8 * RATE_HZ


@pytest.mark.parametrize("seconds", [0.0, 4.9, 36001.0, float("nan")])
def test_impossible_lengths_are_refused(seconds):
    with pytest.raises(InputError, match="5 to 36000 is allowed"):
        asked(seconds=seconds)


def test_the_file_is_whole_at_every_moment(ticking, tmp_path):
    """After each block a reader finds exactly what was written: nothing waits in memory."""
    path = tmp_path / "kept.wav"
    here = source(cut(ticking))
    with kept_sound(path, here) as keep:
        for count, block in enumerate(cut(ticking)[:25], start=1):
            keep(block)
            with wave.open(str(path)) as so_far:
                assert so_far.getnframes() == 4800 * count
    assert path.stat().st_size == 44 + 2 * 4800 * 25


def test_a_recording_is_never_overwritten(ticking, tmp_path):
    path = tmp_path / "kept.wav"
    path.write_text("a recording")
    with pytest.raises(InputError, match="never overwritten"):
        hear_live(source(cut(ticking)), asked(keep=path))
    assert path.read_text() == "a recording"


@pytest.mark.parametrize(
    ("name", "why"), [("kept.mp3", "must end in .wav"), ("no/folder.wav", "cannot write")]
)
def test_where_it_cannot_be_kept_nothing_is_heard(ticking, tmp_path, name, why):
    with pytest.raises(InputError, match=why):
        hear_live(source(cut(ticking)), asked(keep=tmp_path / name))


class FullDisk:
    """A file that takes so many bytes and no more."""

    def __init__(self, room):
        self.room, self.data, self.at = room, bytearray(), 0

    def seek(self, at):
        self.at = at

    def write(self, data):
        if self.at + len(data) > self.room:
            raise OSError(28, "No space left on device")
        self.data[self.at : self.at + len(data)] = data
        self.at += len(data)
        return len(data)

    def fileno(self):
        return os.open(os.devnull, os.O_WRONLY)


def test_a_full_disk_ends_the_keeping_not_the_listening(ticking, tmp_path):
    here, disk = source(cut(ticking)), FullDisk(44 + 2 * 4800 * 2)
    kept = KeptSound(tmp_path / "kept.wav", disk, here)
    for block in cut(ticking)[:4]:
        kept.write(block)
    (trouble,) = here.troubles
    assert re.match(r"Only the first 0 s are in .*kept.wav: No space left on device\.", trouble)
    assert len(disk.data) == disk.room
    assert disk.data[40:44] == (2 * 4800 * 2).to_bytes(4, "little")


def test_a_wav_file_ends_where_its_counter_ends(ticking, tmp_path):
    here, disk = source(cut(ticking)), FullDisk(10**9)
    kept = KeptSound(tmp_path / "kept.wav", disk, here)
    kept._size = MOST_BYTES - 100
    kept.write(ticking[:4800])
    assert "the file has reached 4 GB" in here.troubles[0]
    assert len(disk.data) == 44


def test_troubles_on_the_way_are_told_with_the_answer(capsys, ticking):
    here = source(cut(ticking))
    here.troubles.append("Sound was lost.")
    assert "Sound was lost." in said_json(capsys, outcome_of(here, asked()))["notes"]


def test_silence_gives_no_reading_and_exit_code_3(capsys, tmp_path):
    blocks = cut(np.zeros((6 * RATE_HZ, 1), np.int16))
    outcome = outcome_of(source(blocks), asked(keep=tmp_path / "kept.wav"))
    assert "kept.wav: no reading, the sound is silent" in capsys.readouterr().err
    with pytest.raises(SystemExit) as end:
        tell(outcome, None, None, as_json=False)
    assert end.value.code == 3
    assert soundfile.info(tmp_path / "kept.wav").frames == 6 * RATE_HZ


def test_no_sound_at_all_is_no_reading(capsys):
    empty = np.empty((0, 1), np.int16)
    assert outcome_of(source([empty, empty]), asked()).readings == {}
    assert "there is no sound" in capsys.readouterr().err


def test_what_is_shown_says_the_reading_the_loudness_and_the_hands(ticking):
    stillness = Stillness(RATE_HZ)
    stillness.feed(as_recorded(ticking))
    said = lines(hear_live(source(cut(ticking)), asked()), 14.0, stillness)
    assert said[0].startswith("Gains 1")
    assert re.fullmatch(
        r"14 s heard, loudest −\d+ dB of full scale, undisturbed for 14 s\.", said[1]
    )


@pytest.mark.parametrize(
    ("samples", "heard_s", "words"),
    [
        (np.ones(RATE_HZ), 1.0, "1 s heard, too loud: turn the input down."),
        (np.zeros(RATE_HZ), 1.0, "no sound at all: is the microphone switched off?"),
        (np.full(RATE_HZ, 1e-3), 1.0, "−60 dB of full scale (very soft: turn the input up)"),
        (np.r_[np.zeros(3 * RATE_HZ), np.full(9600, 0.5) * np.sin(np.arange(9600))], 3.2,
         "hands or knocks are heard: wait"),
    ],
)  # fmt: skip
def test_what_is_shown_says_what_to_do(samples, heard_s, words):
    stillness = Stillness(RATE_HZ)
    stillness.feed(samples)
    said = lines(NotEnough("the sound is silent"), heard_s, stillness)
    assert said[0] == "No reading yet: the sound is silent."
    assert words in said[1]
    assert said[-1].startswith("Ctrl-C ends")


def test_somebody_who_watches_sees_it_and_the_answer_stays_clean(ticking, tmp_path):
    """On a terminal the live lines go to standard error, the answer to standard output."""
    np.save(tmp_path / "ticking.npy", ticking)
    program = (
        "import numpy as np, sys; from test_live import *; "
        f"t = np.load({str(tmp_path / 'ticking.npy')!r}); "
        "tell(outcome_of(source(cut(t)), asked()), None, None, as_json=True)"
    )
    ours, theirs = pty.openpty()
    path = os.pathsep.join([*sys.path, str(Path(__file__).parent)])
    env = os.environ | {"PYTHONPATH": path, "TERM": "xterm"}
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdout=subprocess.PIPE, stderr=theirs, env=env, check=True, text=True,
    )  # fmt: skip
    shown = os.read(ours, 1 << 20).decode()
    assert "Ctrl-C ends the listening" in shown
    assert re.search(r"[0-9] s heard, loudest −[0-9]+ dB of full scale", shown)
    assert json.loads(done.stdout)["readings"][0]["beats_per_hour"] == 18000


@pytest.mark.parametrize(
    ("files", "live", "given", "why"),
    [
        (("a.wav",), True, {}, "a.wav cannot be heard with it"),
        ((), False, {}, "give a recording of the watch, or --live"),
        (("a.wav",), False, {"seconds": 5.0}, "--seconds is for listening live"),
        (("--lvie",), False, {}, "--lvie is no option here"),
    ],
)
def test_files_and_live_exclude_each_other(files, live, given, why):
    with pytest.raises(InputError, match=why):
        require_sound(files, live=live, only_live=given)


def test_without_recording_or_microphone_hear_says_what_to_give(sideshake):
    said = sideshake("hear")
    assert (said.code, said.out) == (2, "")
    assert "give a recording of the watch, or --live" in said.err


def test_the_microphones_are_listed():
    found = [Device(number=3, name="Contact microphone", channels=1, rate_hz=44100)]
    answer = told_devices(found)
    assert answer.grids[0].rows == [("3", "Contact microphone", "44100")]
    assert json.loads(json_text(answer))["devices"][0]["number"] == 3
    assert told_devices([]).sentences[0].startswith("No microphone is found")
