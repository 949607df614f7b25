"""What else is heard: noise of several colours, breathing, hum and knocks."""

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from second_sound.received import LOWEST_HZ, band_end_hz
from second_sound.values import Colour, Room

Floats = NDArray[np.float64]

PIECE = 2**17
"""Samples from which the noise's share in the band is measured."""


def background(count: int, rate_hz: float, room: Room, rng: np.random.Generator) -> Floats:
    """Return noise and hum whose mean power in 1 to 20 kHz is 1."""
    noise = coloured(rng.standard_normal(count, dtype=np.float32), rate_hz, room.colour)
    noise /= np.sqrt(np.mean(noise[:PIECE] ** 2))
    if room.breathing_db > 0:
        noise *= breathing(count, rate_hz, room.breathing_db, rng)
    if room.hum_hz is not None:
        noise += hum(count, rate_hz, room.hum_hz, rng) * 10 ** (room.hum_db / 20)
    return np.asarray(noise / np.sqrt(power_in_band(noise, rate_hz)))


def coloured(white: NDArray[np.float32], rate_hz: float, colour: Colour) -> NDArray[np.float32]:
    """Return the noise with its spectrum bent."""
    if colour == "room":
        pole = np.exp(-2 * np.pi * 250.0 / rate_hz)
        return np.asarray(0.06 * white + lfilter([1 - pole], [1, -pole], white).astype(np.float32))
    if colour == "hiss":
        pole = np.exp(-2 * np.pi * 4000.0 / rate_hz)
        return np.asarray(white - 0.8 * lfilter([1 - pole], [1, -pole], white).astype(np.float32))
    if colour == "hump":
        turn, radius = 2 * np.pi * 3500.0 / rate_hz, np.exp(-np.pi * 1500.0 / rate_hz)
        a = [1, -2 * radius * np.cos(turn), radius**2]
        band = lfilter([1 - radius, 0, -(1 - radius)], a, white).astype(np.float32)
        return np.asarray(0.2 * white + band)
    return white


def breathing(
    count: int, rate_hz: float, depth_db: float, rng: np.random.Generator
) -> NDArray[np.float32]:
    """Return a slow change of loudness, a second or so long, of mean square 1."""
    seconds = count / rate_hz
    nodes = max(4, int(seconds / 1.5))
    level = 10 ** (rng.standard_normal(nodes) * depth_db / 20)
    curve = np.interp(np.linspace(0, nodes - 1, count), np.arange(nodes), level)
    return np.asarray(curve / np.sqrt(np.mean(curve**2)), dtype=np.float32)


def hum(count: int, rate_hz: float, hz: float, rng: np.random.Generator) -> NDArray[np.float32]:
    """Return mains hum of power 1: falling harmonics, odd ones stronger."""
    order = np.arange(1, 16)
    size = order**-1.1 * np.where(order % 2, 1.0, 0.4) * np.exp(0.4 * rng.standard_normal(15))
    turn = np.exp(2j * np.pi * hz / rate_hz * np.arange(4096))
    whole = np.arange(-(-count // 4096)) * 4096
    total = np.zeros(len(whole) * 4096, dtype=np.float32)
    for number, height in zip(order, size, strict=True):
        start = np.exp(2j * np.pi * (hz * number / rate_hz * whole + rng.random()))
        total += np.outer(start, turn**number).real.astype(np.float32).ravel() * np.float32(height)
    return np.asarray(total[:count] / np.sqrt(np.sum(size**2) / 2))


def power_in_band(noise: NDArray[np.float32], rate_hz: float) -> float:
    """Return the mean power in 1 to 20 kHz (or 0.45 of the rate)."""
    fraction = []
    for start in range(0, max(1, len(noise) - PIECE), max(1, (len(noise) - PIECE) // 2)):
        piece = noise[start : start + PIECE]
        spectrum = np.abs(np.fft.rfft(piece * np.hanning(len(piece)))) ** 2
        hz = np.fft.rfftfreq(len(piece), 1 / rate_hz)
        wanted = (hz >= LOWEST_HZ) & (hz <= band_end_hz(rate_hz))
        fraction.append(spectrum[wanted].sum() / spectrum.sum())
    return float(np.mean(fraction) * np.mean(noise**2, dtype=np.float64))


def knocks(count: int, rate_hz: float, room: Room, rng: np.random.Generator) -> Floats:
    """Return handling: thumps with a scratch in them, of peak 1, anywhere in the recording."""
    heard = np.zeros(count)
    length = int(0.15 * rate_hz)
    t = np.arange(length) / rate_hz
    for _ in range(room.knocks):
        thump = np.sin(2 * np.pi * rng.uniform(60, 300) * t) * np.exp(-t / rng.uniform(0.01, 0.04))
        scratch = rng.standard_normal(length) * np.exp(-t / rng.uniform(0.001, 0.01))
        knock = thump + rng.uniform(0.1, 1) * scratch
        start = int(rng.uniform(0, max(1, count - length)))
        part = heard[start : start + length]
        part += (knock / np.max(np.abs(knock)))[: len(part)]
    return heard
