"""Sound kept on disk while it is heard: a WAV file that is whole at every moment."""

import os
import struct
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import FileIO
from pathlib import Path

from sideshake.command.microphone import Samples, SoundSource
from sideshake.core.errors import InputError

MOST_BYTES = 4_000_000_000
"""A WAV file counts its bytes with 32 bits."""
DISK_EVERY_S = 0.5
SAMPLE_BYTES = 2

Write = Callable[[Samples], None]


@contextmanager
def kept_sound(path: Path | None, source: SoundSource) -> Iterator[Write]:
    """Yield what writes a block to the file, on disk at most a second later; nothing if no file.

    A disk that fills up ends the keeping, not the listening: that becomes one of the troubles.

    Raises
    ------
    InputError : the file is there already, or cannot be written
    """
    if path is None:
        yield lambda _block: None
        return
    if path.suffix.lower() != ".wav":
        raise InputError(f"--keep writes a WAV file: {path} must end in .wav")
    try:
        stream = FileIO(path, "x")
    except FileExistsError:
        raise InputError(f"{path} is there already: recordings are never overwritten") from None
    except OSError as fault:
        raise InputError(f"cannot write {path}: {fault.strerror}") from None
    with stream:
        yield KeptSound(path, stream, source).write


class KeptSound:
    """A WAV file that grows: after each block its header says how much there is."""

    def __init__(self, path: Path, stream: FileIO, source: SoundSource) -> None:
        """Begin with a whole file without sound."""
        self._path, self._stream, self._source = path, stream, source
        self._size = self._safe = 0
        self._ended = False
        self._write_header()

    def write(self, block: Samples) -> None:
        """Add a block: first the sound, then the header that counts it."""
        data = np_bytes(block)
        if self._ended or not data:
            return
        if self._size + len(data) > MOST_BYTES:
            self._end("the file has reached 4 GB")
            return
        try:
            self._add(data)
        except OSError as fault:
            self._end(str(fault.strerror))

    def _add(self, data: bytes) -> None:
        self._stream.seek(HEADER_BYTES + self._size)
        write_all(self._stream, data)
        self._size += len(data)
        self._write_header()
        if self._size - self._safe >= DISK_EVERY_S * self._source.rate_hz * self._frame_bytes:
            os.fsync(self._stream.fileno())
            self._safe = self._size

    def _write_header(self) -> None:
        self._stream.seek(0)
        write_all(self._stream, header(self._source, self._size))

    def _end(self, why: str) -> None:
        self._ended = True
        kept_s = self._size / self._frame_bytes / self._source.rate_hz
        self._source.troubles.append(f"Only the first {kept_s:.0f} s are in {self._path}: {why}.")

    @property
    def _frame_bytes(self) -> int:
        return SAMPLE_BYTES * self._source.channels


HEADER = "<4sI4s4sIHHIIHH4sI"
HEADER_BYTES = struct.calcsize(HEADER)


def header(source: SoundSource, size: int) -> bytes:
    """Return the header of a WAV file with `size` bytes of sound (RIFF WAVE, PCM)."""
    frame = SAMPLE_BYTES * source.channels
    return struct.pack(
        HEADER, b"RIFF", HEADER_BYTES - 8 + size, b"WAVE", b"fmt ", 16, 1, source.channels,
        source.rate_hz, source.rate_hz * frame, frame, 8 * SAMPLE_BYTES, b"data", size,
    )  # fmt: skip


def np_bytes(block: Samples) -> bytes:
    """Return the samples as a WAV file holds them, lowest byte first."""
    return block.astype("<i2", copy=False).tobytes()


def write_all(stream: FileIO, data: bytes) -> None:
    """Write all of it; an unbuffered file may take only a part at a time."""
    left = memoryview(data)
    while left:
        left = left[stream.write(left) :]
