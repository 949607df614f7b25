"""`sideshake demo`: the main job on made-up material, from the tick to the new jewel."""

import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.demo.workshop.place import WORKSHOP, require_replaceable
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate

MINUTE_S = 60.0

AS_IT_CAME = SimulatedWatch(
    beats_per_hour=18000,
    rate_s_per_day=-48.0,
    amplitude_deg=208.0,
    lift_angle_deg=50.0,
    beat_error_ms=1.4,
    jitter_us=25.0,
    wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.06, amplitude_deg=1.0),),
)
AFTER_THE_WORK = SimulatedWatch(
    beats_per_hour=18000,
    rate_s_per_day=6.0,
    amplitude_deg=272.0,
    lift_angle_deg=50.0,
    beat_error_ms=0.2,
    jitter_us=15.0,
)
QUIET = RoomNoise(snr_db=22.0, hum=0.2, rumble=0.3)
RECORDER = Recorder(rate_hz=48000, clock_ppm=18.0)
CALIBRE, FINDING = "tarnbrook-31", "leaning-barrel"
AS_IT_CAME_FILE, AFTER_THE_WORK_FILE, RAIN_FILE = "as-it-came.wav", "after-the-work.wav", "rain.wav"


def demo(folder: Path = Path("demo"), *, workshop: bool = True, visits: int | None = None) -> None:
    """Make demo recordings, read, draw and judge them; then fill a demo workshop with two years.

    Everything is invented: a hand-wound chronograph of the workshop's calibre tarnbrook-31, whose
    barrel bridge is worn, before and after the work; a room without a watch; and a workshop with
    its owners, watches and visits, photographs and recordings.

    Parameters
    ----------
    folder
        Where recordings and pictures go; the workshop goes into its folder `workshop`, where it
        replaces an earlier demo workshop and nothing else.
    workshop
        Make the workshop too, which takes a minute.
    visits
        Make only so many visits, spread over the two years.
    """
    require_count(visits)
    if workshop:
        require_replaceable(folder / WORKSHOP)
    make_recordings(folder)
    pictures = folder / "pictures"
    print_line("Everything here is invented: the workshop, the calibre, the sounds.")
    hear_step("The watch as it came", folder / AS_IT_CAME_FILE, pictures)
    ask("On the bench: the barrel leans", "barrel", CALIBRE, "--measured", FINDING, pictures)
    title = "The same watch cleaned, with a new mainspring and a jewel"
    hear_step(title, folder / AFTER_THE_WORK_FILE, pictures)
    try:
        hear_step("Rain on the workshop's roof", folder / RAIN_FILE, pictures)
    except SystemExit:
        print_line("(That was no watch, and Sideshake says so instead of inventing a figure.)")
    print_line(f"\nThe pictures are in {pictures}; open the .html pages in a browser.")
    if workshop:
        workshop_step(folder, visits)


def require_count(visits: int | None) -> None:
    """Raise InputError unless the number of visits can be made."""
    if visits is not None and visits < 1:
        raise InputError(f"--visits {visits}: give 1 or more, or leave it out for the whole season")


def workshop_step(folder: Path, visits: int | None) -> None:
    """Make the demo workshop and say how it is opened."""
    from sideshake.command.demo_workshop import make_workshop

    print_line("\n=== Two years in a workshop ===\n")
    print_line("Drawing photographs, simulating and hearing recordings; this takes a minute.")
    place = make_workshop(folder, visits=visits)
    print_line(f"The demo workshop is in {place}. This opens it:")
    print_line(f"$ SIDESHAKE_DATA={place} sideshake bench")


def make_recordings(folder: Path) -> None:
    """Write the demo recordings."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, samples in demo_sounds():
            soundfile.write(folder / name, samples, RECORDER.rate_hz, subtype="PCM_16")
    except (OSError, soundfile.SoundFileError) as fault:
        raise InputError(f"cannot write the demo into {folder}: {fault}") from None


def demo_sounds() -> Iterator[tuple[str, NDArray[np.float32]]]:
    """Yield each recording's file name and its samples."""
    yield AS_IT_CAME_FILE, ticking(AS_IT_CAME, seed=31)
    yield AFTER_THE_WORK_FILE, ticking(AFTER_THE_WORK, seed=32)
    yield RAIN_FILE, rain(seed=33)


def hear_step(title: str, recording: Path, pictures: Path) -> None:
    """Hear a recording as one would oneself."""
    ask(title, "hear", recording, "--calibre", CALIBRE, pictures)


def ask(title: str, command: str, *told: object) -> None:
    """Say what comes next and how one would ask for it oneself, and ask for it in just that way.

    The last of what is told is the folder for pictures.
    """
    from sideshake.command.main import app

    tokens = [command, *map(str, told[:-1]), "--pictures", str(told[-1])]
    print_step(title, " ".join(["sideshake", *tokens]))
    app(tokens, result_action="return_value")


def ticking(watch: SimulatedWatch, *, seed: int) -> NDArray[np.float32]:
    """Return a minute of the watch in the demo workshop."""
    return simulate(watch, duration_s=MINUTE_S, room=QUIET, recorder=RECORDER, seed=seed).samples


def rain(*, seed: int) -> NDArray[np.float32]:
    """Return half a minute of rain: many small drops at random."""
    random = np.random.default_rng(seed)
    samples = random.normal(0, 0.002, round(MINUTE_S / 2 * RECORDER.rate_hz))
    drop = np.exp(-np.arange(400) / 60.0)
    for start in random.integers(0, samples.size - drop.size, 1200):
        loudness = random.lognormal(-3.5, 0.7)
        samples[start : start + drop.size] += loudness * random.normal(size=drop.size) * drop
    return np.clip(samples, -1, 1).astype(np.float32)


def print_step(title: str, command: str) -> None:
    """Write what comes next and how one would ask for it oneself."""
    print_line(f"\n=== {title} ===\n$ {command}\n")


def print_line(text: str) -> None:
    """Write a line to the screen."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()
