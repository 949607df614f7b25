"""A watch that does not exist, heard in a room that does not exist: sound with known truth.

The balance swings as A sin(wt) about a rest point that lies an angle e away from the
escapement's centre line; the impulse pin unlocks at half the lift angle before that line and the
drop comes at half the lift angle after it. Each passage makes three noises (unlocking, impulse,
drop), each a handful of damped resonances of movement and case.
Units: seconds, degrees, full scale is 1.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import SECONDS_PER_DAY
from sideshake.sound.noise import RoomNoise, background, echo

PEAK = 0.3
"""Loudest drop noise, of full scale, at gain 1."""
RESONANCES_HZ = (2900.0, 5300.0, 7900.0, 11700.0, 15300.0)
NYQUIST_SHARE = 0.45
ATTACK_S = (20e-6, 70e-6)
"""Time constant of a noise's onset, drawn for each noise and side (our assumption)."""
NOISE_LENGTH_S = 0.012
IMPULSE_SHARE = 0.28
"""Where the second noise comes, as a share of the way from unlocking to drop (from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DisturbingWheel:
    """A wheel that disturbs the balance once a turn: delays beats, and takes amplitude."""

    period_s: float
    delay_ms: float = 0.0
    amplitude_deg: float = 0.0
    phase_rad: float = 0.0

    def __post_init__(self) -> None:
        if not self.period_s > 0:
            raise InputError(f"a wheel's period must be above 0 s, got {self.period_s}")

    def wave(self, times_s: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the disturbance's course, between -1 and 1, at each time."""
        return np.asarray(np.sin(2 * np.pi * times_s / self.period_s + self.phase_rad))


@dataclass(frozen=True, slots=True, kw_only=True)
class SimulatedWatch:
    """How the watch goes. Beat error is half the difference of alternate intervals."""

    beats_per_hour: float = 18000.0
    rate_s_per_day: float = 0.0
    amplitude_deg: float = 270.0
    lift_angle_deg: float = 52.0
    beat_error_ms: float = 0.0
    jitter_us: float = 10.0
    wheels: tuple[DisturbingWheel, ...] = ()
    unlock_level: float = 0.45
    impulse_level: float = 0.3

    def __post_init__(self) -> None:
        if not self.beats_per_hour > 0:
            raise InputError(f"beats per hour must be above 0, got {self.beats_per_hour}")
        if not 0 < self.lift_angle_deg / 2 + self.rest_offset_deg < self.amplitude_deg < 400:
            raise InputError(
                f"an amplitude of {self.amplitude_deg} degrees cannot carry a lift angle of "
                f"{self.lift_angle_deg} degrees with a beat error of {self.beat_error_ms} ms"
            )

    @property
    def beat_s(self) -> float:
        """Return the true time of one beat."""
        return 3600.0 / self.beats_per_hour / (1.0 + self.rate_s_per_day / SECONDS_PER_DAY)

    @property
    def rest_offset_deg(self) -> float:
        """Return the angle by which the balance is out of beat."""
        turn = math.pi * self.beat_error_ms * 1e-3 / (2 * self.beat_s)
        return self.amplitude_deg * math.sin(turn)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorder:
    """The recorder: its sample rate, how fast its clock is, and its gain (clips at full scale)."""

    rate_hz: int = 48000
    clock_ppm: float = 0.0
    gain: float = 1.0

    def __post_init__(self) -> None:
        if self.rate_hz < 1000:
            raise InputError(f"a sample rate below 1000 Hz cannot carry ticks: {self.rate_hz}")


@dataclass(frozen=True, slots=True)
class Simulation:
    """The sound and the truth behind it. Times are true seconds, one a beat; sides are 0 and 1."""

    samples: NDArray[np.float32]
    rate_hz: int
    centre_s: NDArray[np.float64]
    unlock_s: NDArray[np.float64]
    drop_s: NDArray[np.float64]
    amplitude_deg: NDArray[np.float64]
    side: NDArray[np.int8]
    heard: NDArray[np.bool_]
    pulse: NDArray[np.float64] = field(repr=False)
    noise_rms: float


def simulate(
    watch: SimulatedWatch,
    *,
    duration_s: float,
    room: RoomNoise | None = None,
    recorder: Recorder | None = None,
    seed: int = 0,
) -> Simulation:
    """Return `duration_s` of the watch's sound and the truth behind it.

    `pulse` is the first side's whole tick as sampled, `noise_rms` the white noise added to it:
    what a Cramer-Rao bound needs.

    Raises
    ------
    InputError : `duration_s` is shorter than two beats
    """
    room, recorder = room or RoomNoise(), recorder or Recorder()
    if duration_s < 2 * watch.beat_s:
        raise InputError(f"{duration_s} s is shorter than two beats of {watch.beat_s:.3f} s")
    random = np.random.default_rng(seed)
    centre_s, amplitude_deg, side = swings(watch, duration_s, random)
    unlock_s, drop_s = escapes(watch, centre_s, amplitude_deg, side)
    heard = random.random(centre_s.size) >= room.missing_share
    true_rate_hz = recorder.rate_hz * (1.0 + recorder.clock_ppm * 1e-6)
    voice = Voice(watch, true_rate_hz, random)
    dry = np.zeros(round(duration_s * recorder.rate_hz))
    for which, times_s in enumerate(
        (unlock_s, unlock_s + IMPULSE_SHARE * (drop_s - unlock_s), drop_s)
    ):
        for one in (0, 1):
            voice.speak(dry, times_s[heard & (side == one)], side=one, noise=which)
    wet = echo(dry, recorder.rate_hz, room)
    pulse = single_pulse(voice, unlock_s[0], drop_s[0], recorder.rate_hz, room)
    power = loudest_ms_power(pulse, recorder.rate_hz)
    scale = PEAK * recorder.gain / np.max(np.abs(pulse))
    noise_rms = math.sqrt(power) * 10 ** (-room.snr_db / 20)
    samples = scale * (wet + background(wet.size, recorder.rate_hz, room, noise_rms, random))
    return Simulation(
        np.clip(samples, -1, 1).astype(np.float32), recorder.rate_hz, centre_s, unlock_s, drop_s,
        amplitude_deg, side, heard, scale * pulse, scale * noise_rms,
    )  # fmt: skip


def swings(
    watch: SimulatedWatch, duration_s: float, random: np.random.Generator
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int8]]:
    """Return when the balance passes rest, its amplitude then (deg), and the side (0, 1)."""
    first_s = random.uniform(0.3, 1.0) * watch.beat_s
    count = int((duration_s - first_s) / watch.beat_s) + 1
    even_s = first_s + watch.beat_s * np.arange(count, dtype=np.float64)
    side = ((np.arange(count) + random.integers(2)) % 2).astype(np.int8)
    delay_s = random.normal(0, watch.jitter_us * 1e-6, count)
    amplitude_deg = np.full(count, watch.amplitude_deg)
    for wheel in watch.wheels:
        wave = wheel.wave(even_s)
        delay_s += wheel.delay_ms * 1e-3 * wave
        amplitude_deg -= wheel.amplitude_deg * wave
    return even_s + delay_s, amplitude_deg, side


def escapes(
    watch: SimulatedWatch,
    centre_s: NDArray[np.float64],
    amplitude_deg: NDArray[np.float64],
    side: NDArray[np.int8],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the times of unlocking and of drop of each beat."""
    offset_deg = np.where(side == 0, -1, 1) * watch.rest_offset_deg
    half_deg = watch.lift_angle_deg / 2
    swing = watch.beat_s / math.pi
    unlock_s = centre_s + swing * np.arcsin((offset_deg - half_deg) / amplitude_deg)
    drop_s = centre_s + swing * np.arcsin((offset_deg + half_deg) / amplitude_deg)
    return unlock_s, drop_s


class Voice:
    """How this watch's three noises sound, on each side."""

    def __init__(self, watch: SimulatedWatch, rate_hz: float, random: np.random.Generator) -> None:
        """Draw the resonances' shares and phases anew: no two watches sound alike."""
        self.rate_hz = rate_hz
        wanted = np.array(RESONANCES_HZ) * random.uniform(0.9, 1.1, len(RESONANCES_HZ))
        self.freq_hz = wanted[wanted < NYQUIST_SHARE * rate_hz]
        shape = (2, 3, self.freq_hz.size)
        self.decay_s = random.uniform(0.25e-3, 0.9e-3, self.freq_hz.size)
        self.phase = random.uniform(-0.6, 0.6, shape)
        weights = random.uniform(0.4, 1.0, shape)
        self.weight = weights / np.sqrt(np.sum(weights**2, axis=2, keepdims=True))
        self.attack_s = random.uniform(*ATTACK_S, (2, 3))
        levels = np.array([watch.unlock_level, watch.impulse_level, 1.0])
        self.weight *= (levels * random.uniform(0.85, 1.15, (2, 3)))[:, :, None]

    def speak(
        self, into: NDArray[np.float64], times_s: NDArray[np.float64], *, side: int, noise: int
    ) -> None:
        """Add one noise at each time to the samples `into`; each starts between samples."""
        start = np.ceil(times_s * self.rate_hz).astype(np.intp)
        at = start[:, None] + np.arange(round(NOISE_LENGTH_S * self.rate_hz))
        since_s = at / self.rate_hz - times_s[:, None]
        wave = np.zeros_like(since_s)
        for k in range(self.freq_hz.size):
            turn = 2 * np.pi * self.freq_hz[k] * since_s + self.phase[side, noise, k]
            wave += self.weight[side, noise, k] * np.exp(-since_s / self.decay_s[k]) * np.sin(turn)
        wave *= 1 - np.exp(-since_s / self.attack_s[side, noise])
        inside = (at >= 0) & (at < into.size)
        np.add.at(into, at[inside], wave[inside])


def single_pulse(
    voice: Voice, unlock_s: float, drop_s: float, rate_hz: int, room: RoomNoise
) -> NDArray[np.float64]:
    """Return one tick of side 0 alone, with its echo."""
    lead_s = 1e-3
    span_s = drop_s - unlock_s
    alone = np.zeros(round((lead_s + span_s + 2 * NOISE_LENGTH_S) * rate_hz))
    for which, share in enumerate((0.0, IMPULSE_SHARE, 1.0)):
        voice.speak(alone, np.array([lead_s + share * span_s]), side=0, noise=which)
    return echo(alone, rate_hz, room)


def loudest_ms_power(pulse: NDArray[np.float64], rate_hz: int) -> float:
    """Return the mean square of the pulse's loudest millisecond."""
    width = max(1, round(rate_hz * 1e-3))
    return float(np.max(np.convolve(pulse**2, np.full(width, 1 / width), mode="valid")))
