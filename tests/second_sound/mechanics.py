"""When the parts of a lever escapement strike each other.

Each half swing is a sine of its own length and amplitude about the balance's rest point. Before
the line of centres it has what friction has left of the swing (factor exp(-pi/4Q)), after it what
the impulse has added (the inverse), so that the turning point between two impulses is `swing_deg`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from second_sound.values import Escapement

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SECONDS_PER_DAY = 86400.0
TEETH = 15
WHEEL_DEG_PER_BEAT = 360.0 / (2 * TEETH)
LATEST_CATCH = 0.85
"""The tooth reaches the impulse face before this share of the impulse is over."""


@dataclass(frozen=True, slots=True)
class Beats:
    """Every impact of every beat, in true seconds after the start of the recording."""

    side: Ints
    pair: Ints  # which of the 30 pairs of tooth and pallet
    swing_deg: Floats
    centre_s: Floats
    unlocking_s: Floats
    impulse_s: Floats
    drop_s: Floats
    banking_s: Floats

    def __len__(self) -> int:
        return len(self.side)


def work(escapement: Escapement, duration_s: float, rng: np.random.Generator) -> Beats:
    """Return the impacts of a recording, with a beat more at each end than it holds."""
    count = int(duration_s / escapement.beat_s) + 4
    first = int(rng.integers(2 * TEETH))
    pair = (first + np.arange(count)) % (2 * TEETH)
    side = pair % 2
    swing_deg = swings(escapement, pair, rng)
    halves_s = half_swings(escapement, swing_deg, rng)
    start_s = -escapement.beat_s * (0.2 + rng.random())
    passage_s = start_s + np.concatenate([[0.0], np.cumsum(halves_s[:-1])])
    half = HalfSwings(escapement, side, swing_deg, halves_s, passage_s)
    return strike(half, pair, rng)


def swings(escapement: Escapement, pair: Ints, rng: np.random.Generator) -> Floats:
    """Return each beat's amplitude: mean, AR(1) waver, drift, change once per turn of the wheel."""
    count = len(pair)
    memory = np.exp(-1.0 / max(escapement.waver_beats, 1e-6))
    waver = autoregression(count, memory, rng) * escapement.waver_deg
    elapsed_s = np.arange(count) * escapement.beat_s
    drift = escapement.drift_deg * (elapsed_s - elapsed_s.mean()) / 30.0
    turn = escapement.turn_deg * np.cos(2 * np.pi * pair / (2 * TEETH) + rng.uniform(0, 2 * np.pi))
    return np.asarray(escapement.amplitude_deg + waver + drift + turn)


def autoregression(count: int, memory: float, rng: np.random.Generator) -> Floats:
    """Return AR(1) noise of standard deviation 1 that has been going on for ever."""
    noise = rng.standard_normal(count) * np.sqrt(1 - memory**2)
    noise[0] /= np.sqrt(1 - memory**2)
    return np.asarray(lfilter([1.0], [1.0, -memory], noise))


def half_swings(escapement: Escapement, swing_deg: Floats, rng: np.random.Generator) -> Floats:
    """Return the length of each half swing: set rate, Airy's disturbance, wander, flicker, jitter.

    References
    ----------
    Airy (1826), from memory, as worked out in trade-facts 4.6: an impulse that acts `a` degrees
    after the centre costs (86400/2Q) a / sqrt(A^2 - a^2) s/day.
    """
    count = len(swing_deg)
    after = escapement.impulse_after_deg
    cost = SECONDS_PER_DAY / (2 * escapement.quality) * after / np.sqrt(swing_deg**2 - after**2)
    step = escapement.wander * np.sqrt(escapement.beat_s / 3600.0)
    walk = np.cumsum(rng.standard_normal(count)) * step
    octaves = [autoregression(count, np.exp(-1.0 / 4**level), rng) for level in range(1, 6)]
    flicker = escapement.flicker_s_per_day * np.sum(octaves, axis=0) / np.sqrt(len(octaves))
    rate = escapement.rate_s_per_day - (cost - cost.mean()) + walk + flicker
    jitter_s = rng.standard_normal(count) * escapement.period_jitter_us * 1e-6
    return np.asarray(escapement.beat_s / (1.0 + rate / SECONDS_PER_DAY) + jitter_s)


@dataclass(frozen=True, slots=True)
class HalfSwings:
    """The balance's motion, and when it comes by a given angle."""

    escapement: Escapement
    side: Ints
    swing_deg: Floats
    halves_s: Floats
    passage_s: Floats

    def sine(self, angle_deg: Floats | float, *, after_impulse: bool) -> Floats:
        """Return the sine of the phase at an angle after the line of centres (before: negative)."""
        sign = 1.0 - 2.0 * self.side
        gain = np.exp((1 if after_impulse else -1) * np.pi / (4 * self.escapement.quality))
        return np.asarray(
            (sign * self.escapement.out_of_beat_deg + angle_deg) / (self.swing_deg * gain)
        )

    def time_s(self, angle_deg: Floats | float, *, after_impulse: bool) -> Floats:
        """Return when the balance is there."""
        phase = np.arcsin(np.clip(self.sine(angle_deg, after_impulse=after_impulse), -1, 1))
        return np.asarray(self.passage_s + self.halves_s / np.pi * phase)

    def speed(self, angle_deg: Floats | float, *, after_impulse: bool) -> Floats:
        """Return how fast it is there, in degrees a second."""
        sine = self.sine(angle_deg, after_impulse=after_impulse)
        return np.asarray(self.swing_deg * np.pi / self.halves_s * np.sqrt(1 - sine**2))


def strike(half: HalfSwings, pair: Ints, rng: np.random.Generator) -> Beats:
    """Return the impacts that follow from the balance's motion."""
    escapement, side, count = half.escapement, half.side, len(pair)
    lift = escapement.lift_deg * (1.0 + escapement.lift_inequality * (1 - 2 * side))
    meets = -lift * escapement.before_share - escapement.run_deg
    leaves = lift * (1 - escapement.before_share)
    leaves = leaves + (rng.standard_normal(2 * TEETH) * escapement.wear_deg)[pair]
    acceleration = escapement.wheel_acceleration * np.clip(
        1 + rng.standard_normal(count) * escapement.torque_waver, 0.3, 3.0
    )
    drop_deg = wheel_drops(escapement, pair, rng)
    jitter_s = rng.standard_normal(count) * escapement.unlocking_jitter_us * 1e-6
    unlocking_s = half.time_s(meets, after_impulse=False) + jitter_s
    leaving_s = half.time_s(leaves, after_impulse=True)
    # The face draws back by this many degrees of the wheel for a degree of the balance.
    ratio = (WHEEL_DEG_PER_BEAT - drop_deg) / (lift * (1 - escapement.lock_share))
    impulse_s = catches(half, meets, leaving_s, acceleration, ratio)
    speed = escapement.leaving_share * ratio * half.speed(leaves, after_impulse=True)
    drop_s = leaving_s + flight_s(drop_deg, speed, acceleration)
    banking = np.array(escapement.banking_ms)[side] * 1e-3
    banking_s = drop_s + banking * np.exp(0.1 * rng.standard_normal(count))
    banking_s[rng.random(count) < escapement.banking_missing] = np.nan
    return Beats(
        side=side,
        pair=pair,
        swing_deg=half.swing_deg,
        centre_s=half.time_s(0.0, after_impulse=True),
        unlocking_s=unlocking_s,
        impulse_s=np.maximum(impulse_s, unlocking_s + 1e-4),
        drop_s=drop_s,
        banking_s=banking_s,
    )


def wheel_drops(escapement: Escapement, pair: Ints, rng: np.random.Generator) -> Floats:
    """Return each beat's free turn: the side's drop, changed by where the two teeth stand."""
    place = rng.standard_normal(TEETH) * escapement.tooth_wheel_deg
    leaving = pair // 2 % TEETH
    landing = (leaving + 1 + TEETH // 6) % TEETH  # three teeth or so are spanned
    drop = np.array(escapement.drop_wheel_deg)[pair % 2]
    return np.asarray(np.maximum(drop + place[landing] - place[leaving], 0.0))


def catches(
    half: HalfSwings, meets: Floats, leaving_s: Floats, acceleration: Floats, ratio: Floats
) -> Floats:
    """Return when the tooth, thrown back in unlocking, has caught up with the impulse face.

    The face draws back at speed v, the tooth starts with -w and gains `acceleration`:
    the gap (v + w) t - acceleration t^2 / 2 is closed after t = 2 (v + w) / acceleration.
    """
    escapement = half.escapement
    lift = escapement.lift_deg * (1.0 + escapement.lift_inequality * (1 - 2 * half.side))
    unlocked = meets + escapement.run_deg + escapement.lock_share * lift
    free_s = half.time_s(unlocked, after_impulse=False)
    unlocking_took_s = np.maximum(free_s - half.time_s(meets, after_impulse=False), 1e-5)
    recoil = 2 * escapement.recoil_wheel_deg / unlocking_took_s
    away = ratio * half.speed(unlocked, after_impulse=False)
    wait_s = 2 * (away + recoil) / acceleration
    return np.asarray(free_s + np.minimum(wait_s, LATEST_CATCH * (leaving_s - free_s)))


def flight_s(turn_deg: Floats, speed: Floats, acceleration: Floats) -> Floats:
    """Return how long the free wheel takes: turn = speed t + acceleration t^2 / 2."""
    return np.asarray((np.sqrt(speed**2 + 2 * acceleration * turn_deg) - speed) / acceleration)
