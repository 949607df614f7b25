"""One file of the season, made and stored as an upload is. Runs in a process beside the workshop.

Nothing here knows the records: a task says what to make and where it goes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.demo.drawn.photographs import photograph
from sideshake.demo.shapes import Watch
from sideshake.demo.sounds import recording
from sideshake.demo.visit import Picture, Sound
from sideshake.photo.opening import Limits
from sideshake.photo.thumbnail import LARGE_PX, SMALL_PX, shown
from sideshake.sound.listener import Listener
from sideshake.sound.recording import open_recording
from sideshake.storage.files import Stored, stream_to_disk
from sideshake.timing.reading import Reading, read

PHOTOGRAPHS, RECORDINGS = "photographs", "recordings"
"""Where they lie in the folder of files."""
COPIES = {"small": SMALL_PX, "large": LARGE_PX}
"""The smaller copies that lie beside a photograph."""
MOST_BYTES = 60 * 1024**2


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDraw:
    """A photograph to be drawn."""

    picture: Picture
    watch: Watch
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPhotograph:
    """A photograph that was drawn and stored."""

    file: Stored
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSound:
    """A recording to be made and heard; lift angle and beats are the calibre sheet's, if any."""

    sound: Sound
    seed: int
    lift_deg: Measured | None
    beats_per_hour: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounded:
    """A recording that was stored, and what was heard in it: a reading, or why there is none."""

    file: Stored
    rate_hz: int
    duration_s: float
    reading: Reading | None
    no_reading: str = ""


def draw(task: ToDraw, files: Path) -> DrawnPhotograph:
    """Return the photograph, drawn and stored."""
    made = photograph(task.picture, task.watch, key=task.key)
    stored = stream_to_disk(
        [made.data], files / PHOTOGRAPHS, limit_bytes=MOST_BYTES, judge=ending(made.ending)
    )
    limits = Limits(most_bytes=MOST_BYTES, most_pixels=made.width_px * made.height_px)
    for size, longest_px in COPIES.items():
        copy = shown(made.data, longest_px=longest_px, limits=limits)
        stored.path.with_name(f"{stored.path.stem}-{size}.jpg").write_bytes(copy)
    return DrawnPhotograph(file=stored, width_px=made.width_px, height_px=made.height_px)


def sound(task: ToSound, files: Path) -> Sounded:
    """Return the recording, simulated, stored, and heard from the stored file."""
    made = recording(task.sound, seed=task.seed)
    stored = stream_to_disk(
        [made.data], files / RECORDINGS, limit_bytes=MOST_BYTES, judge=ending(made.ending)
    )
    reading, why = heard(stored.path, task.beats_per_hour, task.lift_deg)
    return Sounded(
        file=stored, rate_hz=made.rate_hz, duration_s=made.duration_s, reading=reading,
        no_reading=why,
    )  # fmt: skip


def ending(name: str) -> Callable[[Path], str]:
    """Return what tells the ending of a stored file's name."""
    return lambda _path: f".{name}"


def heard(
    path: Path, per_hour: float | None, lift_deg: Measured | None
) -> tuple[Reading | None, str]:
    """Return the reading of a stored recording, or why there is none."""
    try:
        with open_recording(str(path)) as opened:
            listener = Listener(opened.rate_hz, beats_per_hour=per_hour)
            for block in opened.blocks():
                listener.feed(block)
        return read(listener.hear(), lift_angle_deg=lift_deg, beats_per_hour=per_hour), ""
    except (InputError, NotEnough) as why:
        return None, str(why)
