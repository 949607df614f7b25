"""Music with a beat, and what people beat it with."""

import numpy as np

from not_a_watch.kit import (
    Samples,
    Scene,
    beat_s,
    burst,
    decay,
    evenly,
    knock,
    laid,
    ring,
    silence,
    stumbling,
    sweep,
    tone,
)

STEPS = 16  # sixteenths in a bar
SEMITONE = 2 ** (1 / 12)


def sixteenth_s(scene: Scene) -> float:
    """Return a sixteenth of common time: at 75, 90, 105 and 120 beats it falls as in a watch."""
    tempo = scene.one_of((75.0, 90.0, 120.0, 105.0, float(scene.random.integers(60, 180))))
    return 15 / tempo


def kick(scene: Scene) -> Samples:
    fall = sweep(scene, (scene.between(100, 250), scene.between(40, 60)), 0.25, 0.001)
    return fall * np.exp(-np.linspace(0, 4, fall.size))


def snare(scene: Scene) -> Samples:
    body, skin = burst(scene, (500, 8000), 0.05), ring(scene, scene.between(160, 250), 0.05)
    return body + 0.5 * skin[: body.size]


def hat(scene: Scene) -> Samples:
    return burst(scene, (scene.between(5000, 8000), 16000), scene.between(0.01, 0.04))


def steps_on(scene: Scene, on: np.ndarray, step_s: float, jitter_s: float = 0.0) -> Samples:
    """Return the moments of the steps of a bar that are on, bar after bar."""
    starts = np.arange(0.01, scene.seconds, step_s)
    starts = starts[np.resize(on, starts.size).astype(bool)]
    return starts + jitter_s * scene.random.standard_normal(starts.size)


def drum_machine(scene: Scene) -> Samples:
    """A pattern of a bar: exact, each sound of an instrument like the last."""
    return drums(scene, jitter_s=0.0, shapes=1)


def live_drummer(scene: Scene) -> Samples:
    return drums(scene, jitter_s=scene.between(0.002, 0.015), shapes=5)


def drums(scene: Scene, jitter_s: float, shapes: int) -> Samples:
    step_s = sixteenth_s(scene)
    sound = silence(scene)
    for instrument, chance in ((kick, 0.3), (snare, 0.2), (hat, 0.7)):
        on = scene.random.random(STEPS) < chance
        on[int(scene.random.integers(STEPS))] = True
        starts = steps_on(scene, on, step_s, jitter_s)
        loudness = 1 + 10 * jitter_s * scene.random.standard_normal(starts.size)
        drawn = [instrument(scene) for _ in range(shapes)]
        sound += scene.between(0.3, 1) * laid(scene, starts, drawn, loudness)
    return sound


def techno(scene: Scene) -> Samples:
    step_s = sixteenth_s(scene)
    beats = steps_on(scene, np.array([1, 0, 0, 0]), step_s)
    off_beats = steps_on(scene, np.array([0, 0, 1, 0]), step_s)
    bass = ring(scene, scene.between(40, 90), step_s / 2, 0.005)
    sound = laid(scene, beats, [kick(scene)]) + 0.5 * laid(scene, off_beats, [hat(scene)])
    return sound + scene.between(0, 0.6) * laid(scene, off_beats, [bass])


def accents(scene: Scene, count: int) -> Samples:
    """Return loudness with every second, third or fourth a little louder, or none."""
    return np.where(np.arange(count) % scene.one_of((1, 2, 3, 4)) == 0, 1.0, scene.between(0.4, 1))


def metronome_app(scene: Scene) -> Samples:
    """Short sines, the first of a bar often at another pitch."""
    starts = evenly(scene, scene.one_of((beat_s(scene), 60 / scene.between(40, 240))), 0.0)
    hz, seconds = scene.between(800, 3000), scene.between(0.003, 0.05)
    bar = scene.one_of((1, 2, 3, 4))
    first = np.arange(starts.size) % bar == 0
    high = tone(scene, hz * scene.one_of((1.0, 1.5, 2.0)), seconds, 0.0005)
    low = tone(scene, hz, seconds, 0.0005)
    return laid(scene, starts[first], [high]) + laid(scene, starts[~first], [low])


def electronic_metronome(scene: Scene) -> Samples:
    """A battery box: one pulse through a small speaker that rings."""
    click = ring(scene, scene.between(900, 3500), scene.between(0.002, 0.01))
    starts = evenly(scene, scene.one_of((beat_s(scene), 60 / scene.between(40, 208))), 0.0)
    return laid(scene, starts, [click], accents(scene, starts.size))


def woodblock(scene: Scene) -> Samples:
    starts = evenly(scene, beat_s(scene))
    block = ring(scene, scene.between(700, 2500), scene.between(0.01, 0.04), 0.0003)
    second = ring(scene, scene.between(700, 2500), scene.between(0.01, 0.04), 0.0003)
    either = scene.one_of(([block], [block, second]))
    return laid(scene, starts, either, accents(scene, starts.size))


def hats_only(scene: Scene) -> Samples:
    starts = evenly(scene, sixteenth_s(scene))
    return laid(scene, starts, [hat(scene)], accents(scene, starts.size))


def shaker(scene: Scene) -> Samples:
    """Forth and back: soft attacks, the way back fainter."""
    starts = evenly(scene, sixteenth_s(scene))
    grains = [burst(scene, (4000, 12000), 0.025, scene.between(0.01, 0.03)) for _ in range(6)]
    return laid(scene, starts, grains, accents(scene, starts.size))


def rim_clicks(scene: Scene) -> Samples:
    starts = evenly(scene, sixteenth_s(scene))
    return laid(scene, starts, [knock(scene, 1000, 6000, 0.008)], accents(scene, starts.size))


def arpeggio(scene: Scene) -> Samples:
    step_s = sixteenth_s(scene)
    base_hz = scene.between(110, 440)
    chord = scene.one_of(((0, 4, 7, 12), (0, 3, 7, 10), (0, 7, 12, 19)))
    sound = silence(scene)
    for place, semitones in enumerate(chord):
        on = np.arange(len(chord)) == place
        note = synth(scene, base_hz * SEMITONE**semitones, step_s)
        sound += laid(scene, steps_on(scene, on, step_s), [note])
    return sound


def synth(scene: Scene, hz: float, seconds: float) -> Samples:
    envelope = decay(scene, seconds / 2, scene.one_of((0.0, 0.002, 0.02)))
    t = np.arange(envelope.size) / scene.rate_hz
    return envelope * sum(np.sin(2 * np.pi * hz * k * t) / k for k in range(1, 8))


def hand_claps(scene: Scene) -> Samples:
    gap_s = scene.between(0.2, 0.8)
    spread = scene.one_of((0.0, 0.01, 0.03))
    claps = [burst(scene, (700, 4000), scene.between(0.004, 0.015)) for _ in range(8)]
    starts = stumbling(scene, gap_s, spread)
    return laid(scene, starts, claps, scene.random.uniform(0.6, 1, starts.size))


def clapping_crowd(scene: Scene) -> Samples:
    """Many hands: each for itself, or all nearly together."""
    together = scene.happens()
    gap_s = scene.between(0.2, 0.5)
    sound = silence(scene)
    for _ in range(int(scene.random.integers(8, 30))):
        own_gap_s = gap_s if together else gap_s * scene.between(0.7, 1.4)
        starts = np.arange(0.05, scene.seconds, own_gap_s)
        starts = starts + scene.between(0.005, 0.04) * scene.random.standard_normal(starts.size)
        clap = burst(scene, (scene.between(500, 1200), 4000), scene.between(0.004, 0.015))
        sound += laid(scene, starts, [clap], scene.between(0.2, 1))
    return sound


def lock_groove(scene: Scene) -> Samples:
    """A pop each turn of a record, or two, over the noise of the groove."""
    turn_s = 60 / scene.one_of((100 / 3, 45.0, 78.26))
    starts = evenly(scene, turn_s, scene.one_of((0.0, 0.0005)))
    pop = burst(scene, (500, 9000), scene.between(0.0005, 0.003))
    sound = laid(scene, starts, [pop])
    for _ in range(int(scene.random.integers(0, 4))):
        other = burst(scene, (500, 9000), scene.between(0.0005, 0.003))
        later_s = scene.one_of((turn_s / 2, scene.between(0.003, turn_s)))
        sound += laid(scene, starts + later_s, [scene.one_of((pop, other))], scene.between(0.3, 1))
    return sound


def tapped_glass(scene: Scene) -> Samples:
    glass = ring(scene, scene.between(1500, 5000), scene.between(0.05, 0.3))
    return laid(scene, stumbling(scene, scene.between(0.15, 0.6), 0.03), [glass])


KINDS = {
    "drum machine": drum_machine,
    "live drummer": live_drummer,
    "techno": techno,
    "metronome app": metronome_app,
    "electronic metronome": electronic_metronome,
    "woodblock": woodblock,
    "hi-hat only": hats_only,
    "shaker": shaker,
    "rim clicks": rim_clicks,
    "arpeggio": arpeggio,
    "hand claps": hand_claps,
    "clapping crowd": clapping_crowd,
    "lock groove": lock_groove,
    "tapped glass": tapped_glass,
}
