"""What the experiments share: sounds that are a watch and sounds that are none, and their tables.

The recordings lie outside the project (CC0 and CC BY clips of ESC-10, K. J. Piczak, ACM Multimedia
2015); where they are missing, an experiment goes on with the simulated sounds alone.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import numpy as np
import soundfile
from scipy.signal import butter, sosfilt

from sideshake.sound import segment
from sideshake.sound.arrival import Arrivals
from sideshake.sound.band import frame_length, frame_powers, prominence
from sideshake.sound.noise import RoomNoise, speech
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, Simulation, simulate
from sideshake.sound.tempo import Tempo
from sideshake.sound.windows import Windows

RATE_HZ = 48000
CLIPS = Path(__file__).parents[2] / "shared/data/sound"
TICKING = {
    "3-171041-A": 0.20001, "5-201194-A": 0.2996, "4-175945-A": 0.22745, "5-209833-A": 0.24928,
    "1-21935-A": 0.39304, "3-150363-A": 0.60485, "1-48413-A": 0.5203,
}  # fmt: skip
"""Clips of clocks and watches, and their beat (s) by an independent measurement."""
TOLD_PER_HOUR = (None, 18000.0, 21600.0, 28800.0)
"""What a user may say of a sound: nothing, or one of the usual tempos."""


@dataclass(frozen=True, slots=True)
class Sound:
    """A sound; `beat_s` is the truth, None where nothing ticks."""

    name: str
    samples: np.ndarray
    rate_hz: int
    beat_s: float | None = None

    def loudness(self) -> tuple[np.ndarray, float]:
        """Return its loudness and the length of a frame (s)."""
        frame_s = frame_length(self.rate_hz) / self.rate_hz
        return prominence(frame_powers(self.samples, self.rate_hz)), frame_s

    def is_beat(self, beat_s: float) -> bool:
        """Return whether this is the true beat, to half a per cent."""
        return self.beat_s is not None and abs(beat_s / self.beat_s - 1) < 0.005


@contextmanager
def tuned(*modules: ModuleType, **constants: object) -> Iterator[None]:
    """Let the constants have other values in each of the modules, for a while."""
    before = [(one, name, getattr(one, name)) for one in modules for name in constants]
    for one, name, _ in before:
        setattr(one, name, constants[name])
    try:
        yield
    finally:
        for one, name, value in before:
            setattr(one, name, value)


def table(title: str, head: list[str], rows: list[list[object]]) -> None:
    """Print a table."""
    cells = [head, *[[shown(each) for each in row] for row in rows]]
    widths = [max(len(row[k]) for row in cells) for k in range(len(head))]
    print(f"\n{title}")
    for row in cells:
        print("  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)))


def shown(value: object) -> str:
    """Return a number with three digits, and anything else as it is."""
    if not isinstance(value, float):
        return str(value)
    return f"{value:g}" if abs(value) >= 1000 else f"{value:.3g}"


def mark(value: object, chosen: object) -> str:
    """Return the value as a table shows it, the chosen one with a star."""
    return f"{shown(value)} *" if value == chosen else shown(value)


def watch_sound(watch: SimulatedWatch, *, duration_s: float, room: RoomNoise, seed: int) -> Sound:
    """Return a simulated watch as a sound."""
    truth = simulate(watch, duration_s=duration_s, room=room, seed=seed)
    return Sound(f"watch {seed}", truth.samples, truth.rate_hz, watch.beat_s)


def some_watch(seed: int) -> SimulatedWatch:
    """Return a watch that is like others of its kind, the seed says which."""
    random = np.random.default_rng([seed, 77])
    return SimulatedWatch(
        beats_per_hour=float(random.choice([14400, 18000, 19800, 21600, 28800, 36000])),
        rate_s_per_day=random.uniform(-30, 30),
        amplitude_deg=random.uniform(190, 310),
        beat_error_ms=random.uniform(0, 1.5),
        jitter_us=random.uniform(5, 60),
        unlock_level=random.uniform(0.2, 0.6),
        wheels=(DisturbingWheel(period_s=random.uniform(3, 20), delay_ms=random.uniform(0, 0.2)),),
    )


def ticking_clips() -> list[Sound]:
    """Return the real clocks and watches that are there, 5 s each."""
    return [clip(name, beat_s) for name, beat_s in TICKING.items() if clip_path(name).exists()]


def other_clips() -> list[Sound]:
    """Return the real fires and chain saws that are there."""
    return [clip(path.stem, None) for path in sorted(CLIPS.glob("not-ticking-*.ogg"))]


def clip_path(name: str) -> Path:
    """Return where a clip would lie."""
    return CLIPS / f"{name}.ogg"


def clip(name: str, beat_s: float | None) -> Sound:
    """Return a clip, its channels averaged."""
    samples, rate_hz = soundfile.read(clip_path(name), dtype="float32", always_2d=True)
    return Sound(name, samples.mean(axis=1), rate_hz, beat_s)


def pieces(sound: Sound, length_s: float) -> list[Sound]:
    """Return a sound cut into pieces."""
    length = round(length_s * sound.rate_hz)
    starts = range(0, sound.samples.size - length + 1, length)
    return [
        Sound(sound.name, sound.samples[at : at + length], sound.rate_hz, sound.beat_s)
        for at in starts
    ]


def made_non_watches(seed: int, duration_s: float) -> list[Sound]:
    """Return rain, crackle, saw, speech, swells, hum, music and noise: one of each."""
    random = np.random.default_rng([seed, 5])
    count = round(duration_s * RATE_HZ)
    time_s = np.arange(count) / RATE_HZ
    made = {
        "noise": random.normal(size=count),
        "rain": drops(count, random.uniform(5, 60), random),
        "crackle": drops(count, random.uniform(2, 8), random),
        "saw": saw(time_s, random),
        "speech": speech(count, RATE_HZ, random),
        "swell": swell(time_s, random),
        "hum": hum_and_tone(time_s, random),
        "music": music(time_s, random),
    }
    return [
        Sound(name, (0.1 * wave / np.std(wave)).astype(np.float32), RATE_HZ)
        for name, wave in made.items()
    ]


def drops(count: int, per_second: float, random: np.random.Generator) -> np.ndarray:
    """Return short bursts at random moments, of random loudness, in a little noise."""
    strength = np.zeros(count)
    hits = random.random(count) < per_second / RATE_HZ
    strength[hits] = random.exponential(1.0, np.count_nonzero(hits))
    decay = np.exp(-np.arange(480) / 96)
    envelope = np.convolve(strength, decay)[:count]
    return envelope * random.normal(size=count) + 0.01 * random.normal(size=count)


def saw(time_s: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Return an engine: noise in bursts at a rate that wavers, and its tone."""
    knots_s = np.arange(0, time_s[-1] + 1, 0.5)
    slow = np.interp(time_s, knots_s, random.normal(size=knots_s.size))
    rate = random.uniform(20, 120) * (1 + random.uniform(0, 0.05) * slow)
    turn = 2 * np.pi * np.cumsum(rate) / RATE_HZ
    puffs = np.maximum(np.sin(turn), 0) ** 4
    return puffs * random.normal(size=time_s.size) + 0.3 * np.sin(turn) + 0.3 * np.sin(20 * turn)


def swell(time_s: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Return noise that swells and fades evenly, one to eight times a second."""
    depth, rate_hz = random.uniform(0.3, 0.95), random.uniform(1, 8)
    course = 1 + depth * np.sin(2 * np.pi * rate_hz * time_s)
    return course * random.normal(size=time_s.size)


def hum_and_tone(time_s: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Return mains hum, two whistling tones that beat against each other, and a little noise."""
    first_hz, apart_hz = random.uniform(1500, 6000), random.uniform(2, 12)
    hum = sum(np.sin(2 * np.pi * 50 * k * time_s) / k for k in (1, 2, 3, 5, 7))
    tones = np.sin(2 * np.pi * first_hz * time_s)
    tones += random.uniform(0.5, 1) * np.sin(2 * np.pi * (first_hz + apart_hz) * time_s)
    return hum + random.uniform(0.05, 1) * tones + 0.01 * random.normal(size=time_s.size)


def music(time_s: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Return plucked notes in even time, 3 to 12 a second, over a beat of drums."""
    wave = 0.003 * random.normal(size=time_s.size)
    step = round(RATE_HZ / random.uniform(3, 12))
    length = min(4 * step, RATE_HZ)
    since_s = np.arange(length) / RATE_HZ
    for at in range(0, time_s.size - length, step):
        pitch_hz = 220 * 2 ** (random.integers(0, 30) / 12)
        loud = random.choice([0.0, 0.4, 0.7, 1.0])
        note = sum(np.sin(2 * np.pi * k * pitch_hz * since_s) / k for k in range(1, 9))
        wave[at : at + length] += (
            loud * np.exp(-since_s / 0.2) * (1 - np.exp(-since_s / 3e-3)) * note
        )
    drum = sosfilt(
        butter(2, 5000, "high", fs=RATE_HZ, output="sos"), random.normal(size=time_s.size)
    )
    every = 2 * step
    place = np.arange(time_s.size) % every
    return wave + random.uniform(0, 1) * drum * np.exp(-place / (0.03 * RATE_HZ))


def expected(
    sound: np.ndarray, rate_hz: int, *, told: float | None = None
) -> tuple[Tempo, Windows]:
    """Return tempo and windows of a page."""
    loudness, frame_s = prominence(frame_powers(sound, rate_hz)), frame_length(rate_hz) / rate_hz
    tempo = segment.page_tempo(loudness, frame_s, told, None)
    return tempo, segment.expected_windows(sound, tempo, rate_hz)


def nearest_beat(truth: Simulation, windows: Windows, shift: np.ndarray) -> np.ndarray:
    """Return which simulated beat each window holds, once the moment meant is allowed for."""
    moment_s = (windows.start + windows.span.lead + shift) / truth.rate_hz
    return np.rint(np.interp(moment_s, truth.centre_s, np.arange(truth.centre_s.size))).astype(int)


def arrival_error_us(truth: Simulation, windows: Windows, arrivals: Arrivals) -> float:
    """Return the robust scatter (us) of the heard beats about their true passages."""
    moment_s = (windows.start + windows.span.lead + arrivals.shift) / truth.rate_hz
    beat = nearest_beat(truth, windows, arrivals.shift)
    rest = moment_s - truth.centre_s[beat]
    parts = []
    for side in (0, 1):
        some = rest[arrivals.heard & (windows.side == side)]
        if some.size:
            parts.append(some - np.median(some))
    every = np.concatenate(parts) if parts else np.array([np.nan])
    return float(1.4826e6 * np.median(np.abs(every)))
