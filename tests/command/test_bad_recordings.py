"""What is no recording, or a damaged one: one clear line and an exit code, never a warning.

Each way to hear a file meets each fault. Warnings are errors here; what C libraries write past
Python is asked of real processes.
"""

import os
import struct
import subprocess
import sys

import numpy as np
import pytest
import soundfile

RATE_HZ = 48000
NOISE = (0.3 * np.random.default_rng(0).standard_normal(3 * RATE_HZ)).clip(-1, 1)
PCM = (32767 * NOISE).astype("<i2").tobytes()


def wav(data=PCM, *, channels=1, rate_hz=RATE_HZ, bits=16, said_bytes=None, form=1):
    """Return a WAV file whose header says what it is told to."""
    align = channels * bits // 8 % 65536
    size = len(data) if said_bytes is None else said_bytes
    return struct.pack(
        "<4sI4s4sIHHIIHH4sI", b"RIFF", 36 + len(data), b"WAVE", b"fmt ", 16, form, channels,
        rate_hz, rate_hz * align % 2**32, align, bits, b"data", size,
    ) + data  # fmt: skip


def written(folder, name, samples, **how):
    path = folder / name
    soundfile.write(path, samples, RATE_HZ, **how)
    return path.read_bytes()


BYTES = {
    "ten-times-as-long.wav": (2, "was cut short, only 3.0 s are left", wav(said_bytes=10 * 288000)),
    "endless.wav": (2, "was cut short", wav(said_bytes=2**32 - 1)),
    "unfinished.wav": (2, "the recorder has not finished it", wav(said_bytes=0)),
    "header-alone.wav": (3, "there is no sound", wav(b"")),
    "half-a-header.wav": (2, "is not a sound file", wav()[:20]),
    "half-a-sample.wav": (3, "too short", wav(b"\x01\x02\x03")),
    "no-channel.wav": (2, "is not a sound file", wav(channels=0)),
    "too-many-channels.wav": (2, "is not a sound file", wav(channels=65535)),
    "a-thousand-channels.wav": (3, "too short", wav(channels=1000)),
    "no-rate.wav": (2, "perhaps a sample rate of 0", wav(rate_hz=0)),
    "one-hertz.wav": (2, "16000 to 192000 is allowed", wav(rate_hz=1)),
    "two-gigahertz.wav": (2, "16000 to 192000 is allowed", wav(rate_hz=2**31 - 1)),
    "four-gigahertz.wav": (2, "is not a sound file", wav(rate_hz=2**32 - 1)),
    "no-bits.wav": (2, "is not a sound file", wav(bits=0)),
    "unknown-form.wav": (2, "is not a sound file", wav(form=999)),
    "half.wav": (2, "was cut short, only 1.5 s", wav()[: 44 + len(PCM) // 2]),
    "text.wav": (2, "is not a sound file", b"Dear Sir,\nthe watch stops at night.\n" * 99),
    "empty.flac": (2, "is empty", b""),
    "one-byte.wav": (2, "is not a sound file", b"R"),
}
SAMPLES = {
    "eight-bits.wav": (3, "nothing in this sound repeats", NOISE, {"subtype": "PCM_U8"}),
    "not-a-number.wav": (
        2, "not numbers", np.where(np.arange(NOISE.size) == 9, np.nan, NOISE), {"subtype": "FLOAT"},
    ),
    "infinite.wav": (
        2, "not numbers", np.where(np.arange(NOISE.size) == 9, -np.inf, NOISE),
        {"subtype": "DOUBLE"},
    ),
    "huge.wav": (2, "far too large", 1e30 * NOISE, {"subtype": "FLOAT"}),
    "beyond-single.wav": (2, "far too large", 1e300 * NOISE, {"subtype": "DOUBLE"}),
    "scaled-as-24-bits.wav": (3, "nothing in this", 8e6 * NOISE, {"subtype": "FLOAT"}),
    "tiny.wav": (3, "silent or constant", 1e-44 * NOISE, {"subtype": "FLOAT"}),
    "constant.wav": (3, "silent or constant", np.full(NOISE.size, 0.5), {}),
    "one-click.wav": (3, "silent or constant", (np.arange(NOISE.size) == 70000) * 1.0, {}),
    "flac.wav": (3, "nothing in this sound repeats", NOISE, {"format": "FLAC"}),
    "mp3.flac": (3, "nothing in this sound repeats", NOISE, {"format": "MP3"}),
    "five-stereo.wav": (3, "too short", np.zeros((5, 2)), {}),
    "few.mp3": (3, "too short", NOISE[:20], {}),
}  # fmt: skip


@pytest.fixture(scope="module")
def bad(tmp_path_factory):
    """A folder of recordings that are none, with the exit code and words of each."""
    folder = tmp_path_factory.mktemp("bad")
    for name, (_code, _words, data) in BYTES.items():
        (folder / name).write_bytes(data)
    for name, (_code, _words, samples, how) in SAMPLES.items():
        written(folder, name, samples, **how)
    whole = {kind: written(folder, f"whole.{kind}", NOISE) for kind in ("mp3", "flac")}
    (folder / "half.mp3").write_bytes(whole["mp3"][: len(whole["mp3"]) // 2])
    (folder / "half.flac").write_bytes(whole["flac"][: len(whole["flac"]) // 2])
    holes = bytearray(whole["mp3"])
    for at in range(3000, len(holes) - 2000, 700):
        holes[at : at + 30] = bytes(range(30))
    (folder / "holes.mp3").write_bytes(holes)
    (folder / "folder.wav").mkdir()
    return folder


DAMAGED = {
    "half.mp3": (2, "though its header promises 3.0 s"), "half.flac": (2, "is damaged or cut"),
    "folder.wav": (2, "cannot be opened"), "no-such.wav": (2, "cannot be opened"),
}  # fmt: skip
EXPECTED = {name: found[:2] for name, found in {**BYTES, **SAMPLES, **DAMAGED}.items()}
WAYS = {
    "hear": ("hear",), "told": ("hear", "--beats-per-hour", "18000"), "clock": ("clock",),
    "compare": ("compare",),
}  # fmt: skip


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", EXPECTED)
def test_each_fault_is_one_clear_line(sideshake, bad, name, way):
    code, words = EXPECTED[name]
    path = bad / name
    said = sideshake(*WAYS[way], path, *([path] if way == "compare" else []))
    assert (said.code, said.out) == (code, "")
    assert said.err.count("\n") == 1
    assert said.err.startswith("sideshake: ")
    too_short = way == "clock" and words.startswith("nothing") and "8 s is the least" in said.err
    assert words in said.err or too_short


@pytest.mark.parametrize("count", [0, *range(1, 31), 47, 48, 49, 500, 5000, 40000])
def test_a_few_samples_are_too_short(sideshake, tmp_path, count):
    path = tmp_path / "few.wav"
    soundfile.write(path, NOISE[:count], RATE_HZ)
    for way in WAYS.values():
        said = sideshake(*way, path, *([path] if way == ("compare",) else []))
        assert (said.code, said.out, said.err.count("\n")) == (3, "", 1)
        assert ("too short" if count else "there is no sound") in said.err


def test_a_recording_that_is_none_never_hides_the_others(sideshake, sounds, bad):
    said = sideshake("hear", bad / "huge.wav", sounds / "old.wav", bad / "half-a-sample.wav")
    assert said.out.startswith("1 of 3 recordings gave a reading.")
    assert said.err.count("\n") == 2


@pytest.mark.parametrize("name", ["half.mp3", "holes.mp3", "half-a-sample.wav", "huge.wav"])
def test_no_library_writes_to_the_user(bad, name, tmp_path):
    """A process of its own, since libraries write past Python; warnings would end it."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "sideshake", "hear", bad / name],
        capture_output=True, text=True, check=False,
        env=os.environ | {"XDG_CONFIG_HOME": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode in (2, 3)
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("sideshake: ")


def test_the_same_file_from_standard_input_is_refused_alike(bad, tmp_path):
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "sideshake", "hear", "-"],
        capture_output=True, check=False, input=(bad / "unfinished.wav").read_bytes(),
        env=os.environ | {"XDG_CONFIG_HOME": str(tmp_path)},
    )  # fmt: skip
    assert done.returncode == 2
    assert b"the recorder has not finished it" in done.stderr
