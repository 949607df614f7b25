"""Keys, buttons, printers and drives."""

import numpy as np

from not_a_watch.kit import (
    Samples,
    Scene,
    beat_s,
    burst,
    by_chance,
    evenly,
    groups,
    knock,
    knocks,
    laid,
    moments,
    silence,
    stumbling,
    tone,
)


def key_shapes(scene: Scene) -> list[Samples]:
    return [
        knock(scene, 600, 6000, scene.between(0.003, 0.012))
        for _ in range(int(scene.random.integers(1, 12)))
    ]


def pressed_and_let_go(scene: Scene, starts_s: Samples, held_s: float) -> Samples:
    """Return a knock down, and a fainter one of another shape when the finger leaves."""
    held = np.maximum(0.02, held_s * (1 + 0.1 * scene.random.standard_normal(starts_s.size)))
    loudness = scene.between(0.4, 1) + 0.2 * scene.random.random(starts_s.size)
    down = laid(scene, starts_s, key_shapes(scene), loudness)
    return down + 0.4 * laid(scene, starts_s + held, key_shapes(scene))


def typing(scene: Scene) -> Samples:
    starts = stumbling(scene, scene.between(0.08, 0.3), scene.between(0.1, 0.6))
    return pressed_and_let_go(scene, starts, scene.between(0.05, 0.1))


def one_key(scene: Scene) -> Samples:
    """One key, again and again, by hand or by a machine that tests keys."""
    gap_s = beat_s(scene)
    starts = evenly(scene, gap_s) if scene.happens() else stumbling(scene, gap_s, 0.04)
    return pressed_and_let_go(scene, starts, gap_s * scene.between(0.2, 0.5))


def mouse_clicks(scene: Scene) -> Samples:
    starts = evenly(scene, scene.one_of((beat_s(scene), 1.0, 0.5)))
    down = burst(scene, (1500, 9000), scene.between(0.001, 0.004))
    up = burst(scene, (2000, 11000), scene.between(0.001, 0.004))
    held_s = scene.between(0.02, 0.1)
    return laid(scene, starts, [down]) + laid(scene, starts + held_s, [up], scene.between(0.3, 1))


def typewriter(scene: Scene) -> Samples:
    starts = stumbling(scene, scene.between(0.12, 0.35), scene.between(0.02, 0.4))
    types = [knock(scene, 300, 5000, scene.between(0.01, 0.04)) for _ in range(8)]
    bell = 0.5 * tone(scene, scene.between(1800, 3000), 0.6, 0.001)
    line_ends = evenly(scene, scene.between(3, 8), 0.2)
    return laid(scene, starts, types) + laid(scene, line_ends, [bell])


def dot_matrix(scene: Scene) -> Samples:
    """Pins at an even rate while a line is printed, then the paper moves on."""
    line_s, feed_s = scene.between(0.3, 1.5), scene.between(0.1, 0.5)
    pin_gap_s = 1 / scene.between(60, 400)
    pin = burst(scene, (1000, 6000), 0.002)
    pins = evenly(scene, pin_gap_s, 0.0)
    printed = pins[(pins % (line_s + feed_s) < line_s) & (scene.random.random(pins.size) < 0.7)]
    feed = tone(scene, scene.between(200, 600), feed_s, 0.01)
    feeds = np.arange(line_s, scene.seconds, line_s + feed_s)
    return laid(scene, printed, [pin]) + 0.3 * laid(scene, feeds, [feed])


def hard_disk(scene: Scene) -> Samples:
    """Seeks, by chance or in even runs, over the whine of the spindle."""
    seeks = knocks(scene, (700, 5000), scene.between(0.003, 0.01))
    even = evenly(scene, scene.ratio_between(0.02, 0.5))
    starts = even if scene.happens() else by_chance(scene, scene.between(2, 20))
    loudness = scene.random.uniform(0.4, 1, starts.size)
    whine = np.sin(2 * np.pi * scene.one_of((90, 120, 240)) * moments(scene))
    return laid(scene, starts, seeks, loudness) + scene.between(0, 0.05) * whine


def dying_disk(scene: Scene) -> Samples:
    """The arm knocks at its stop, a few evenly spaced knocks at a time, always the same."""
    click = knock(scene, 500, 4000, scene.between(0.004, 0.02))
    offsets = np.arange(int(scene.random.integers(1, 7))) * beat_s(scene)
    starts = evenly(scene, offsets[-1] + scene.between(0.3, 1.5), 0.0)
    return laid(scene, groups(starts, offsets), [click])


def optical_drive(scene: Scene) -> Samples:
    """A disc that hums as it turns, a sled that ticks along."""
    turn_hz = scene.between(8, 80)
    turning = np.sin(2 * np.pi * turn_hz * moments(scene)) ** 5
    sled = [burst(scene, (1500, 5000), 0.004), tone(scene, scene.between(600, 2000), 0.05)]
    return 0.2 * turning + laid(scene, evenly(scene, scene.between(0.1, 1)), sled)


def camera_burst(scene: Scene) -> Samples:
    """Mirror up, shutter, mirror down: three knocks a picture, at 3 to 12 pictures a second."""
    gap_s = 1 / scene.between(3, 12)
    pictures = evenly(scene, gap_s)
    run_s, pause_s = scene.between(1, 5), scene.between(0, 2)
    pictures = pictures[pictures % (run_s + pause_s) < run_s]
    sound = silence(scene)
    for share in (0.0, scene.between(0.15, 0.3), scene.between(0.5, 0.7)):
        part = burst(scene, (scene.between(500, 2000), 7000), scene.between(0.004, 0.02))
        sound += laid(scene, pictures + share * gap_s, [part], scene.between(0.3, 1))
    return sound


def stapler(scene: Scene) -> Samples:
    """A tool with a spring: pressed, it snaps; let go, it rattles."""
    starts = stumbling(scene, scene.between(0.4, 1.5), 0.1)
    snap = knock(scene, 400, 4000, 0.015)
    rattle = knock(scene, 1000, 8000, 0.006)
    return laid(scene, starts, [snap]) + 0.4 * laid(scene, starts + 0.12, [rattle])


KINDS = {
    "typing": typing,
    "one key": one_key,
    "mouse clicks": mouse_clicks,
    "typewriter": typewriter,
    "dot-matrix printer": dot_matrix,
    "hard disk": hard_disk,
    "dying disk": dying_disk,
    "optical drive": optical_drive,
    "camera burst": camera_burst,
    "stapler": stapler,
}
