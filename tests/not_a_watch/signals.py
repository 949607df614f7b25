"""Pulses, beeps and tones made by electronics: the evenest of all."""

import numpy as np
from scipy import signal

from not_a_watch.kit import (
    Samples,
    Scene,
    band,
    beat_s,
    burst,
    evenly,
    full,
    groups,
    hiss,
    laid,
    moments,
    ring,
    sweep,
    tone,
)

DOT = "."
DASH = "-"
MORSE_WORDS = (".--. .- .-. .. ...", "... --- ...", "-.-. --.- -.-. --.-", "..... ..... .....")
GSM_BURSTS_PER_S = 217.0  # one burst a frame of 4.615 ms: GSM 05.02


def pulse(scene: Scene) -> Samples:
    """Return a short shape: one sample, a step up and back, two-sided, or a ringing one."""
    width = int(scene.random.integers(2, 40))
    return scene.one_of(
        (
            np.ones(1),
            np.ones(width),
            np.repeat((1.0, -1.0), width),
            signal.windows.hann(width + 2),
            ring(scene, scene.between(1000, 9000), scene.between(0.0003, 0.004)),
        )
    )


def digital_clicks(scene: Scene) -> Samples:
    return laid(scene, evenly(scene, beat_s(scene), 0.0), [pulse(scene)])


def jittered_clicks(scene: Scene) -> Samples:
    return laid(
        scene, evenly(scene, beat_s(scene), scene.ratio_between(1e-5, 3e-3)), [pulse(scene)]
    )


def alternating_clicks(scene: Scene) -> Samples:
    """Every second one fainter, and perhaps a little late."""
    starts = evenly(scene, beat_s(scene), 0.0)
    second = np.arange(starts.size) % 2 == 1
    late_s = scene.one_of((0.0, scene.between(0, 0.01)))
    return laid(
        scene,
        starts + late_s * second,
        [pulse(scene)],
        np.where(second, scene.between(0.2, 0.9), 1),
    )


def pulse_pairs(scene: Scene) -> Samples:
    offsets = (0.0, scene.ratio_between(0.002, 0.03))
    return laid(scene, groups(evenly(scene, beat_s(scene)), offsets), [pulse(scene)])


def pulse_triples(scene: Scene) -> Samples:
    """Three of one shape and strength, with equal or unequal gaps."""
    first_s = scene.ratio_between(0.002, 0.015)
    second_s = scene.one_of((first_s, scene.ratio_between(0.002, 0.015)))
    offsets = (0.0, first_s, first_s + second_s)
    return laid(scene, groups(evenly(scene, beat_s(scene)), offsets), [pulse(scene)])


def gated_noise(scene: Scene) -> Samples:
    """One burst a beat, with a soft attack or a long decay; always the same or ever new."""
    gap_s = beat_s(scene)
    soft = (scene.between(0.002, 0.01), scene.between(0.005, 0.03))
    long = (scene.between(0.03, 0.15), 0.0)
    decay_s, attack_s = scene.one_of((soft, long))
    low_hz = scene.ratio_between(500, 6000)
    count = scene.one_of((1, 20))
    bursts = [burst(scene, (low_hz, 3 * low_hz), decay_s, attack_s) for _ in range(count)]
    return laid(scene, evenly(scene, gap_s), bursts)


def noise_gate(scene: Scene) -> Samples:
    """Noise let through for a moment each beat, cut off sharply."""
    gap_s = beat_s(scene)
    open_s = min(0.5 * gap_s, scene.ratio_between(0.003, 0.1))
    place_s = moments(scene) % gap_s
    return band(scene, hiss(scene), scene.between(300, 3000), 9000) * (place_s < open_s)


def quartz(scene: Scene) -> Samples:
    """A wall clock with a stepping motor: one tick a second, with the rebound of its wheels."""
    starts = evenly(scene, scene.one_of((1.0, 1.0, 0.5)), 0.0)
    tick = ring(scene, scene.between(1000, 6000), scene.between(0.002, 0.01))
    thud = ring(scene, scene.between(200, 1000), scene.between(0.004, 0.02))
    sound = laid(scene, starts, [full(tick)]) + 0.5 * laid(scene, starts, [thud])
    for _ in range(int(scene.random.integers(0, 3))):
        later_s = scene.between(0.005, 0.06)
        sound += laid(scene, starts + later_s, [tick], scene.between(0.2, 0.9))
    return sound


def beep(scene: Scene, hz: float, seconds: float) -> Samples:
    """Return a beep: a sine, or a square wave through a small speaker."""
    sine = tone(scene, hz, seconds)
    return band(scene, np.sign(sine), 500, 9000) if scene.happens() else sine


def alarm(scene: Scene) -> Samples:
    """One to four square-wave beeps, a rest, and again."""
    count, gap_s = scene.one_of((1, 2, 4)), scene.between(0.1, 0.25)
    one = band(scene, np.sign(tone(scene, scene.between(1000, 4100), gap_s / 2)), 500, 10000)
    rest_s = scene.one_of((0.0, 0.3, 0.6))
    starts = evenly(scene, count * gap_s + rest_s, 0.0)
    return laid(scene, groups(starts, np.arange(count) * gap_s), [one])


def even_beeps(scene: Scene) -> Samples:
    gap_s = beat_s(scene)
    one = beep(scene, scene.between(500, 4000), gap_s * scene.between(0.05, 0.6))
    return laid(scene, evenly(scene, gap_s), [one])


def heart_monitor(scene: Scene) -> Samples:
    one = beep(scene, scene.between(600, 1200), scene.between(0.06, 0.15))
    return laid(scene, evenly(scene, 60 / scene.between(45, 150), scene.between(0, 0.02)), [one])


def morse(scene: Scene) -> Samples:
    dot_s, hz = 1.2 / scene.between(8, 30), scene.between(500, 1000)
    dots, dashes, at = [], [], 0.0
    text = scene.one_of((*MORSE_WORDS, DOT * 20, DASH * 10))
    while at < scene.seconds:
        for sign in f"{text}  ":
            marks, units = {DOT: (dots, 2), DASH: (dashes, 4)}.get(sign, ([], 2))
            marks.append(at)
            at += units * dot_s
    short, long = tone(scene, hz, dot_s), tone(scene, hz, 3 * dot_s)
    return laid(scene, np.array(dots), [short]) + laid(scene, np.array(dashes), [long])


def sonar(scene: Scene) -> Samples:
    ping = ring(scene, scene.between(800, 3000), scene.between(0.05, 0.4), 0.005)
    starts = evenly(scene, scene.between(0.4, 3), 0.0)
    echo_s = scene.between(0.1, 0.4)
    return laid(scene, starts, [ping]) + 0.3 * laid(scene, starts + echo_s, [ping])


def phone_interference(scene: Scene) -> Samples:
    """Bursts of a telephone that an amplifier picks up: 217 a second, in groups."""
    burst_samples = max(4, int(0.000577 * scene.rate_hz))
    bursts = evenly(scene, 1 / GSM_BURSTS_PER_S, 0.0)
    group_s, rest_s = scene.between(0.03, 0.3), scene.between(0.03, 0.6)
    bursts = bursts[bursts % (group_s + rest_s) < group_s]
    return band(scene, laid(scene, bursts, [np.ones(burst_samples)]), 80, 9000)


def dial_up(scene: Scene) -> Samples:
    """Pairs of tones, warbles and scrambled noise, one after another."""
    parts: list[Samples] = []
    while sum(part.size for part in parts) < scene.size:
        part_s = scene.between(0.07, 1.0)
        pair = tone(scene, scene.between(600, 1000), part_s) + tone(scene, 1300, part_s)
        warble = sweep(scene, (scene.between(900, 2400), scene.between(900, 2400)), part_s)
        scrambled = band(scene, hiss(scene, part_s), 400, 3400)
        parts.append(scene.one_of((pair, warble, scrambled)))
        parts.append(np.zeros(scene.one_of((0, scene.rate_hz // 20))))
    return np.concatenate(parts)[: scene.size]


def pulse_dialling(scene: Scene) -> Samples:
    """Ten clicks a second for each digit, a rest between digits."""
    click = ring(scene, scene.between(800, 3500), scene.between(0.001, 0.006))
    starts = evenly(scene, 0.1, 0.0)
    digit = (starts // scene.between(0.6, 1.4)).astype(int)
    heard = scene.random.random(digit.max() + 1)[digit] < 0.8
    return laid(scene, starts[heard], [click])


def even_sweeps(scene: Scene) -> Samples:
    gap_s = beat_s(scene)
    pitches = (scene.ratio_between(300, 9000), scene.ratio_between(300, 9000))
    one = sweep(scene, pitches, gap_s * scene.ratio_between(0.02, 0.8))
    return laid(scene, evenly(scene, gap_s), [one])


def two_pulse_trains(scene: Scene) -> Samples:
    """Two even trains of unlike gaps, as two gadgets on one bench."""
    first = laid(scene, evenly(scene, beat_s(scene), 0.0), [pulse(scene)])
    return first + laid(scene, evenly(scene, beat_s(scene), 0.0), [pulse(scene)])


KINDS = {
    "digital clicks": digital_clicks,
    "jittered clicks": jittered_clicks,
    "alternating clicks": alternating_clicks,
    "pulse pairs": pulse_pairs,
    "pulse triples": pulse_triples,
    "two pulse trains": two_pulse_trains,
    "gated noise": gated_noise,
    "noise gate": noise_gate,
    "quartz": quartz,
    "alarm": alarm,
    "even beeps": even_beeps,
    "heart monitor": heart_monitor,
    "morse": morse,
    "sonar": sonar,
    "phone interference": phone_interference,
    "dial-up": dial_up,
    "pulse dialling": pulse_dialling,
    "even sweeps": even_sweeps,
}
