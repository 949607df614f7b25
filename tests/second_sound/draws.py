"""Watches, rooms and recorders drawn at random; how often each thing happens is a judgement.

Every probability and range here is common practice or a guess, no source, unless a line says so.
"""

from dataclasses import fields
from typing import Any

import numpy as np

from second_sound.listening import Heard, Spec
from second_sound.mechanics import WHEEL_DEG_PER_BEAT
from second_sound.values import Escapement, Recorder, Room, Sound

BEATS_PER_HOUR = {  # trade-facts 3.5.4
    18000: 0.30,
    28800: 0.20,
    21600: 0.17,
    19800: 0.09,
    14400: 0.05,
    16200: 0.05,
    25200: 0.03,
    36000: 0.03,
    16800: 0.01,
    19440: 0.01,
    21000: 0.01,
    21306: 0.01,
    22320: 0.01,
    32400: 0.01,
    17143: 0.01,
    20222: 0.01,
}
PARTS = {"escapement": Escapement, "sound": Sound, "room": Room, "recorder": Recorder}


def draw(seed: int, *, hard: bool = False, **overrides: Any) -> Spec:
    """Return a watch in a room before a recorder, as they come; `hard` makes the nasty ones usual.

    Parameters
    ----------
    overrides : any fields of `Escapement`, `Sound`, `Room` and `Recorder` (no two share a name),
        foremost `snr_db`; what is drawn for the others does not change by them, except that the
        wheel's torque follows the swing

    Examples
    --------
    >>> draw(7, snr_db=25.0, beats_per_hour=18000).room.snr_db
    25.0
    """
    known = {field.name for part in PARTS.values() for field in fields(part)}
    if unknown := sorted(set(overrides) - known):
        raise TypeError(f"no part of a spec is called {', '.join(unknown)}")
    drawn: dict[str, Any] = {}
    for number, chosen in enumerate((mechanism, noises, surroundings, machine)):
        dice = Dice(np.random.default_rng([seed, 10 + number]), hard)
        drawn |= chosen(dice, overrides)
    return built(drawn | overrides, seed)


def random_watch(seed: int, *, snr_db: float, hard: bool = False) -> Heard:
    """Return 30 s of a drawn watch."""
    return draw(seed, hard=hard, snr_db=snr_db).listen(30.0)


def built(values: dict[str, Any], seed: int) -> Spec:
    """Return the spec of these fields; what is not given stands at its default."""
    parts = {
        name: part(**{f.name: values[f.name] for f in fields(part) if f.name in values})
        for name, part in PARTS.items()
    }
    return Spec(seed=seed, **parts)


class Dice:
    """Random choices with the words used below."""

    def __init__(self, rng: np.random.Generator, hard: bool) -> None:
        self.rng = rng
        self.hard = hard

    def uniform(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def even(self, low: float, high: float) -> float:
        """Return a number whose logarithm is uniform."""
        return float(np.exp(self.rng.uniform(np.log(low), np.log(high))))

    def happens(self, usually: float, when_hard: float) -> bool:
        return bool(self.rng.random() < (when_hard if self.hard else usually))

    def one_of(self, chances: dict[Any, float]) -> Any:
        weight = np.array(list(chances.values()))
        return list(chances)[int(self.rng.choice(len(weight), p=weight / weight.sum()))]

    def between(self, *ranges: tuple[float, float, float]) -> float:
        """Return a number from one of (chance, low, high)."""
        chances = {(low, high): chance for chance, low, high in ranges}
        return self.uniform(*self.one_of(chances))

    def sometimes(self, usually: float, when_hard: float, low: float, high: float) -> float:
        """Return a number of that range, or 0."""
        value = self.uniform(low, high)
        return value if self.happens(usually, when_hard) else 0.0

    def sign(self) -> float:
        return float(self.rng.choice([-1.0, 1.0]))

    def pair(self, middle: float, apart: float) -> tuple[float, float]:
        """Return two values whose difference is up to twice `apart`."""
        off = self.uniform(-apart, apart)
        return (middle + off, middle - off)


def mechanism(dice: Dice, given: dict[str, Any]) -> dict[str, Any]:
    """Return an escapement's fields."""
    beats = float(dice.one_of(BEATS_PER_HOUR))
    swing = dice.between((0.86, 150, 320), (0.08, 90, 150), (0.06, 320, 345))
    lift = dice.between((0.4, 51.5, 52.5), (0.45, 48, 54), (0.15, 38, 60))
    beats = given.get("beats_per_hour", beats)
    swing = given.get("amplitude_deg", swing)
    lift = given.get("lift_deg", lift)
    error = dice.between((0.45, 0, 0.4), (0.3, 0.4, 1.0), (0.25, 1.0, 3.0)) / 200.0
    drop = dice.uniform(0.9, 1.85)
    return {
        "beats_per_hour": beats,
        "amplitude_deg": swing,
        "lift_deg": lift,
        "rate_s_per_day": dice.between((0.6, -30, 30), (0.3, -120, 120), (0.1, -600, 600)),
        "out_of_beat_deg": dice.sign() * swing * np.sin(np.pi * error / 2),
        "waver_deg": dice.uniform(0.5, 3.0) * min(1.0, swing / 200),
        "waver_beats": dice.even(2, 80),
        "drift_deg": dice.sometimes(0.4, 0.7, -2.0, 2.0),
        "turn_deg": dice.sometimes(0.25, 0.5, 0.5, 4.0),
        "lift_inequality": dice.uniform(-0.03, 0.03),
        "before_share": dice.uniform(0.47, 0.53),
        "run_deg": dice.sometimes(0.5, 0.7, 0.0, 1.2),
        "drop_wheel_deg": dice.pair(drop, 0.12 + dice.sometimes(0.2, 0.4, 0.0, 0.3)),
        **wheel(dice, beats, swing, lift),
        "tooth_wheel_deg": dice.sometimes(0.5, 0.8, 0.02, 0.2),
        "wear_deg": dice.sometimes(0.15, 0.4, 0.3, 1.5),
        "banking_ms": dice.pair(dice.even(0.3, 1.8), 0.08),
        "banking_missing": dice.sometimes(0.2, 0.4, 0.05, 0.5),
        "quality": dice.uniform(120, 300),
        "impulse_after_deg": dice.uniform(2, 8),
        "wander": dice.sometimes(0.6, 0.9, 0.0, 2.0),
        "flicker_s_per_day": dice.sometimes(0.5, 0.8, 0.0, 2.0),
        "period_jitter_us": dice.sometimes(0.4, 0.7, 0.5, 8.0),
        "unlocking_jitter_us": dice.even(1.0, 40.0),
    }


def wheel(dice: Dice, beats_per_hour: float, swing: float, lift: float) -> dict[str, Any]:
    """Return a wheel that catches up after 8 to 55 % of the impulse: a light one, a heavy one."""
    lock_share = dice.uniform(0.13, 0.22)
    way = lift * (1 - lock_share)
    speed = swing * np.pi * beats_per_hour / 3600.0
    ratio = (WHEEL_DEG_PER_BEAT - 1.4) / way
    share = dice.between((0.8, 0.12, 0.4), (0.2, 0.08, 0.55))
    return {
        "lock_share": lock_share,
        "recoil_wheel_deg": dice.uniform(0.1, 0.5),
        "wheel_acceleration": 2.3 * ratio * speed**2 / (share * way),
        "torque_waver": dice.uniform(0.02, 0.25),
        "leaving_share": dice.uniform(0.3, 1.0),
    }


def noises(dice: Dice, given: dict[str, Any]) -> dict[str, Any]:
    """Return a sound's fields."""
    unlocking = -dice.between((0.7, 9, 18), (0.15, 6, 9), (0.15, 18, 26))
    impulse = dice.between((0.7, -14, -3), (0.15, -24, -14), (0.15, 0, 6))
    banking = dice.between((0.85, -16, 0), (0.15, 0, 4))
    short = dice.even(0.1, 0.4)
    attack = dice.one_of({"contact": 0.5, "gamma": 0.25, "step": 0.25})
    hit = dice.even(10, 60)
    lowest = dice.even(1500, 4500)
    new = dice.between((0.35, 0.01, 0.1), (0.45, 0.1, 0.5), (0.2, 0.5, 0.95))
    if dice.happens(0.0, 0.4):
        new = dice.uniform(0.5, 0.95)
    doubled = dice.sometimes(0.12, 0.3, 0.1, 1.0)
    return {
        "unlocking_db": dice.pair(unlocking, 2.0),
        "impulse_db": dice.pair(impulse, 3.0),
        "drop_db": (0.0, dice.uniform(-4.0, 4.0)),
        "banking_db": dice.pair(banking, 3.0) if dice.happens(0.5, 0.7) else None,
        "lowest_hz": lowest,
        "highest_hz": dice.uniform(max(7000.0, 1.5 * lowest), 18000.0),
        "decay_ms": (short, short * dice.even(1.2, 5.0)),
        "attack": attack,
        "attack_us": (hit, hit * dice.uniform(1.0, 2.0)),
        "new_share": tuple(min(0.97, new * dice.uniform(0.6, 1.6)) for _ in range(4)),
        "strength_db": dice.uniform(0.2, 2.5),
        "tooth_db": dice.uniform(0.0, 1.2),
        "double_share": doubled,
        "double_ms": dice.even(0.08, 0.8),
        "double_db": dice.uniform(-8.0, 2.0),
        "chatter": int(dice.sometimes(0.2, 0.4, 1.0, 5.0)),
    }


def surroundings(dice: Dice, given: dict[str, Any]) -> dict[str, Any]:
    """Return a room's fields."""
    echoes = dice.uniform(3, 11) if dice.hard else dice.uniform(1, 7)
    return {
        "snr_db": dice.uniform(12, 45),
        "colour": dice.one_of({"white": 0.35, "room": 0.35, "hiss": 0.15, "hump": 0.15}),
        "breathing_db": dice.sometimes(0.2, 0.5, 0.5, 3.0),
        "hum_hz": dice.one_of({50.0: 0.6, 60.0: 0.4}) if dice.happens(0.3, 0.6) else None,
        "hum_db": dice.uniform(-10, 25),
        "echoes": int(echoes) if dice.happens(0.6, 0.9) else 0,
        "echo_db": dice.uniform(-16, -5) if dice.hard else dice.uniform(-26, -8),
        "resonances": int(dice.uniform(0, 4)),
        "knocks": int(dice.sometimes(0.05, 0.25, 1.0, 5.0)),
        "knock_db": dice.uniform(-6, 15),
    }


def machine(dice: Dice, given: dict[str, Any]) -> dict[str, Any]:
    """Return a recorder's fields."""
    rates = {48000: 0.5, 44100: 0.36, 96000: 0.04, 22050: 0.03, 32000: 0.03, 192000: 0.02}
    rate_hz = given.get("rate_hz", dice.one_of(rates))
    codecs = {"vorbis": 0.5}
    codecs |= {"opus": 0.25} if rate_hz == 48000 else {}
    codecs |= {"mp3": 0.25} if rate_hz in (32000, 44100, 48000) else {}
    codec = dice.one_of(codecs) if dice.happens(0.05, 0.35) and rate_hz < 50000 else None
    loud = dice.even(0.05, 0.9)
    return {
        "rate_hz": rate_hz,
        "clock_ppm": dice.sometimes(0.3, 0.7, -60.0, 60.0),
        "peak": dice.uniform(1.2, 4.0) if dice.happens(0.02, 0.15) else loud,
        "bits": dice.one_of({16: 0.8, 24: 0.15, None: 0.05}),
        "level_control_db": dice.sometimes(0.04, 0.25, 3.0, 12.0),
        "attack_ms": dice.even(3, 40),
        "release_ms": dice.even(150, 2000),
        "codec": codec,
        "codec_level": dice.uniform(0.2, 0.7),
    }


def alarm_clock(seed: int, **overrides: Any) -> Spec:
    """Return a pin-lever alarm clock: 12000 beats an hour, loud, rough, long in decay."""
    dice = Dice(np.random.default_rng([seed, 20]), hard=True)
    swing = overrides.get("amplitude_deg", dice.uniform(150, 260))
    lift = overrides.get("lift_deg", dice.uniform(55, 75))
    rough = {
        "beats_per_hour": 12000.0,
        "amplitude_deg": swing,
        "lift_deg": lift,
        **wheel(dice, 12000.0, swing, lift),
        "wear_deg": dice.uniform(0.5, 2.0),
        "tooth_wheel_deg": dice.uniform(0.1, 0.3),
        "lowest_hz": 1500.0,
        "highest_hz": 9000.0,
        "decay_ms": (0.4, 2.0),
        "attack": "contact",
        "attack_us": (40.0, 120.0),
        "chatter": 3,
        "codec": None,
    }
    return draw(seed, **(rough | overrides))


def clock_out_of_beat(seed: int, *, out_of_beat_ms: float = 80.0, **overrides: Any) -> Spec:
    """Return a clock far out of beat (at the line of centres, half-difference convention)."""
    beats = float(overrides.get("beats_per_hour", 10800.0))
    swing = overrides.get("amplitude_deg", 200.0)
    lift = overrides.get("lift_deg", 42.0)
    angle = swing * np.sin(np.pi * out_of_beat_ms * 1e-3 * beats / 7200.0)
    dice = Dice(np.random.default_rng([seed, 21]), hard=False)
    far = {
        "beats_per_hour": beats,
        "amplitude_deg": swing,
        "lift_deg": lift,
        "out_of_beat_deg": angle,
        "waver_deg": 1.0,
        **wheel(dice, beats, swing * 0.8, lift),
    }
    return draw(seed, **(far | overrides))
