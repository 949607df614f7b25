"""Animals that call, chirp and croak."""

import numpy as np

from not_a_watch.kit import (
    Samples,
    Scene,
    band,
    beat_s,
    burst,
    evenly,
    groups,
    hiss,
    laid,
    moments,
    stumbling,
    sweep,
    tone,
    wandering,
)


def calls(scene: Scene, gap_s: float) -> Samples:
    """Return when an animal calls: evenly, or nearly so with rests."""
    if scene.happens(0.6):
        return evenly(scene, gap_s)
    starts = stumbling(scene, gap_s, 0.03)
    rests = wandering(scene, 0.3)[np.minimum((starts * scene.rate_hz).astype(int), scene.size - 1)]
    return starts[rests > 0.25] if np.any(rests > 0.25) else starts


def cricket(scene: Scene) -> Samples:
    pulse_s = scene.between(0.008, 0.02)
    count = int(scene.random.integers(2, 6))
    gap_s = max(beat_s(scene), 1.3 * count * pulse_s * 1.5)
    offsets = np.arange(count) * pulse_s * scene.between(1.2, 1.5)
    hz = scene.between(2000, 5000)
    pulse = tone(scene, hz, pulse_s, edge_s=scene.between(0.001, pulse_s / 2))
    loudness = np.linspace(scene.between(0.3, 1), 1, count)
    starts = calls(scene, gap_s)
    return laid(scene, groups(starts, offsets), [pulse], np.tile(loudness, starts.size))


def single_chirps(scene: Scene) -> Samples:
    """Tree crickets and bush crickets: one pulse a beat, even for minutes."""
    band_hz = (scene.between(2000, 5000), scene.between(6000, 12000))
    noisy = [burst(scene, band_hz, scene.between(0.004, 0.02), 0.003) for _ in range(4)]
    pure = [tone(scene, scene.between(2000, 5000), scene.between(0.01, 0.04), 0.004)]
    return laid(scene, evenly(scene, beat_s(scene)), scene.one_of((noisy, pure)))


def cicada(scene: Scene) -> Samples:
    """Clicks of the drum, some hundred a second, swelling and sinking."""
    click = burst(scene, (2500, 7000), scene.between(0.0005, 0.002))
    clicks = laid(scene, evenly(scene, 1 / scene.between(60, 350)), [click])
    swell = 0.5 - 0.5 * np.cos(2 * np.pi * moments(scene) / scene.one_of((beat_s(scene), 3.0)))
    return clicks * (0.1 + swell)


def frog(scene: Scene) -> Samples:
    per_croak = int(scene.random.integers(5, 20))
    pulse_gap_s = scene.between(0.006, 0.02)
    low_hz = scene.between(300, 1500)
    pulse = burst(scene, (low_hz, 2 * low_hz), scene.between(0.002, 0.005), 0.001)
    gap_s = per_croak * pulse_gap_s + scene.between(0.1, 0.8)
    starts = calls(scene, gap_s)
    return laid(scene, groups(starts, np.arange(per_croak) * pulse_gap_s), [pulse])


def bird(scene: Scene) -> Samples:
    """A call of one to four notes, over and over."""
    count = int(scene.random.integers(1, 5))
    note_s = scene.between(0.03, 0.15)
    starts = calls(scene, max(beat_s(scene), count * note_s * 1.3))
    sound = np.zeros(scene.size)
    for k in range(count):
        pitches = (scene.between(1800, 7000), scene.between(1800, 7000))
        note = sweep(scene, pitches, note_s, edge_s=note_s / 4)
        sound += laid(scene, starts + k * note_s * 1.2, [note], scene.between(0.4, 1))
    return sound


def woodpecker(scene: Scene) -> Samples:
    """Rolls of even blows, each roll fading."""
    blow = burst(scene, (800, 2500), scene.between(0.003, 0.008))
    count = int(scene.random.integers(8, 25))
    offsets = np.arange(count) / scene.between(12, 25)
    starts = stumbling(scene, offsets[-1] + scene.between(0.3, 3), 0.2)
    loudness = np.tile(np.linspace(1, 0.3, count), starts.size)
    return laid(scene, groups(starts, offsets), [blow], loudness)


def dog(scene: Scene) -> Samples:
    barks = [
        band(scene, hiss(scene, 0.15), 400, 2000) * sweep(scene, (2, 4), 0.15, 0.02)
        + sweep(scene, (scene.between(350, 600), 250), 0.15, 0.02)
        for _ in range(3)
    ]
    return laid(scene, calls(scene, scene.between(0.3, 0.9)), barks)


KINDS = {
    "cricket": cricket,
    "single chirps": single_chirps,
    "cicada": cicada,
    "frog": frog,
    "bird": bird,
    "woodpecker": woodpecker,
    "dog": dog,
}
