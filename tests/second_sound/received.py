"""The sound of one watch where it is heard: every impact, the case, the echoes; no noise yet."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import firwin, resample_poly, sosfilt

from second_sound.impacts import Force, Grid, loudest_energy, struck
from second_sound.mechanics import TEETH, Beats
from second_sound.values import Pair, Recorder, Room, Sound

Floats = NDArray[np.float64]

LOWEST_HZ, HIGHEST_HZ = 1000.0, 20000.0
"""The band in which levels are measured."""

INTERNAL_HZ = 88000.0
"""Impacts are computed at a multiple of the recorder's rate that is not below this."""

LEAD = 24
"""Samples before an onset that a row holds: the anti-alias filter is symmetric and rings there."""

KINDS = ("unlocking", "impulse", "drop", "banking")
NOISE_MODES = 14


@dataclass(frozen=True, slots=True)
class Received:
    """A watch's samples, and the levels measured on its impacts one by one."""

    samples: Floats
    unlocking_db: Pair
    impulse_db: Pair
    drop_power: float  # mean of the drops' loudest milliseconds, in the band


@dataclass(frozen=True, slots=True)
class Voice:
    """The resonances of one kind of impact on one pallet."""

    force: Force
    pole: NDArray[np.complex128]
    weight: NDArray[np.complex128]
    noise_pole: NDArray[np.complex128]
    noise_weight: Floats


@dataclass(frozen=True, slots=True)
class Bench:
    """What all impacts of a recording share."""

    rate_hz: float  # true samples per second
    above: int  # internal samples per sample
    row: int  # samples of a row
    case: Floats  # second-order sections at the internal rate

    @property
    def width(self) -> int:
        return max(1, round(1e-3 * self.rate_hz))


def receive(
    beats: Beats, sound: Sound, room: Room, recorder: Recorder, count: int, seed: int
) -> Received:
    """Return `count` samples of the watch."""
    rng = np.random.default_rng([seed, 2])
    above = int(np.ceil(INTERNAL_HZ / recorder.rate_hz))
    rate_hz = recorder.true_rate_hz
    tail_s = min(9e-3 + 7e-3 * sound.decay_ms[1], 0.03)
    bench = Bench(rate_hz, above, int(tail_s * rate_hz), case(room, rate_hz * above, rng))
    span_hz = audible(sound, recorder)
    pool_hz = np.exp(rng.uniform(*np.log(span_hz), 7))
    tooth = 10 ** (rng.standard_normal(2 * TEETH) * sound.tooth_db / 20)
    placed = Placed(np.zeros(count + 2 * bench.row), bench)
    energy = np.full((len(KINDS), 2), np.nan)
    for kind, name in enumerate(KINDS):
        for side in (0, 1):
            level = getattr(sound, f"{name}_db")
            spoken = voice(sound, span_hz, pool_hz, rng)
            if level is None:
                continue
            chosen = (beats.side == side) & np.isfinite(getattr(beats, f"{name}_s"))
            strength = tooth[beats.pair[chosen]] * hardness(beats, chosen, sound, rng)
            blows = Blows(
                getattr(beats, f"{name}_s")[chosen],
                strength * 10 ** (level[side] / 20),
                sound.new_share[kind],
            )
            energy[kind, side] = placed.strike(spoken, blows, rng)
            if name == "drop":
                for again in repeats(blows, sound, rng):
                    placed.strike(spoken, again, rng)
    samples = placed.samples[bench.row : bench.row + count]
    level_db = 10 * np.log10(energy / energy[KINDS.index("drop")])
    return Received(
        samples=echoed(samples, room, rate_hz, np.random.default_rng([seed, 3])),
        unlocking_db=(float(level_db[0, 0]), float(level_db[0, 1])),
        impulse_db=(float(level_db[1, 0]), float(level_db[1, 1])),
        drop_power=float(np.mean(energy[KINDS.index("drop")]) / bench.width),
    )


def hardness(
    beats: Beats, chosen: NDArray[np.bool_], sound: Sound, rng: np.random.Generator
) -> Floats:
    """Return how strongly each impact strikes: as fast as the balance swings, and scatter."""
    swing = beats.swing_deg[chosen] / beats.swing_deg.mean()
    return np.asarray(swing * 10 ** (rng.standard_normal(len(swing)) * sound.strength_db / 20))


@dataclass(frozen=True, slots=True)
class Blows:
    """Impacts of one voice: when, how strong, and how much of the energy is new each time."""

    onset_s: Floats
    strength: Floats
    new_share: float


def repeats(blows: Blows, sound: Sound, rng: np.random.Generator) -> list[Blows]:
    """Return the drops that fall twice, and the lever's chatter."""
    more = []
    if sound.double_share > 0:
        twice = rng.random(len(blows.onset_s)) < sound.double_share
        delay_s = sound.double_ms * 1e-3 * np.exp(0.15 * rng.standard_normal(int(twice.sum())))
        weaker = blows.strength[twice] * 10 ** (sound.double_db / 20)
        more.append(Blows(blows.onset_s[twice] + delay_s, weaker, blows.new_share))
    onset_s = blows.onset_s
    for bounce in range(sound.chatter):
        onset_s = onset_s + rng.uniform(0.3e-3, 1.5e-3, len(onset_s)) * 0.8**bounce
        fainter = blows.strength * 10 ** (rng.uniform(-14, -5, len(onset_s)) / 20) * 0.8**bounce
        more.append(Blows(onset_s, fainter, 0.7))
    return [each for each in more if len(each.onset_s)]


@dataclass(frozen=True, slots=True)
class Placed:
    """The samples, beginning one row before the recording and ending one after it."""

    samples: Floats
    bench: Bench

    def strike(self, spoken: Voice, blows: Blows, rng: np.random.Generator) -> float:
        """Add impacts and return the mean energy of their loudest millisecond in the band."""
        bench = self.bench
        place = blows.onset_s * bench.rate_hz
        inside = (place >= LEAD - bench.row) & (place < len(self.samples) - 2 * bench.row + LEAD)
        if not inside.any():
            return float("nan")
        whole = np.floor(place[inside]).astype(np.int64)
        grid = Grid(
            bench.rate_hz * bench.above,
            bench.row * bench.above,
            (place[inside] - whole + LEAD) / bench.rate_hz,
        )
        rows = spoken_rows(spoken, grid, blows.new_share, rng)
        rows = decimated(sosfilt(bench.case, rows, axis=1), bench.above)
        rows[:, -bench.row // 8 :] *= np.linspace(1, 0, bench.row // 8 + (bench.row % 8 > 0))
        heard = loudest_energy(in_band(rows, bench.rate_hz), bench.width)
        strength = blows.strength[inside] / np.sqrt(heard.mean())
        rows *= strength[:, None]
        at = whole[:, None] + np.arange(bench.row) + (bench.row - LEAD)
        self.samples[at] += rows  # impacts of one voice are a beat or two apart
        return float(np.mean(heard * strength**2))


def spoken_rows(spoken: Voice, grid: Grid, new_share: float, rng: np.random.Generator) -> Floats:
    """Return the impacts before the case: what repeats, and what is new each time."""
    count = len(grid.offset_s)
    width = max(1, round(1e-3 * grid.rate_hz))
    same = struck(spoken.force, spoken.pole, np.tile(spoken.weight, (count, 1)), grid)
    same *= np.sqrt((1 - new_share) / loudest_energy(same[:1], width)[0])
    if new_share <= 0:
        return same
    drawn = rng.standard_normal((2, count, len(spoken.noise_pole)))
    weight = (drawn[0] + 1j * drawn[1]) * spoken.noise_weight
    new = struck(spoken.force, spoken.noise_pole, weight, grid)
    return same + new * np.sqrt(new_share / loudest_energy(new, width).mean())


def audible(sound: Sound, recorder: Recorder) -> Pair:
    """Return the span of resonances that the recorder can hold: the rest would only be lost."""
    highest = min(sound.highest_hz, 0.42 * recorder.rate_hz)
    return min(sound.lowest_hz, 0.7 * highest), highest


def voice(sound: Sound, span_hz: Pair, pool_hz: Floats, rng: np.random.Generator) -> Voice:
    """Return resonances of the watch's pool and own ones, with random phases and levels."""
    count = int(rng.integers(sound.modes[0], sound.modes[1] + 1))
    shared = rng.choice(pool_hz, count, replace=False) * np.exp(0.01 * rng.standard_normal(count))
    own = np.exp(rng.uniform(*np.log(span_hz), count))
    hz = np.where(rng.random(count) < 0.6, shared, own)
    decay_s = np.exp(rng.uniform(*np.log(np.array(sound.decay_ms) * 1e-3), count))
    loudness = 10 ** (rng.uniform(-10, 0, count) / 20)
    length_s = float(np.exp(rng.uniform(*np.log(np.array(sound.attack_us) * 1e-6))))
    force = Force(sound.attack, length_s)
    pole = -1 / decay_s + 2j * np.pi * hz
    noise_hz = rng.choice(hz, NOISE_MODES) * np.exp(0.25 * rng.standard_normal(NOISE_MODES))
    noise_hz = np.clip(noise_hz, 0.8 * span_hz[0], min(18000.0, 1.1 * span_hz[1]))
    noise_s = rng.choice(decay_s, NOISE_MODES) * np.exp(0.2 * rng.standard_normal(NOISE_MODES))
    noise_pole = -1 / noise_s + 2j * np.pi * noise_hz
    return Voice(
        force=force,
        pole=pole,
        weight=evened(force, pole, loudness) * np.exp(2j * np.pi * rng.random(count)),
        noise_pole=noise_pole,
        noise_weight=evened(force, noise_pole, np.ones(NOISE_MODES)),
    )


def evened(force: Force, pole: NDArray[np.complex128], loudness: Floats) -> Floats:
    """Return weights that give each resonance its share of the energy, long or short.

    A force lasting longer than a period hardly excites it: that is kept, in part.
    """
    gain = np.abs(force.gain(pole)) / np.max(np.abs(force.gain(pole)))
    return np.asarray(loudness * np.sqrt(-pole.real) / np.sqrt(np.maximum(gain, 1e-3)))


def case(room: Room, rate_hz: float, rng: np.random.Generator) -> Floats:
    """Return causal sections: the microphone's lower edge, and peaks of the case (RBJ biquads)."""
    sections = [high_pass(float(rng.uniform(60, 250)), rate_hz)]
    for _ in range(room.resonances):
        hz = float(np.exp(rng.uniform(np.log(1200), np.log(9000))))
        sections.append(peak(hz, float(rng.uniform(1.5, 7)), float(rng.uniform(-4, 10)), rate_hz))
    return np.array(sections)


def peak(hz: float, quality: float, gain_db: float, rate_hz: float) -> Floats:
    """Return one peaking section (Bristow-Johnson's cookbook, from memory)."""
    turn = 2 * np.pi * hz / rate_hz
    alpha, root = np.sin(turn) / (2 * quality), 10 ** (gain_db / 40)
    b = np.array([1 + alpha * root, -2 * np.cos(turn), 1 - alpha * root])
    a = np.array([1 + alpha / root, -2 * np.cos(turn), 1 - alpha / root])
    return np.concatenate([b, a]) / a[0]


def high_pass(hz: float, rate_hz: float) -> Floats:
    """Return one high-pass section of second order (the same source)."""
    turn = 2 * np.pi * hz / rate_hz
    alpha, cosine = np.sin(turn) / np.sqrt(2), np.cos(turn)
    b = np.array([(1 + cosine) / 2, -(1 + cosine), (1 + cosine) / 2])
    a = np.array([1 + alpha, -2 * cosine, 1 - alpha])
    return np.concatenate([b, a]) / a[0]


def decimated(rows: Floats, above: int) -> Floats:
    """Return every `above`-th sample after a symmetric low pass without delay."""
    if above == 1:
        return rows
    taps = firwin(2 * 12 * above + 1, 0.93 / above, window=("kaiser", 7.0))
    return np.asarray(resample_poly(rows, 1, above, axis=1, window=taps))


def in_band(rows: Floats, rate_hz: float) -> Floats:
    """Return rows with only 1 to 20 kHz (or 0.45 of the rate) in them."""
    spectrum = np.fft.rfft(rows, axis=1)
    hz = np.fft.rfftfreq(rows.shape[1], 1 / rate_hz)
    spectrum[:, (hz < LOWEST_HZ) | (hz > band_end_hz(rate_hz))] = 0
    return np.fft.irfft(spectrum, rows.shape[1], axis=1)


def band_end_hz(rate_hz: float) -> float:
    """Return where the band of levels ends."""
    return min(HIGHEST_HZ, 0.45 * rate_hz)


def echoed(samples: Floats, room: Room, rate_hz: float, rng: np.random.Generator) -> Floats:
    """Return the sound with its echoes: later ones are weaker, each of random sign."""
    heard = samples.copy()
    delays_ms = np.sort(rng.uniform(*room.echo_ms, room.echoes))
    for delay_ms in delays_ms:
        fall_db = room.echo_db - 1.2 * (delay_ms - room.echo_ms[0]) + rng.uniform(-3, 3)
        gain = rng.choice([-1.0, 1.0]) * 10 ** (fall_db / 20)
        late = max(1, round(delay_ms * 1e-3 * rate_hz))
        heard[late:] += gain * samples[:-late]
    return heard
