"""What the made-up sounds are put together from: short shapes, noises and moments in time.

Times are seconds, pitches Hz, full scale is 1. Levels are free: the room sets them at the end.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import signal

Samples = NDArray[np.float64]
T = TypeVar("T")

WATCH_LIKE_PER_HOUR = (14400, 16200, 18000, 19800, 21600, 25200, 28800, 36000)
DAY_S = 86400.0
JITTERS_S = (0.0, 0.0, 0.0, 0.00005, 0.0003, 0.002)  # half of what is even is exactly even


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Chance, and the format of the sound to be made."""

    random: np.random.Generator
    rate_hz: int
    seconds: float

    @property
    def size(self) -> int:
        return int(self.seconds * self.rate_hz)

    def between(self, low: float, high: float) -> float:
        return float(self.random.uniform(low, high))

    def ratio_between(self, low: float, high: float) -> float:
        """Return a number between two limits, each octave as likely as the next."""
        return float(np.exp(self.random.uniform(np.log(low), np.log(high))))

    def one_of(self, choices: Sequence[T]) -> T:
        return choices[int(self.random.integers(len(choices)))]

    def happens(self, chance: float = 0.5) -> bool:
        return bool(self.random.random() < chance)


def moments(scene: Scene) -> Samples:
    return np.arange(scene.size) / scene.rate_hz


def silence(scene: Scene) -> Samples:
    return np.zeros(scene.size)


def beat_s(scene: Scene) -> float:
    """Return the gap of a repetition: as in a watch (half of them a little off), or not at all."""
    if scene.happens(0.4):
        return scene.ratio_between(0.07, 0.9)
    off_s_per_day = scene.one_of((0.0, scene.between(-300, 300)))
    return 3600 / scene.one_of(WATCH_LIKE_PER_HOUR) * (1 + off_s_per_day / DAY_S)


def evenly(scene: Scene, gap_s: float, jitter_s: float | None = None) -> Samples:
    """Return even moments, the first at any time within the first gap."""
    starts = np.arange(scene.between(0, gap_s), scene.seconds, gap_s)
    jitter_s = scene.one_of(JITTERS_S) if jitter_s is None else jitter_s
    return starts + jitter_s * scene.random.standard_normal(starts.size)


def by_chance(scene: Scene, per_s: float) -> Samples:
    """Return moments of a Poisson process."""
    count = scene.random.poisson(per_s * scene.seconds)
    return np.sort(scene.random.uniform(0, scene.seconds, count))


def stumbling(scene: Scene, gap_s: float, spread: float) -> Samples:
    """Return moments whose gaps each differ by a share of the gap, so that they wander off."""
    count = int(scene.seconds / gap_s) + 1
    gaps = gap_s * np.exp(spread * scene.random.standard_normal(count))
    starts = np.cumsum(gaps)
    return starts[starts < scene.seconds]


def groups(starts_s: Samples, offsets_s: Sequence[float] | Samples) -> Samples:
    """Return the moments of a group of events that begins at each start."""
    return np.add.outer(starts_s, np.asarray(offsets_s)).ravel()


def laid(
    scene: Scene, starts_s: Samples, shapes: Sequence[Samples], gains: Samples | float = 1.0
) -> Samples:
    """Return a sound with one of the shapes, by chance, at each start."""
    sound = silence(scene)
    begins = np.rint(np.asarray(starts_s) * scene.rate_hz).astype(int)
    chosen = scene.random.integers(len(shapes), size=begins.size)
    loudness = np.broadcast_to(np.asarray(gains, float), begins.shape)
    for begin, which, gain in zip(begins, chosen, loudness, strict=True):
        if 0 <= begin < sound.size:
            shape = shapes[which][: sound.size - begin]
            sound[begin : begin + shape.size] += gain * shape
    return sound


def hiss(scene: Scene, seconds: float | None = None) -> Samples:
    size = scene.size if seconds is None else max(1, int(seconds * scene.rate_hz))
    return scene.random.standard_normal(size)


@cache
def band_filter(low_hz: float, high_hz: float, rate_hz: int) -> Samples:
    high_hz = min(high_hz, 0.47 * rate_hz)
    low_hz = min(low_hz, 0.7 * high_hz)
    return signal.butter(2, (low_hz, high_hz), "bandpass", fs=rate_hz, output="sos")


def band(scene: Scene, samples: Samples, low_hz: float, high_hz: float) -> Samples:
    return signal.sosfilt(band_filter(low_hz, high_hz, scene.rate_hz), samples)


@cache
def pink_filter(rate_hz: int) -> Samples:
    """Return poles and zeros in turn, two octaves apart: 3 dB an octave, to within a decibel."""
    poles_hz = 15.0 * 4.0 ** np.arange(6)
    poles_hz = poles_hz[poles_hz < 0.2 * rate_hz]
    as_z = np.exp(-2 * np.pi * np.outer((1.0, 2.0), poles_hz) / rate_hz)
    return signal.zpk2sos(as_z[1], as_z[0], 1.0)


def pink(scene: Scene) -> Samples:
    return signal.sosfilt(pink_filter(scene.rate_hz), hiss(scene))


def wandering(scene: Scene, per_s: float) -> Samples:
    """Return a slow curve between 0 and 1 that turns about so often a second."""
    count = int(scene.seconds * per_s) + 3
    knots_s = np.arange(count) / per_s
    return np.interp(moments(scene), knots_s, scene.random.random(count))


def decay(scene: Scene, decay_s: float, attack_s: float = 0.0) -> Samples:
    """Return an envelope that rises in about `attack_s` and falls to 1/e in `decay_s`."""
    t = np.arange(max(2, int((6 * decay_s + attack_s) * scene.rate_hz))) / scene.rate_hz
    fall = np.exp(-t / decay_s)
    return fall * -np.expm1(-t / attack_s) if attack_s > 0 else fall


def ring(scene: Scene, hz: float, decay_s: float, attack_s: float = 0.0) -> Samples:
    envelope = decay(scene, decay_s, attack_s)
    t = np.arange(envelope.size) / scene.rate_hz
    return envelope * np.sin(2 * np.pi * min(hz, 0.45 * scene.rate_hz) * t)


def burst(
    scene: Scene, band_hz: tuple[float, float], decay_s: float, attack_s: float = 0.0
) -> Samples:
    """Return decaying noise whose greatest sample is 1."""
    envelope = decay(scene, decay_s, attack_s)
    return full(envelope * band(scene, scene.random.standard_normal(envelope.size), *band_hz))


def knock(scene: Scene, low_hz: float, high_hz: float, decay_s: float) -> Samples:
    """Return a struck thing: three of its pitches and a little noise."""
    longest = decay(scene, decay_s)
    sound = 0.3 * burst(scene, (low_hz, high_hz), decay_s)
    for _ in range(3):
        pitch = ring(scene, scene.ratio_between(low_hz, high_hz), decay_s)
        sound = sound + scene.between(0.3, 1) * pitch[: longest.size]
    return full(sound)


def knocks(scene: Scene, band_hz: tuple[float, float], decay_s: float) -> list[Samples]:
    """Return one shape or several: what strikes may be always the same or never quite."""
    return [knock(scene, *band_hz, decay_s) for _ in range(scene.one_of((1, 1, 6)))]


def tone(scene: Scene, hz: float, seconds: float, edge_s: float = 0.002) -> Samples:
    return sweep(scene, (hz, hz), seconds, edge_s)


def sweep(
    scene: Scene, pitches_hz: tuple[float, float], seconds: float, edge_s: float = 0.002
) -> Samples:
    """Return a sine that glides from one pitch to another and begins and ends softly."""
    size = max(8, int(seconds * scene.rate_hz))
    pitch_hz = np.minimum(np.linspace(*pitches_hz, size), 0.45 * scene.rate_hz)
    edges = signal.windows.tukey(size, min(1.0, 2 * edge_s / seconds))
    return edges * np.sin(2 * np.pi * np.cumsum(pitch_hz) / scene.rate_hz)


def full(samples: Samples) -> Samples:
    """Return the samples with a peak of 1 (silence stays silence)."""
    peak = float(np.max(np.abs(samples)))
    return samples / peak if peak > 0 else samples
