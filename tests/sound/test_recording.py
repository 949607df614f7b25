"""Files as they come, good and bad, written here with soundfile."""

import io
import sys

import numpy as np
import pytest
import soundfile

from sideshake.core.errors import InputError
from sideshake.sound.recording import BLOCK_S, STANDARD_INPUT, open_recording

RATE_HZ = 16000


@pytest.fixture
def sound():
    """Return 5 s of a tone that swells, so that order and place can be seen."""
    times_s = np.arange(5 * RATE_HZ) / RATE_HZ
    return (0.1 * times_s * np.sin(2 * np.pi * 400 * times_s)).astype(np.float32)


def whole(path):
    with open_recording(path) as recording:
        blocks = list(recording.blocks())
        return recording, np.concatenate(blocks), [block.shape[0] for block in blocks]


@pytest.mark.parametrize(
    ("ending", "subtype", "close"),
    [
        ("wav", "FLOAT", 0),
        ("wav", "PCM_16", 4e-5),
        ("wav", "PCM_24", 2e-7),
        ("flac", "PCM_16", 4e-5),
    ],
)
def test_lossless_files_come_back(tmp_path, sound, ending, subtype, close):
    """Within one step of the written depth."""
    path = tmp_path / f"watch.{ending}"
    soundfile.write(path, sound, RATE_HZ, subtype=subtype)
    recording, samples, _ = whole(path)
    assert (recording.rate_hz, recording.channels, recording.duration_s) == (RATE_HZ, 1, 5.0)
    assert samples[:, 0] == pytest.approx(sound, abs=close)


@pytest.mark.parametrize("ending", ["ogg"])
def test_lossy_files_come_back_nearly(tmp_path, sound, ending):
    """Length within 2 % (a codec pads); the loudness of each tenth of a second goes along."""
    path = tmp_path / f"watch.{ending}"
    soundfile.write(path, sound, RATE_HZ)
    _, samples, _ = whole(path)
    assert samples.shape[0] == pytest.approx(sound.size, rel=0.02)
    tenth = RATE_HZ // 10
    found, written = (
        np.sqrt(np.mean(each[: 49 * tenth].reshape(49, tenth) ** 2, axis=1))
        for each in (samples[:, 0], sound)
    )
    assert np.corrcoef(found, written)[0, 1] > 0.99


def test_blocks_are_two_seconds_and_keep_their_channels(tmp_path, sound):
    path = tmp_path / "stereo.wav"
    soundfile.write(path, np.stack([sound, -sound], axis=1), RATE_HZ, subtype="FLOAT")
    recording, samples, lengths = whole(path)
    assert recording.channels == 2
    assert lengths == [int(BLOCK_S * RATE_HZ), int(BLOCK_S * RATE_HZ), RATE_HZ]
    assert np.array_equal(samples[:, 1], -sound)


def test_a_wrong_ending_does_not_matter(tmp_path, sound):
    path = tmp_path / "watch.mp3"
    soundfile.write(path, sound, RATE_HZ, format="WAV", subtype="FLOAT")
    assert np.array_equal(whole(path)[1][:, 0], sound)


def test_standard_input_is_read(monkeypatch, sound):
    """The process's own input is replaced: there is no other way to hand it over."""
    written = io.BytesIO()
    soundfile.write(written, sound, RATE_HZ, format="WAV", subtype="FLOAT")
    written.seek(0)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(written))
    assert np.array_equal(whole(STANDARD_INPUT)[1][:, 0], sound)


def refused(path):
    with pytest.raises(InputError) as refusal:
        whole(path)
    message = str(refusal.value)
    assert str(path) in message
    assert "\n" not in message
    return message


def test_a_file_that_is_not_there_is_refused(tmp_path):
    assert "cannot be opened" in refused(tmp_path / "none.wav")


def test_a_folder_is_refused(tmp_path):
    refused(tmp_path)


def test_an_empty_file_is_refused(tmp_path):
    path = tmp_path / "empty.wav"
    path.touch()
    assert "empty" in refused(path)


@pytest.mark.parametrize(
    "content", [b"x", b"tick tock " * 500, b"RIFF\x24\x00\x00\x00WAVE", bytes(4000)]
)
def test_what_is_no_sound_is_refused(tmp_path, content):
    path = tmp_path / "letter.wav"
    path.write_bytes(content)
    assert "WAV" in refused(path)


@pytest.mark.parametrize("share", [0.01, 0.3, 0.9])
@pytest.mark.parametrize("ending", ["wav", "flac"])
def test_a_file_cut_short_is_refused(tmp_path, sound, ending, share):
    path = tmp_path / f"cut.{ending}"
    soundfile.write(path, sound, RATE_HZ, subtype="PCM_16")
    content = path.read_bytes()
    path.write_bytes(content[: int(share * len(content))])
    refused(path)


@pytest.mark.parametrize("ending", ["wav", "flac", "ogg", "mp3"])
def test_a_stretch_is_what_stands_there_in_the_whole(tmp_path, sound, ending):
    path = tmp_path / f"watch.{ending}"
    soundfile.write(path, sound, RATE_HZ)
    everything = whole(path)[1]
    with open_recording(path) as recording:
        part = recording.stretch(3.2, 3.7)
    assert part.shape == (8000, 1)
    # within one step of 16 bits; a lossy decoder may begin a stretch a little otherwise
    assert part == pytest.approx(everything[51200:59200], abs=4e-5 if ending != "ogg" else 2e-3)


def test_a_stretch_ends_where_the_recording_ends(tmp_path, sound):
    path = tmp_path / "watch.wav"
    soundfile.write(path, sound, RATE_HZ)
    with open_recording(path) as recording:
        assert recording.stretch(4.5, 9.0).shape == (8000, 1)
        assert recording.stretch(-2.0, 0.5).shape == (8000, 1)
        assert recording.stretch(7.0, 9.0).shape == (0, 1)
