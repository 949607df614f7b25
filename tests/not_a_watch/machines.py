"""Motors, relays and other machines."""

import numpy as np

from not_a_watch.kit import (
    Samples,
    Scene,
    band,
    beat_s,
    burst,
    by_chance,
    evenly,
    hiss,
    knock,
    knocks,
    laid,
    moments,
    ring,
    silence,
    stumbling,
    tone,
    wandering,
)


def turning(scene: Scene, turn_s: float) -> Samples:
    """Return where in its turn a wheel is, 0 to 1."""
    return (moments(scene) / turn_s) % 1


def mains(scene: Scene) -> Samples:
    """Return hum with the overtones of a transformer."""
    t, mains_hz = moments(scene), scene.one_of((50.0, 60.0))
    sound = silence(scene)
    for k in (1, 2, 3, 4, 6, 10):
        sound += scene.between(0, 1) / k * np.sin(2 * np.pi * k * mains_hz * t)
    return sound


def gate(scene: Scene, gap_s: float) -> Samples:
    """Return an even on and off, each lasting a share of the gap, with short edges."""
    place, share = turning(scene, gap_s), scene.between(0.1, 0.7)
    edge = scene.ratio_between(0.0002, 0.02) / gap_s
    return np.clip(np.minimum(place, share - place) / edge, 0, 1)


def pulsed_hum(scene: Scene) -> Samples:
    return mains(scene) * gate(scene, beat_s(scene))


def hum(scene: Scene) -> Samples:
    return mains(scene)


def pwm_buzz(scene: Scene) -> Samples:
    """A square wave whose duty comes and goes evenly, heard through something small."""
    carrier = turning(scene, 1 / scene.between(100, 1000))
    duty = 0.5 + 0.45 * np.sin(2 * np.pi * turning(scene, beat_s(scene)))
    return band(scene, np.where(carrier < duty, 1.0, -1.0), 300, 8000)


def led_whine(scene: Scene) -> Samples:
    whine = np.sin(2 * np.pi * scene.between(2000, 9500) * moments(scene))
    gap_s = scene.one_of((0.01, 1 / 120, beat_s(scene)))
    return whine * gate(scene, gap_s)


def relay(scene: Scene) -> Samples:
    """On, off, on, off: two different knocks, even, with or without a bouncing contact."""
    gap_s = beat_s(scene)
    starts = evenly(scene, gap_s)
    on, off = (knock(scene, 1000, 8000, scene.between(0.002, 0.008)) for _ in range(2))
    sound = laid(scene, starts[::2], [on]) + laid(scene, starts[1::2], [off], scene.between(0.4, 1))
    if scene.happens():
        bounce = knock(scene, 2000, 9000, 0.002)
        sound += laid(scene, starts + scene.between(0.001, 0.005), [bounce], 0.4)
    return sound


def one_relay_click(scene: Scene) -> Samples:
    click = knock(scene, 800, 7000, scene.between(0.002, 0.01))
    return laid(scene, evenly(scene, beat_s(scene)), [click])


def turn_signal(scene: Scene) -> Samples:
    """60 to 120 flashes a minute: tick and tock of a car's flasher."""
    flash_s = 60 / scene.between(60, 120)
    starts = evenly(scene, flash_s)
    tick, tock = (knock(scene, 700, 5000, scene.between(0.004, 0.015)) for _ in range(2))
    later_s = flash_s * scene.between(0.4, 0.6)
    return laid(scene, starts, [tick]) + laid(scene, starts + later_s, [tock], 0.7)


def stepper(scene: Scene) -> Samples:
    """Steps at some rate, in runs or without end."""
    starts = evenly(scene, 1 / scene.ratio_between(4, 150), 0.0)
    if scene.happens():
        run_s, rest_s = scene.between(0.2, 2), scene.between(0.1, 1)
        starts = starts[starts % (run_s + rest_s) < run_s]
    step = ring(scene, scene.between(300, 2500), scene.between(0.002, 0.015))
    return laid(scene, starts, [step])


def bent_fan(scene: Scene) -> Samples:
    """Air over the blades; one of them touches something once a turn."""
    turn_s, blades = 1 / scene.between(3, 25), scene.one_of((3, 4, 5, 7))
    air = band(scene, hiss(scene), 100, 3000)
    air *= 1 + 0.5 * np.sin(2 * np.pi * blades * turning(scene, turn_s))
    starts = evenly(scene, turn_s)
    touch = knocks(scene, (500, 5000), scene.between(0.003, 0.02))
    return scene.between(0.02, 0.3) * air + laid(scene, starts, touch)


def fridge(scene: Scene) -> Samples:
    """A compressor: hum of the motor, strokes twenty-odd times a second, a rattling shelf."""
    stroke = np.sin(2 * np.pi * scene.between(22, 29) * moments(scene)) ** 3
    rattle = burst(scene, (1000, 4000), 0.004)
    rattles = evenly(scene, 1 / scene.between(22, 29))
    sound = mains(scene) + 0.7 * stroke
    return sound + scene.between(0, 0.5) * laid(scene, rattles, [rattle])


def engine(scene: Scene) -> Samples:
    """Idling: a firing every half turn or turn, no two quite alike in strength."""
    gap_s = 60 / scene.between(500, 1000) * scene.one_of((0.5, 1, 2))
    firings = stumbling(scene, gap_s, scene.between(0.002, 0.03))
    thump = ring(scene, scene.between(50, 120), 0.02, 0.003)
    tappet = burst(scene, (1500, 6000), 0.004)
    loudness = scene.random.uniform(0.7, 1, firings.size)
    ticks = laid(scene, firings + 0.3 * gap_s, [tappet], scene.between(0.1, 0.8))
    return laid(scene, firings, [thump], loudness) + ticks


def chainsaw(scene: Scene) -> Samples:
    """Fast firings whose pitch comes and goes, with the roar of the cut."""
    pitch_hz = 40 + 110 * wandering(scene, 1.0)
    firing = (np.cumsum(pitch_hz) / scene.rate_hz) % 1
    return (np.exp(-6 * firing) - 0.2) * (1 + 0.3 * band(scene, hiss(scene), 500, 6000))


def sewing_machine(scene: Scene) -> Samples:
    """Each stitch has the knock of the needle bar and that of the hook."""
    stitch_s = 1 / scene.between(4, 15)
    stitches = evenly(scene, stitch_s)
    motor = np.sin(2 * np.pi * scene.between(80, 200) * moments(scene))
    bar, hook = knock(scene, 400, 3000, 0.012), knock(scene, 1000, 5000, 0.006)
    later_s = stitch_s * scene.between(0.3, 0.6)
    sound = laid(scene, stitches, [bar]) + 0.6 * laid(scene, stitches + later_s, [hook])
    return sound + scene.between(0, 0.3) * motor


def train(scene: Scene) -> Samples:
    """Four axles of two bogies over each joint of the rails."""
    speed, rail_m = scene.between(8, 30), scene.one_of((12.0, 15.0, 18.0, 25.0))
    joints = evenly(scene, rail_m / speed)
    wheels = knocks(scene, (60, 1200), scene.between(0.02, 0.05))
    sound = 0.2 * band(scene, hiss(scene), 60, 800)
    for axle_m in (0.0, 2.5, 9.0, 11.5):
        sound += laid(scene, joints + axle_m / speed, wheels, scene.between(0.6, 1))
    return sound


def fence(scene: Scene) -> Samples:
    """An electric fence ticks a little faster than once a second; a wet one crackles too."""
    tick = burst(scene, (1500, 9000), scene.between(0.0005, 0.004))
    starts = evenly(scene, scene.between(0.9, 1.5))
    sound = laid(scene, starts, [tick])
    if scene.happens():
        sound += laid(scene, starts + scene.between(0.005, 0.05), [tick], 0.4)
    return sound


def geiger(scene: Scene) -> Samples:
    click = ring(scene, scene.between(1500, 4000), scene.between(0.0005, 0.003))
    return laid(scene, by_chance(scene, scene.ratio_between(2, 60)), [click])


def water_pump(scene: Scene) -> Samples:
    """Strokes of a membrane: thud, and water after it."""
    gap_s = beat_s(scene)
    starts = evenly(scene, gap_s)
    thud = ring(scene, scene.between(60, 200), scene.between(0.02, 0.06), 0.004)
    water = burst(scene, (300, 3000), gap_s / 5, gap_s / 8)
    return laid(scene, starts, [thud]) + scene.between(0.1, 0.6) * laid(scene, starts, [water])


def washing_machine(scene: Scene) -> Samples:
    """The drum turns slowly; water swishes, a button knocks."""
    turn_s = scene.between(0.7, 1.5)
    swish = band(scene, hiss(scene), 200, 4000) * (1 + np.sin(2 * np.pi * turning(scene, turn_s)))
    button = knock(scene, 1500, 6000, 0.01)
    starts = evenly(scene, turn_s * scene.one_of((1.0, 0.5)), 0.01)
    return 0.2 * swish + 0.1 * mains(scene) + laid(scene, starts, [button])


def bicycle_freewheel(scene: Scene) -> Samples:
    """Pawls on a ratchet: even clicks that slow down."""
    per_s = np.linspace(scene.between(15, 60), scene.between(4, 15), scene.size)
    clicks_so_far = np.cumsum(per_s) / scene.rate_hz
    starts = np.flatnonzero(np.diff(np.floor(clicks_so_far))) / scene.rate_hz
    return laid(scene, starts, knocks(scene, (2000, 9000), scene.between(0.002, 0.006)))


def solenoid(scene: Scene) -> Samples:
    """A dosing valve: a knock as it opens, a hum while it is open, a knock as it shuts."""
    gap_s = beat_s(scene)
    starts, open_s = evenly(scene, gap_s), gap_s * scene.between(0.1, 0.5)
    opens, shuts = (knock(scene, 500, 6000, scene.between(0.003, 0.01)) for _ in range(2))
    buzz = 0.2 * tone(scene, scene.one_of((100.0, 120.0)), open_s)
    sound = laid(scene, starts, [opens]) + laid(scene, starts, [buzz])
    return sound + laid(scene, starts + open_s, [shuts], scene.between(0.4, 1))


KINDS = {
    "pulsed hum": pulsed_hum,
    "hum": hum,
    "PWM buzz": pwm_buzz,
    "LED driver whine": led_whine,
    "relay": relay,
    "one relay click": one_relay_click,
    "turn signal": turn_signal,
    "stepper motor": stepper,
    "bent fan": bent_fan,
    "fridge": fridge,
    "engine": engine,
    "chainsaw": chainsaw,
    "sewing machine": sewing_machine,
    "train": train,
    "electric fence": fence,
    "geiger counter": geiger,
    "water pump": water_pump,
    "washing machine": washing_machine,
    "freewheel": bicycle_freewheel,
    "solenoid valve": solenoid,
}
