"""How fast, and in how much memory?

The machine may be busy with other work, so times are CPU seconds of this process, the best of
three; the time by the clock on the wall is shown beside them. `run.py` holds the numerical
libraries to one thread.
"""

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import butter, sosfilt
from show import mark, say, show

from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.timing.reading import read

RATE_HZ = 48000
MINUTES, QUICK_MINUTES = 10, 2
REPEATS = 3
TIMES_REAL_TIME = 1000.0
TIMES_FILTER = 3.2
"""No slower than the ear was before: 1.9 to 3.2, as busy as the machine was."""
HOURS, QUICK_HOURS = 10, 1
MOST_MB = 250.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """Seconds spent: of this process's CPU, and by the clock on the wall."""

    cpu_s: float
    wall_s: float


def best_of(work: Callable[[], None], repeats: int = REPEATS) -> Spent:
    """Return the least time that the work took."""
    spent = [once(work) for _ in range(repeats)]
    return Spent(cpu_s=min(s.cpu_s for s in spent), wall_s=min(s.wall_s for s in spent))


def once(work: Callable[[], None]) -> Spent:
    """Return the time that the work takes."""
    cpu_s, wall_s = time.process_time(), time.perf_counter()
    work()
    return Spent(cpu_s=time.process_time() - cpu_s, wall_s=time.perf_counter() - wall_s)


def minute(per_hour: float = 18000.0) -> np.ndarray:
    """Return a minute that can be repeated without a break in the ticking."""
    watch = SimulatedWatch(beats_per_hour=per_hour, beat_error_ms=0.4)
    return simulate(watch, duration_s=60.0, room=RoomNoise(snr_db=20), seed=1).samples


def write_recording(path: Path, minutes: int) -> None:
    """Write the recording that is read: 16 bits, one channel."""
    soundfile.write(path, np.tile(minute(), minutes), RATE_HZ, subtype="PCM_16")


def hear_file(path: Path) -> None:
    """Read the file in blocks of a second and hear it."""
    with soundfile.SoundFile(path) as file:
        listener = Listener(file.samplerate)
        for block in file.blocks(RATE_HZ, dtype="float32"):
            listener.feed(block)
    read(listener.hear())


def decode(path: Path) -> None:
    """Only read the file in blocks of a second."""
    with soundfile.SoundFile(path) as file:
        for _ in file.blocks(RATE_HZ, dtype="float32"):
            pass


def speed_table(minutes: int) -> None:
    """Print what reading and hearing costs, and what one filter over the same samples costs."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ten.wav"
        write_recording(path, minutes)
        hear_file(path)
        samples = soundfile.read(path, dtype="float64")[0]
        sections = butter(4, [1000, 12000], "bandpass", fs=RATE_HZ, output="sos")
        heard = best_of(lambda: hear_file(path))
        decoded = best_of(lambda: decode(path))
        filtered = best_of(lambda: np.ptp(sosfilt(sections, samples)))
    rows = [
        cost_row("read, hear, reading", heard, minutes, filtered),
        cost_row("only decode", decoded, minutes, filtered),
        cost_row("one sosfilt, order 4 band-pass", filtered, minutes, filtered),
    ]
    columns = ("work", "CPU s", "wall s", "times real time (CPU)", "times one sosfilt (CPU)")
    show(f"{minutes} minutes of 48 kHz, 16-bit WAV, best of {REPEATS}", columns, rows)
    fast, filters = 60 * minutes / heard.cpu_s, heard.cpu_s / filtered.cpu_s
    say(f"{fast:.0f} times real time, wanted {TIMES_REAL_TIME:.0f}: {mark(fast >= 1000)}")
    say(f"{filters:.2f} filters, wanted at most {TIMES_FILTER:g}: {mark(filters <= TIMES_FILTER)}")


def cost_row(name: str, spent: Spent, minutes: int, filtered: Spent) -> list[str]:
    """Return a row of the table."""
    return [
        name,
        f"{spent.cpu_s:.3f}",
        f"{spent.wall_s:.3f}",
        f"{60 * minutes / spent.cpu_s:.0f}",
        f"{spent.cpu_s / filtered.cpu_s:.2f}",
    ]


def stream(path: Path, minutes: int) -> None:
    """Hear the minute in the file over and over; print the peak of memory (MB) and the beats."""
    listener = Listener(RATE_HZ)
    with soundfile.SoundFile(path) as file:
        for _ in range(minutes):
            file.seek(0)
            for block in file.blocks(RATE_HZ, dtype="float32"):
                listener.feed(block)
    reading = read(listener.hear())
    print(f"{peak_mb():.0f} {reading.heard.beats.count}")


def peak_mb() -> float:
    """Return the most memory this process has held.

    Linux tells it in /proc; `getrusage` there also counts what the parent held before the start.
    """
    status = Path("/proc/self/status")
    if status.exists():
        lines = dict(line.split(":", 1) for line in status.read_text().splitlines())
        return int(lines["VmHWM"].split()[0]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def memory_table(hours: int) -> None:
    """Print the peak of memory of recordings of several lengths, each in a process of its own."""
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "minute.wav"
        write_recording(path, 1)
        for minutes in (1, 10, 60 * hours):
            done = subprocess.run(
                [sys.executable, __file__, "--stream", str(path), str(minutes)],
                check=True, capture_output=True, text=True,
            )  # fmt: skip
            most_mb, beats = (int(word) for word in done.stdout.split())
            rows.append([f"{minutes} min", f"{beats}", f"{most_mb}", mark(most_mb < MOST_MB)])
    show("Memory: peak of the whole process", ("streamed", "beats heard", "MB", "below 250"), rows)


def report(*, quick: bool = False) -> None:
    """Print speed and memory."""
    speed_table(QUICK_MINUTES if quick else MINUTES)
    memory_table(QUICK_HOURS if quick else HOURS)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--stream", nargs=2, help=argparse.SUPPRESS)
    told = parser.parse_args()
    if told.stream:
        stream(Path(told.stream[0]), int(told.stream[1]))
    else:
        report(quick=told.quick)
