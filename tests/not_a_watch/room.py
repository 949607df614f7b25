"""The room and the recorder: echoes, noise, level and number format, each by chance."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from not_a_watch.kit import Samples, Scene, hiss, pink, silence
from not_a_watch.machines import mains

RATES_HZ = (22050, 44100, 48000, 96000)
SHORTEST_S = 5.0
LONGEST_S = 40.0
LARGEST_SNR_DB = 40.0
FAINTEST_PEAK_DB = -40.0
STEPS_16_BIT = 32767
LOUD_S = 0.01  # the signal's strength is that of its loudest hundredth of a second

Maker = Callable[[Scene], Samples]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A sound that no watch made, and what is said to have made it."""

    kind: str
    samples: NDArray[np.float32]
    rate_hz: int


def recorded(kind: str, maker: Maker, finish: Callable[[Scene, Samples], Samples]) -> "Recorder":
    """Return a function that makes a sound of a kind from chance alone."""

    def made(random: np.random.Generator) -> Sound:
        rate_hz = RATES_HZ[int(random.integers(len(RATES_HZ)))]
        scene = Scene(
            random=random, rate_hz=rate_hz, seconds=float(random.uniform(SHORTEST_S, LONGEST_S))
        )
        samples = finish(scene, maker(scene)).astype(np.float32)
        return Sound(kind=kind, samples=samples, rate_hz=rate_hz)

    return made


Recorder = Callable[[np.random.Generator], Sound]


def in_a_room(scene: Scene, clean: Samples) -> Samples:
    """Return the sound with echoes (sometimes), the noise of a room, and at some level."""
    heard = echoed(scene, clean) if scene.happens(0.3) else clean
    noise = room_noise(scene)
    snr_db = scene.between(0, LARGEST_SNR_DB)
    strength = loudest(scene, heard) or 1.0
    return at_a_level(scene, heard + noise * strength / np.std(noise) * 10 ** (-snr_db / 20))


def at_a_level(scene: Scene, samples: Samples) -> Samples:
    """Return the samples with a peak of -40 to 0 dB, half of them in steps of 16 bits."""
    peak = 10 ** (scene.between(FAINTEST_PEAK_DB, 0) / 20)
    scaled = samples * (peak / np.max(np.abs(samples)))
    return np.rint(scaled * STEPS_16_BIT) / STEPS_16_BIT if scene.happens() else scaled


def as_it_is(_scene: Scene, samples: Samples) -> Samples:
    return samples


def echoed(scene: Scene, clean: Samples) -> Samples:
    """Return the sound and up to eight reflections from a bench, a wall, a ceiling."""
    heard = clean.copy()
    for _ in range(int(scene.random.integers(2, 9))):
        later_s = scene.ratio_between(0.0005, 0.05)
        later = int(later_s * scene.rate_hz) + 1
        heard[later:] += scene.between(-0.6, 0.6) * np.exp(-later_s / 0.03) * clean[:-later]
    return heard


def room_noise(scene: Scene) -> Samples:
    """Return white or pink noise, with mains hum or without."""
    noise = pink(scene) if scene.happens(0.6) else hiss(scene)
    hum = mains(scene) if scene.happens(0.3) else silence(scene)
    return noise / np.std(noise) + scene.between(0, 1) * hum


def loudest(scene: Scene, samples: Samples) -> float:
    """Return the root mean square of the loudest hundredth of a second."""
    window = int(LOUD_S * scene.rate_hz)
    windows = samples[: samples.size // window * window].reshape(-1, window)
    return float(np.sqrt(np.max(np.einsum("ij,ij->i", windows, windows)) / window))
