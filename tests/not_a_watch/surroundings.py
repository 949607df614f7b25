"""Weather, water, people and plain noise."""

import numpy as np

from not_a_watch.kit import (
    Samples,
    Scene,
    band,
    beat_s,
    burst,
    by_chance,
    evenly,
    groups,
    hiss,
    knock,
    knocks,
    laid,
    moments,
    pink,
    ring,
    silence,
    stumbling,
    sweep,
    wandering,
)

LSB = 2.0**-15  # one step of 16-bit sound


def rain(scene: Scene) -> Samples:
    """Drops on a roof, by chance."""
    drops = [burst(scene, (800, 7000), scene.between(0.002, 0.01)) for _ in range(20)]
    starts = by_chance(scene, scene.ratio_between(10, 300))
    return laid(scene, starts, drops, scene.random.exponential(0.3, starts.size))


def drip(scene: Scene) -> Samples:
    """A tap: even drops, each a splash and the ringing of a bubble whose pitch rises."""
    splash = burst(scene, (1000, 8000), scene.between(0.001, 0.004))
    hz, bubble_s = scene.between(600, 3000), scene.between(0.02, 0.1)
    bubble = sweep(scene, (hz, hz * scene.between(1, 1.5)), bubble_s, 0.001)
    bubble *= np.exp(-np.linspace(0, 5, bubble.size))
    starts = evenly(scene, beat_s(scene))
    later_s = scene.between(0.003, 0.03)
    return 0.4 * laid(scene, starts, [splash]) + laid(scene, starts + later_s, [bubble])


def fire(scene: Scene) -> Samples:
    cracks = [burst(scene, (500, 9000), scene.ratio_between(0.0005, 0.01)) for _ in range(20)]
    starts = by_chance(scene, scene.between(3, 30))
    loudness = scene.random.pareto(1.5, starts.size).clip(0, 10)
    return laid(scene, starts, cracks, loudness) + 0.1 * band(scene, hiss(scene), 50, 600)


def wind(scene: Scene) -> Samples:
    gusts = wandering(scene, scene.between(0.3, 1.5)) ** 2
    whistle = band(scene, hiss(scene), 400, scene.between(600, 900))
    return gusts * (band(scene, hiss(scene), 30, 400) + 0.3 * whistle)


def horse(scene: Scene) -> Samples:
    """A trot: two beats a stride, each of two hoofs that land nearly together."""
    beats = stumbling(scene, scene.between(0.3, 0.45), scene.one_of((0.0, 0.01, 0.03)))
    hoofs = knocks(scene, (300, 2500), scene.between(0.01, 0.03))
    return laid(scene, groups(beats, (0.0, scene.between(0.005, 0.03))), hoofs)


def footsteps(scene: Scene) -> Samples:
    """Heel and sole of two feet."""
    steps = stumbling(scene, scene.between(0.3, 0.7), scene.one_of((0.005, 0.02, 0.06)))
    heels = [knock(scene, 80, 1500, 0.02) for _ in range(2)]
    soles = [burst(scene, (300, 4000), 0.02, 0.01) for _ in range(4)]
    later_s = scene.between(0.05, 0.12)
    return laid(scene, steps, heels) + 0.4 * laid(scene, steps + later_s, soles)


def heartbeat(scene: Scene) -> Samples:
    """Lub and dub, low and dull; some hearts are very even."""
    gap_s = 60 / scene.between(45, 180)
    starts = stumbling(scene, gap_s, scene.one_of((0.001, 0.01, 0.04)))
    lub = ring(scene, scene.between(35, 70), 0.03, 0.015)
    dub = ring(scene, scene.between(50, 100), 0.02, 0.01)
    sound = laid(scene, starts, [lub])
    return sound + scene.between(0.4, 1) * laid(scene, starts + 0.35 * gap_s, [dub])


def breathing(scene: Scene) -> Samples:
    breath_s = scene.between(2, 5)
    swell = np.clip(np.sin(2 * np.pi * moments(scene) / breath_s), 0, None)
    return swell * band(scene, hiss(scene), 300, 3000)


def snoring(scene: Scene) -> Samples:
    """A flutter of the palate, some dozens a second, while the breath goes in."""
    flutter = burst(scene, (80, 1500), 0.006, 0.001)
    starts = stumbling(scene, 1 / scene.between(20, 70), 0.05)
    breath_s = scene.between(2.5, 5)
    inward = np.clip(np.sin(2 * np.pi * starts / breath_s), 0, None)
    return laid(scene, starts, [flutter], inward) + 0.05 * breathing(scene)


def syllables(scene: Scene) -> Samples:
    """Voiced pulses through two resonances, three to six syllables a second, even or not."""
    gap_s = 1 / scene.between(3, 6)
    voices = [syllable(scene, gap_s * scene.between(0.4, 0.9)) for _ in range(8)]
    even = evenly(scene, gap_s)
    return laid(scene, even if scene.happens(0.3) else stumbling(scene, gap_s, 0.3), voices)


def syllable(scene: Scene, seconds: float) -> Samples:
    size = max(8, int(seconds * scene.rate_hz))
    pitch_hz = scene.between(90, 250) * np.linspace(1, scene.between(0.8, 1.2), size)
    source = 1 - 2 * ((np.cumsum(pitch_hz) / scene.rate_hz) % 1)
    open_hz, front_hz = scene.between(300, 800), scene.between(900, 2500)
    voice = band(scene, source, 0.8 * open_hz, 1.2 * open_hz)
    voice += 0.5 * band(scene, source, 0.9 * front_hz, 1.1 * front_hz)
    consonant = np.zeros(size)
    length = size // 5
    consonant[:length] = band(scene, scene.random.standard_normal(length), 3000, 9000)
    return np.hanning(size) * voice + scene.between(0, 0.3) * consonant


def ping_pong(scene: Scene) -> Samples:
    """A rally (bat, table, table, bat), or a ball let fall that bounces ever faster."""
    ball = ring(scene, scene.between(4000, 7000), 0.002) + ring(
        scene, scene.between(700, 1500), 0.002
    )
    if scene.happens():
        starts = stumbling(scene, scene.between(0.2, 0.5), 0.15)
        return laid(scene, starts, [ball], scene.random.uniform(0.5, 1, starts.size))
    bounces = np.cumsum(scene.between(0.4, 0.8) * scene.between(0.85, 0.95) ** np.arange(30))
    falls = np.arange(0.1, scene.seconds, bounces[-1] + 0.5)
    loudness = np.tile(0.9 ** np.arange(30), falls.size)
    return laid(scene, groups(falls, bounces), [ball], loudness)


def hammering(scene: Scene) -> Samples:
    blows = stumbling(scene, scene.between(0.3, 0.9), scene.between(0.01, 0.08))
    return laid(scene, blows, knocks(scene, (500, 5000), scene.between(0.03, 0.15)))


def filing(scene: Scene) -> Samples:
    """Strokes of a file or a brush: noise that swells and stops."""
    stroke_s = scene.between(0.2, 0.8)
    strokes = [burst(scene, (1000, 9000), stroke_s / 6, stroke_s / 4) for _ in range(5)]
    return laid(scene, stumbling(scene, stroke_s, scene.one_of((0.0, 0.03))), strokes)


def handling(scene: Scene) -> Samples:
    """Someone at the microphone: rubs and bumps of all strengths."""
    rubs = band(scene, hiss(scene), 200, 6000) * wandering(scene, 5) ** 4
    bumps = by_chance(scene, 1.5)
    thud = ring(scene, scene.between(40, 150), 0.04)
    return rubs + laid(scene, bumps, [thud], scene.random.exponential(1, bumps.size))


def white(scene: Scene) -> Samples:
    return hiss(scene)


def pink_noise(scene: Scene) -> Samples:
    return pink(scene)


def dithered_silence(scene: Scene) -> Samples:
    """Nothing but the dither of the converter (triangular, two steps wide), or nothing at all."""
    if scene.happens(0.1):
        return silence(scene)
    return LSB * np.rint(scene.random.triangular(-1, 0, 1, scene.size))


KINDS = {
    "rain": rain,
    "dripping tap": drip,
    "fire": fire,
    "wind": wind,
    "horse": horse,
    "footsteps": footsteps,
    "heartbeat": heartbeat,
    "breathing": breathing,
    "snoring": snoring,
    "syllables": syllables,
    "ping-pong": ping_pong,
    "hammering": hammering,
    "filing": filing,
    "handling": handling,
}
ALONE = {"white noise": white, "pink noise": pink_noise}
AS_IT_IS = {"silence": dithered_silence}
