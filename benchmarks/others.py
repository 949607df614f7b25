"""Sounds that are no watch: noise, weather, engines, voices and music, all made here.

Each maker returns samples (full scale is 1) of a given length; `EVEN` are those whose machine
beats so evenly that the sound alone cannot tell them from a ticking.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from sideshake.sound.noise import coloured, knocks, speech

Sound = NDArray[np.float64]
Random = np.random.Generator
RATE_HZ = 48000
PENTATONIC_HZ = 220.0 * 2 ** (np.array([0, 3, 5, 7, 10, 12, 15, 17, 19, 22]) / 12)


def silence(count: int, _: Random) -> Sound:
    return np.zeros(count)


def nearly_silence(count: int, random: Random) -> Sound:
    return np.round(random.normal(0, 0.4, count)) / 32768


def white_noise(count: int, random: Random) -> Sound:
    return random.normal(0, 0.1, count)


def pink_noise(count: int, random: Random) -> Sound:
    return 0.1 * coloured(count, RATE_HZ, random, slope=1.0, low_hz=20)


def mains_hum(count: int, random: Random) -> Sound:
    turn = 2 * np.pi * 50 * np.arange(count) / RATE_HZ
    buzz = np.sign(np.sin(turn)) + 0.5 * np.sin(7 * turn)
    return 0.2 * buzz + random.normal(0, 0.001, count)


def rain(count: int, random: Random) -> Sound:
    drops = random.poisson(300 * count / RATE_HZ)
    return strikes(random.uniform(0, count / RATE_HZ, drops), count, random, decay_s=1e-3)


def slow_drops(count: int, random: Random) -> Sound:
    """Return single drops, some four a second, at random."""
    drops = random.poisson(4 * count / RATE_HZ)
    return strikes(random.uniform(0, count / RATE_HZ, drops), count, random, decay_s=4e-3)


def tap(count: int, random: Random) -> Sound:
    """Return a dripping tap: even to about 3 %."""
    every_s = random.uniform(0.12, 0.6)
    times_s = np.cumsum(every_s * (1 + 0.03 * random.normal(size=int(count / RATE_HZ / every_s))))
    return strikes(times_s, count, random, decay_s=4e-3)


def walking(count: int, random: Random) -> Sound:
    times_s = np.cumsum(0.52 + 0.012 * random.normal(size=int(count / RATE_HZ / 0.52)))
    return strikes(times_s, count, random, decay_s=15e-3)


def typing(count: int, random: Random) -> Sound:
    times_s = np.cumsum(random.gamma(3.0, 0.05, int(count / RATE_HZ * 7)))
    return strikes(times_s, count, random, decay_s=3e-3)


def applause(count: int, random: Random) -> Sound:
    """Return forty people, each clapping at a tempo of his own."""
    total = np.zeros(count)
    for _ in range(40):
        every_s = random.uniform(0.18, 0.4)
        claps = int(count / RATE_HZ / every_s)
        times_s = np.cumsum(every_s * (1 + 0.05 * random.normal(size=claps)))
        total += strikes(times_s, count, random, decay_s=4e-3)
    return total / 10


def saw(count: int, random: Random) -> Sound:
    """Return a chain saw: a two-stroke at 60 to 120 turns a second, its speed wandering."""
    speed_hz = 90 + 30 * wander(count, random, over_s=0.7)
    turn = np.cumsum(speed_hz) / RATE_HZ
    bursts = np.exp(-8 * (turn % 1))
    return 0.2 * bursts * random.normal(size=count) + 0.1 * np.sin(2 * np.pi * turn)


def hand_saw(count: int, random: Random) -> Sound:
    """Return strokes of a hand saw, some 2 a second, of teeth at some 150 a second."""
    turn = np.cumsum(2 + 0.2 * wander(count, random, over_s=0.5)) / RATE_HZ
    push = np.maximum(np.sin(2 * np.pi * turn), 0)
    teeth = np.exp(-6 * ((150 * turn / 2) % 1))
    return 0.2 * push * teeth * random.normal(size=count)


def idling_engine(count: int, random: Random) -> Sound:
    """Return an idling motor: strokes at about 10 a second, uneven by 1.5 %."""
    every_s = random.uniform(0.085, 0.14)
    strokes = int(count / RATE_HZ / every_s)
    times_s = np.cumsum(every_s * (1 + 0.015 * random.normal(size=strokes)))
    return strikes(times_s, count, random, decay_s=20e-3) + 0.02 * random.normal(size=count)


def talk(count: int, random: Random) -> Sound:
    return 0.1 * speech(count, RATE_HZ, random)


def knocking(count: int, random: Random) -> Sound:
    return 0.3 * knocks(count, RATE_HZ, 120, random)


def fire(count: int, random: Random) -> Sound:
    crackles = random.poisson(12 * count / RATE_HZ)
    times_s = random.uniform(0, count / RATE_HZ, crackles)
    return strikes(times_s, count, random, decay_s=1.5e-3) + 0.01 * random.normal(size=count)


def crickets(count: int, random: Random) -> Sound:
    """Return chirps of four pulses, some 2.5 chirps a second, uneven by 4 %."""
    chirps = int(count / RATE_HZ * 2.5)
    start_s = np.cumsum(0.4 * (1 + 0.04 * random.normal(size=chirps)))
    pulses_s = (start_s[:, None] + 0.03 * np.arange(4)).ravel()
    envelope = np.abs(strikes(pulses_s, count, random, decay_s=5e-3))
    return envelope * np.sin(2 * np.pi * 4600 * np.arange(count) / RATE_HZ)


def played_drums(count: int, random: Random) -> Sound:
    """Return drums as a man plays them: 4 to 12 ms off the beat."""
    return drums(count, random, off_s=random.uniform(4e-3, 12e-3))


def good_drummer(count: int, random: Random) -> Sound:
    """Return drums as a very good drummer plays them: 2 ms off the beat."""
    return drums(count, random, off_s=2e-3)


def played_arpeggio(count: int, random: Random) -> Sound:
    return arpeggio(count, random, off_s=random.uniform(3e-3, 10e-3))


def guitar(count: int, random: Random) -> Sound:
    """Return plucked strings (a delay line with loss), played by hand."""
    times_s = grid_s(count, random, off_s=8e-3)
    total = np.zeros(count)
    for time_s in times_s:
        add(total, pluck(random), round(time_s * RATE_HZ))
    return 0.2 * total


def pad(count: int, random: Random) -> Sound:
    """Return slow chords without any stroke."""
    times_s = np.arange(count) / RATE_HZ
    total = np.zeros(count)
    for freq_hz in random.choice(PENTATONIC_HZ, 4, replace=False):
        swell = 1 + np.sin(2 * np.pi * random.uniform(0.1, 0.5) * times_s)
        total += swell * np.sin(2 * np.pi * freq_hz * times_s)
    return 0.05 * total


def tremolo(count: int, random: Random) -> Sound:
    """Return a held tone whose loudness swings 4 to 8 times a second."""
    times_s = np.arange(count) / RATE_HZ
    swing = 1 + 0.8 * np.sin(2 * np.pi * random.uniform(4, 8) * times_s)
    return 0.1 * swing * np.sign(np.sin(2 * np.pi * 440 * times_s))


def loop(count: int, random: Random) -> Sound:
    """Return a played bar of drums that a machine repeats exactly."""
    bar_s = random.uniform(1.6, 2.6)
    bar = drums(round(bar_s * RATE_HZ), random, off_s=6e-3, tempo=240 / bar_s)
    return np.tile(bar, count // bar.size + 1)[:count]


def drum_machine(count: int, random: Random) -> Sound:
    return drums(count, random, off_s=0.0)


def sequencer(count: int, random: Random) -> Sound:
    return arpeggio(count, random, off_s=0.0)


def techno(count: int, random: Random) -> Sound:
    """Return a kick on each beat and a hat between, from a machine."""
    every_s = 60 / random.uniform(120, 140)
    beats_s = np.arange(0.1, count / RATE_HZ, every_s)
    total = 0.05 * np.tile(np.sign(np.sin(np.arange(RATE_HZ) * 2 * np.pi * 55 / RATE_HZ)),
                           count // RATE_HZ + 1)[:count]  # fmt: skip
    for time_s in beats_s:
        add(total, kick(), round(time_s * RATE_HZ))
        add(total, hat(random), round((time_s + every_s / 2) * RATE_HZ))
    return 0.4 * total


def indicator(count: int, random: Random) -> Sound:
    """Return a relay that clicks on and off three times a second."""
    times_s = np.arange(0.1, count / RATE_HZ, 1 / 3)
    return strikes(times_s, count, random, decay_s=1e-3) + 0.002 * random.normal(size=count)


def drums(count: int, random: Random, *, off_s: float, tempo: float | None = None) -> Sound:
    """Return kick, snare and hats in sixteenths; `off_s` is how far each is off its place."""
    step_s = 15 / (tempo or random.uniform(70, 170))
    pattern = random.random((3, 16)) < np.array([[0.3], [0.2], [0.8]])
    total = np.zeros(count)
    for place, time_s in enumerate(np.arange(0.05, count / RATE_HZ - 0.05, step_s)):
        for row, voice in enumerate((kick(), snare(random), hat(random))):
            if pattern[row, place % 16]:
                late_s = random.normal(0, off_s) if off_s else 0.0
                loud = random.uniform(0.5, 1.0) if off_s else 1.0
                add(total, loud * voice, max(0, round((time_s + late_s) * RATE_HZ)))
    return 0.3 * total


def arpeggio(count: int, random: Random, *, off_s: float) -> Sound:
    """Return a broken chord of short buzzing notes in eighths."""
    notes_hz = random.choice(PENTATONIC_HZ, 8)
    total = np.zeros(count)
    for place, time_s in enumerate(grid_s(count, random, off_s=off_s)):
        add(total, buzz(notes_hz[place % 8]), round(time_s * RATE_HZ))
    return 0.2 * total


def grid_s(count: int, random: Random, *, off_s: float) -> Sound:
    """Return when notes are played: even at 3 to 8 a second, but for `off_s`."""
    even_s = np.arange(0.1, count / RATE_HZ - 0.1, random.uniform(0.125, 0.33))
    return even_s + (random.normal(0, off_s, even_s.size) if off_s else 0.0)


def strikes(times_s: Sound, count: int, random: Random, *, decay_s: float) -> Sound:
    """Return bursts of noise at the times, each of its own loudness."""
    course = np.zeros(count)
    at = np.rint(times_s * RATE_HZ).astype(np.intp)
    at = at[(at >= 0) & (at < count)]
    course[at] = random.lognormal(0, 0.5, at.size)
    fade = np.exp(-1 / (decay_s * RATE_HZ))
    return 0.1 * np.asarray(lfilter([1.0], [1.0, -fade], course)) * random.normal(size=count)


def wander(count: int, random: Random, *, over_s: float) -> Sound:
    """Return a value that wanders between about -1 and 1."""
    knots = int(count / RATE_HZ / over_s) + 2
    return np.interp(np.arange(count) / RATE_HZ / over_s, np.arange(knots),
                     random.uniform(-1, 1, knots))  # fmt: skip


def add(total: Sound, note: Sound, at: int) -> None:
    """Add the note from sample `at` on, as far as there is room."""
    room = max(0, min(note.size, total.size - at))
    total[at : at + room] += note[:room]


def kick() -> Sound:
    times_s = np.arange(round(0.15 * RATE_HZ)) / RATE_HZ
    return np.sin(2 * np.pi * (50 * times_s - 6 * np.exp(-30 * times_s))) * np.exp(-20 * times_s)


def snare(random: Random) -> Sound:
    times_s = np.arange(round(0.15 * RATE_HZ)) / RATE_HZ
    tone = np.sin(2 * np.pi * 190 * times_s)
    return (0.5 * tone + 0.6 * random.normal(size=times_s.size)) * np.exp(-25 * times_s)


def hat(random: Random) -> Sound:
    times_s = np.arange(round(0.06 * RATE_HZ)) / RATE_HZ
    hiss = np.diff(random.normal(size=times_s.size + 1))
    return 0.3 * hiss * np.exp(-80 * times_s)


def buzz(freq_hz: float) -> Sound:
    times_s = np.arange(round(0.2 * RATE_HZ)) / RATE_HZ
    return (2 * ((freq_hz * times_s) % 1) - 1) * np.exp(-12 * times_s)


def pluck(random: Random) -> Sound:
    """Return a plucked string: noise that goes round a delay line with loss."""
    delay = round(RATE_HZ / random.choice(PENTATONIC_HZ))
    start = np.zeros(RATE_HZ // 2)
    start[:delay] = random.normal(size=delay)
    comb = np.zeros(delay + 2)
    comb[0], comb[delay], comb[delay + 1] = 1.0, -0.497, -0.497
    return np.asarray(lfilter([1.0], comb, start))


Maker = Callable[[int, Random], Sound]
NO_WATCH: Sequence[Maker] = (
    silence, nearly_silence, white_noise, pink_noise, mains_hum, rain, slow_drops, tap, walking,
    typing, applause, saw, hand_saw, idling_engine, talk, knocking, fire, crickets, played_drums,
    good_drummer, played_arpeggio, guitar, pad, tremolo, loop,
)  # fmt: skip
EVEN: Sequence[Maker] = (drum_machine, sequencer, techno, indicator)
