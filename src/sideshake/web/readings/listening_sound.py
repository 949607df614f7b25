"""The sound of a live reading on the disk: 16-bit samples, added to as they come.

It lies in FILES/live until the reading is finished; then it becomes a recording like every other.
"""

import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, SideshakeError
from sideshake.sound.recording import MOST_WAV_BYTES, wav_header
from sideshake.storage.files import NO_ROOM, stream_to_disk
from sideshake.storage.folder import made
from sideshake.web.models import Reading, Recording
from sideshake.web.readings.heard_rows import LIVE
from sideshake.web.storage.stored_files import LIVE as LIVE_FOLDER
from sideshake.web.storage.stored_files import RECORDINGS, hold_file

BYTES = 2
"""A sample has 16 bits."""
READ_BYTES = 1 << 21
QUIET_DB = -55.0
"""Below this share of full scale a watch's ticks are lost in the room (common practice)."""


class Missing(SideshakeError):  # noqa: N818 - said of the samples
    """Sound in between is missing; `have` samples are here, so it must be sent from there on."""

    def __init__(self, have: int) -> None:
        """Keep how many samples are here."""
        self.have = have
        super().__init__(f"{have} samples are here")


def fresh_part(pcm: bytes, first: int, *, have: int) -> bytes:
    """Return the samples of `pcm`, the first of which is number `first`, that are not here yet.

    Raises
    ------
    Missing : there is a gap before `first`
    InputError : half a sample, or a number below 0
    """
    if len(pcm) % BYTES or first < 0:
        raise InputError(_("whole 16-bit samples are needed, numbered from 0"))
    if first > have:
        raise Missing(have)
    return pcm[(have - first) * BYTES :]


def fresh_file(reading: Reading, rate_hz: int) -> Path:
    """Return the new, empty file for the sound of a live reading."""
    path = made(Path(settings.FILES) / LIVE_FOLDER) / f"{reading.pk}-{rate_hz}.pcm"
    path.write_bytes(b"")
    return path


def live_file(reading: Reading) -> tuple[Path, int]:
    """Return where the sound of a live reading lies, and its samples per second.

    Raises
    ------
    InputError : the reading is not live any more
    """
    found = sorted((Path(settings.FILES) / LIVE_FOLDER).glob(f"{reading.pk}-*.pcm"))
    if reading.state != LIVE or not found:
        raise InputError(_("this reading is finished; begin a new one"))
    return found[0], int(found[0].stem.rpartition("-")[2])


def samples_in(path: Path) -> int:
    """Return how many whole samples a file holds."""
    return path.stat().st_size // BYTES


def pieces(path: Path) -> Iterator[bytes]:
    """Yield the whole samples of a file, many at a time."""
    with path.open("rb") as file:
        while pcm := file.read(READ_BYTES):
            yield pcm[: len(pcm) - len(pcm) % BYTES]


def put_on_disk(path: Path, pcm: bytes, *, have: int) -> None:
    """Add samples to a file that has so many; they are on the disk when this returns.

    Raises
    ------
    InputError : it would grow beyond what one recording may hold, or the disk is full
    """
    whole = have * BYTES
    if whole + len(pcm) > min(settings.MOST_RECORDING_BYTES, MOST_WAV_BYTES):
        raise InputError(_("this recording is as long as one may be; finish it and begin another"))
    try:
        with path.open("r+b") as file:
            file.seek(whole)  # over what a crash or a full disk may have left of other samples
            file.write(pcm)
            file.truncate()
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:
        if fault.errno in NO_ROOM:
            raise InputError(
                _("there is no room left on the disk; what was heard so far is kept")
            ) from None
        raise


def stored(reading: Reading, path: Path, rate_hz: int) -> Recording:
    """Return the recording that a live reading's sound has become.

    Raises
    ------
    InputError : as `hold_file`; the live sound stays
    """
    samples = samples_in(path)

    def chunks() -> Iterator[bytes]:
        yield wav_header(samples, rate_hz)
        yield from pieces(path)

    kept = stream_to_disk(
        chunks(),
        made(Path(settings.FILES) / RECORDINGS),
        limit_bytes=MOST_WAV_BYTES,
        judge=lambda _path: ".wav",
    )
    hold_file(kept.path)
    return Recording.objects.create(
        visit=reading.visit,
        stored=kept.path.name,
        sha256=kept.sha256,
        bytes=kept.size_bytes,
        rate_hz=rate_hz,
        duration_s=samples / rate_hz,
    )
