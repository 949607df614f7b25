"""The room around a simulated watch: echo of the case, noise, hum, rumble, speech, knocks."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError

QUIET_DB = 60.0
ECHO_DELAYS_S = (0.31e-3, 0.74e-3, 1.26e-3, 2.1e-3)
HUM_HARMONICS = (1, 2, 3, 5, 7)
KNOCK_LENGTH_S = 0.03
SYLLABLE_S = (0.12, 0.38)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomNoise:
    """What else is heard. Levels are relative to the drop noise's loudest millisecond (rms).

    `snr_db` : white noise lies this far below it
    `hum`, `rumble`, `speech` : rms of mains hum, low rumble and speech-like sound (1 is as loud)
    `knocks_per_minute`, `knock` : how often something knocks, and how loud
    `missing_share` : share of beats that are not heard at all
    `echo` : strength of the first reflection in case and holder
    """

    snr_db: float = QUIET_DB
    hum: float = 0.0
    rumble: float = 0.0
    speech: float = 0.0
    knocks_per_minute: float = 0.0
    knock: float = 3.0
    missing_share: float = 0.0
    echo: float = 0.2

    def __post_init__(self) -> None:
        levels = (self.hum, self.rumble, self.speech, self.knocks_per_minute, self.knock)
        if min(levels) < 0:
            raise InputError(f"a level or a count cannot be below 0: {self}")
        if not (0 <= self.missing_share <= 1 and 0 <= self.echo < 1):
            raise InputError(f"missing_share is 0 to 1 and echo below 1: {self}")


def echo(dry: NDArray[np.float64], rate_hz: int, room: RoomNoise) -> NDArray[np.float64]:
    """Return the sound with the reflections of case and holder added."""
    wet = dry.copy()
    for order, delay_s in enumerate(ECHO_DELAYS_S):
        late = round(delay_s * rate_hz)
        wet[late:] += (-1) ** order * room.echo ** (1 + order / 2) * dry[: dry.size - late]
    return wet


def background(
    count: int, rate_hz: int, room: RoomNoise, noise_rms: float, random: np.random.Generator
) -> NDArray[np.float64]:
    """Return everything that is not the watch; `noise_rms` is that of the white noise."""
    loud = noise_rms * 10 ** (room.snr_db / 20)
    total = random.normal(0, noise_rms, count)
    if room.hum:
        total += room.hum * loud * hum(count, rate_hz, random)
    if room.rumble:
        total += room.rumble * loud * coloured(count, rate_hz, random, slope=2.0, low_hz=8.0)
    if room.speech:
        total += room.speech * loud * speech(count, rate_hz, random)
    if room.knocks_per_minute:
        total += room.knock * loud * knocks(count, rate_hz, room.knocks_per_minute, random)
    return total


def hum(count: int, rate_hz: int, random: np.random.Generator) -> NDArray[np.float64]:
    """Return mains hum at 50 Hz with odd harmonics, rms 1."""
    times_s = np.arange(count) / rate_hz
    wave = np.zeros(count)
    for harmonic in HUM_HARMONICS:
        turn = 2 * np.pi * 50.0 * harmonic * times_s + random.uniform(0, 2 * np.pi)
        wave += np.sin(turn) / harmonic
    return unit_rms(wave)


def coloured(
    count: int, rate_hz: int, random: np.random.Generator, *, slope: float, low_hz: float
) -> NDArray[np.float64]:
    """Return noise whose power falls as frequency to the `slope`, flat below `low_hz`, rms 1."""
    spectrum = np.fft.rfft(random.normal(size=count))
    freq_hz = np.fft.rfftfreq(count, 1 / rate_hz)
    return unit_rms(np.fft.irfft(spectrum * np.maximum(freq_hz, low_hz) ** (-slope / 2), count))


def speech(count: int, rate_hz: int, random: np.random.Generator) -> NDArray[np.float64]:
    """Return something like speech: a buzzing voice and hiss in syllables, rms 1."""
    times_s = np.arange(count) / rate_hz
    pitch_hz = 120 + 25 * np.sin(2 * np.pi * 0.4 * times_s + random.uniform(0, 6))
    turn = 2 * np.pi * np.cumsum(pitch_hz) / rate_hz
    voiced = sum(np.sin(k * turn) / k for k in range(1, 25))
    hiss = np.diff(random.normal(size=count + 1))
    syllables_s = random.uniform(*SYLLABLE_S, int(times_s[-1] / SYLLABLE_S[0]) + 2)
    knots = np.concatenate([[0.0], np.cumsum(syllables_s)])
    loudness = random.uniform(0, 1, (2, knots.size)) ** 2
    return unit_rms(
        voiced * np.interp(times_s, knots, loudness[0])
        + 0.5 * hiss * np.interp(times_s, knots, loudness[1])
    )


def knocks(
    count: int, rate_hz: int, per_minute: float, random: np.random.Generator
) -> NDArray[np.float64]:
    """Return knocks at random times, each a decaying burst that begins at about 1."""
    wave = np.zeros(count)
    length = round(KNOCK_LENGTH_S * rate_hz)
    decay = np.exp(-np.arange(length) / (length / 6))
    for start in random.integers(0, count, random.poisson(per_minute * count / rate_hz / 60)):
        room = min(length, count - start)
        wave[start : start + room] += random.normal(size=room) * decay[:room]
    return wave


def unit_rms(wave: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the wave scaled to a root mean square of 1."""
    return np.asarray(wave / np.sqrt(np.mean(wave**2)))
