"""Recordings as blocks of samples: WAV, FLAC, OGG, MP3 and what else `soundfile` reads."""

import os
import shutil
import struct
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import IO

import numpy as np
import soundfile
from numpy.typing import NDArray

from sideshake.core.errors import InputError

BLOCK_S = 2.0
STANDARD_INPUT = "-"
FULL_SCALE = np.float32(32768)
"""Of 16-bit samples, as soundfile reads them: file and microphone agree to the last digit."""
MOST_WAV_BYTES = 2**32 - 1024
"""A WAV file counts its bytes with 32 bits."""
WHOLE_SHARE = 0.98
"""An MP3 header may promise a little more than there is; less than this is a file cut short."""


DECODING = Lock()


@contextmanager
def muted() -> Iterator[None]:
    """Keep what libraries write to the error stream by themselves from the user.

    The MP3 decoder tells the stream of each damaged frame; we say in one line what is wrong.
    """
    with DECODING:
        try:
            kept, nowhere = os.dup(2), os.open(os.devnull, os.O_WRONLY)
        except OSError:  # there is no error stream
            yield
            return
        try:
            os.dup2(nowhere, 2)
            yield
        finally:
            os.dup2(kept, 2)
            os.close(nowhere)
            os.close(kept)


HEADER_BYTES = 4096
"""More than this is no header."""


class Forward(soundfile.SoundFile):  # type: ignore[misc] # soundfile has no types
    """A sound file that is only read forward.

    `soundfile` else seeks after each block, and an MP3 loses sound at each seek.
    """

    def seekable(self) -> bool:
        """Return False: nothing here seeks."""
        return False


@dataclass(frozen=True, slots=True)
class OpenRecording:
    """An open recording. `frames` is what its header promises, samples per channel."""

    name: str
    rate_hz: int
    channels: int
    frames: int
    sound: soundfile.SoundFile

    @property
    def duration_s(self) -> float:
        """Return how long the recording is."""
        return self.frames / self.rate_hz

    def blocks(self) -> Iterator[NDArray[np.float32]]:
        """Return the sound in blocks of two seconds, shape (samples, channels).

        Raises
        ------
        InputError : the file cannot be read on, or ends before its header says
        """
        length, read = max(1, round(BLOCK_S * self.rate_hz)), 0
        while True:
            try:
                block = self._read(length)
            except (soundfile.SoundFileError, OSError) as fault:
                raise InputError(
                    f"{self.name}: is damaged or cut short ({fault}); copy it again"
                ) from None
            if not block.size:
                break
            read += block.shape[0]
            yield block
        if read < WHOLE_SHARE * self.frames:
            self._ends_early(read)

    def stretch(self, start_s: float, end_s: float) -> NDArray[np.float32]:
        """Return the sound from one time to another, shape (samples, channels), and no more.

        What lies beyond the recording's ends is not there. Nothing else is read, but of an MP3,
        which loses sound when it is not read from its beginning.

        Raises
        ------
        InputError : the file cannot be read there
        """
        first = min(max(0, round(start_s * self.rate_hz)), self.frames)
        count = max(0, min(round(end_s * self.rate_hz), self.frames) - first)
        try:
            if self.sound.format == "MP3":
                self._skip(first)
            else:
                self.sound.seek(first)
            return self._read(count)
        except (soundfile.SoundFileError, OSError) as fault:
            raise InputError(
                f"{self.name}: cannot be read from {start_s:.1f} s on ({fault}); copy it again"
            ) from None

    def _skip(self, count: int) -> None:
        block = max(1, round(BLOCK_S * self.rate_hz))
        for at in range(0, count, block):
            self._read(min(block, count - at))

    def _read(self, count: int) -> NDArray[np.float32]:
        with muted() if self.sound.format == "MP3" else nullcontext():
            return np.asarray(self.sound.read(count, dtype="float32", always_2d=True), np.float32)

    def _ends_early(self, read: int) -> None:
        raise InputError(
            f"{self.name}: ends after {read / self.rate_hz:.1f} s though its header promises "
            f"{self.duration_s:.1f} s; copy it again, or save the part that is there as a new file"
        )


@contextmanager
def open_recording(path: Path | str) -> Iterator[OpenRecording]:
    """Yield the open recording at `path`; "-" is standard input.

    Raises
    ------
    InputError : no such file, a folder, empty, or not a sound file that can be read
    """
    name = str(path)
    with opened(name) as stream:
        if not stream.read(1):
            raise InputError(f"{name}: is empty; a sound file (WAV, FLAC, OGG, MP3) is needed")
        stream.seek(0)
        try:
            with muted():
                sound = Forward(stream.fileno(), closefd=False)  # not by name: an ending lies
        except (soundfile.SoundFileError, TypeError) as fault:
            reason = str(fault).rsplit(":", maxsplit=1)[-1].strip().rstrip(".")
            if "SF_INFO" in reason:
                reason = "its header makes no sense, perhaps a sample rate of 0"
            raise InputError(
                f"{name}: is not a sound file that can be read ({reason}); "
                "WAV, FLAC, OGG and MP3 are"
            ) from None
        with sound:
            refuse_cut_short(name, sound)
            refuse_unfinished(name, sound, os.fstat(stream.fileno()).st_size)
            yield OpenRecording(name, sound.samplerate, sound.channels, sound.frames, sound)


@contextmanager
def opened(name: str) -> Iterator[IO[bytes]]:
    """Yield the file's bytes, seekable; standard input is kept on disk meanwhile, not in memory."""
    if name == STANDARD_INPUT:
        with tempfile.TemporaryFile(buffering=0) as kept:
            shutil.copyfileobj(sys.stdin.buffer, kept)
            kept.seek(0)
            yield kept
        return
    try:
        stream = Path(name).open("rb", buffering=0)  # noqa: SIM115 - closed by the `with` below
    except OSError as fault:
        raise InputError(
            f"{name}: cannot be opened ({fault.strerror}); a sound file is needed"
        ) from None
    with stream:
        yield stream


def refuse_cut_short(name: str, sound: soundfile.SoundFile) -> None:
    """Raise InputError if there is less than the header says (libsndfile mends it quietly)."""
    for line in sound.extra_info.splitlines():
        if line.strip().startswith("data") and "should be" in line:
            raise InputError(
                f"{name}: was cut short, only {sound.frames / sound.samplerate:.1f} s are left of "
                "what its header promises; copy it again, or save that part as a new file"
            )


def refuse_unfinished(name: str, sound: soundfile.SoundFile, size_bytes: int) -> None:
    """Raise InputError if the header says that there is no sound, but the file holds more."""
    if sound.frames == 0 and size_bytes > HEADER_BYTES:
        raise InputError(
            f"{name}: its header says that there is no sound in it, though it holds "
            f"{size_bytes / 1000:.0f} kB: the recorder has not finished it; end the recording "
            "properly, or open it in another program and save it anew"
        )


def wav_header(samples: int, rate_hz: int) -> bytes:
    """Return the head of a WAV file of one channel of 16-bit samples, which follow it.

    References
    ----------
    RFC 2361 and the RIFF layout it names: 44 bytes for plain PCM
    """
    size = 2 * samples
    return struct.pack(
        "<4sI4s4sIHHIIHH4sI",
        b"RIFF", 36 + size, b"WAVE", b"fmt ", 16, 1, 1, rate_hz, 2 * rate_hz, 2, 16, b"data", size,
    )  # fmt: skip
