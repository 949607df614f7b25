"""HEARD_SHARE, HEARD_SIGMAS; LOUD_GAIN, COHERENT; ROOM_S.

Heard: watches with 30 % of beats missing and the rest from a tenth to all as loud, in more and more
noise. How many of the beats there are heard, how many that are not are heard too, and how far off
the worst of the heard ones are.
Loudness or waveform: bursts that are partly the same on every beat and partly new each time; each
is timed both ways, and the table says what the choice costs against the better of the two.
Room: watches with a faint unlocking; the window kept must still hold it.
"""

from dataclasses import dataclass

import numpy as np
from trial import (
    RATE_HZ,
    arrival_error_us,
    expected,
    mark,
    nearest_beat,
    some_watch,
    table,
    ticking_clips,
    tuned,
)

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound import arrival, loudness
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, Simulation, simulate
from sideshake.sound.windows import Windows
from sideshake.timing.reading import read

WATCHES = 12
SNR_DB = (20, 10, 3)
SHARES = (0.0, 0.1, 0.2, 0.3, 0.5)
SIGMAS = (2.5, 3.5, 4.5, 6.0, 8.0)
BEAT_S = 0.2
NEW_PARTS = (0.0, 0.2, 0.4, 0.6, 0.7, 0.8, 0.9, 1.0)
GAINS = (0.0, 0.5, 0.7, 0.85, 1.0, 1.5, 99.0)
COHERENTS = (0.0, 0.2, 0.3, 0.4, 0.6, 0.8, 2.0)
ROOMS_S = ((0.0, 0.0), (1e-3, 1e-3), (2.5e-3, 3e-3), (5e-3, 6e-3), (12e-3, 14e-3))


@dataclass(frozen=True, slots=True)
class Uneven:
    """A watch whose beats are not equally loud: the sound, its truth, and its windows."""

    truth: Simulation
    windows: Windows


def uneven(seed: int, snr_db: float) -> Uneven | None:
    """Return such a watch, or None if its tempo is not found."""
    random = np.random.default_rng([seed, 41])
    truth = simulate(some_watch(seed), duration_s=20, room=RoomNoise(missing_share=0.3), seed=seed)
    middles = (truth.centre_s[1:] + truth.centre_s[:-1]) / 2
    which = np.searchsorted(middles, np.arange(truth.samples.size) / RATE_HZ)
    gain = random.uniform(0.1, 1.0, truth.centre_s.size)[which]
    noise_rms = truth.noise_rms * 10 ** ((60 - snr_db) / 20)  # the quiet room's is 60 dB down
    samples = truth.samples * gain + random.normal(0, noise_rms, truth.samples.size)
    try:
        tempo, windows = expected(samples.astype(np.float32), RATE_HZ)
    except NotEnough:
        return None
    right = abs(tempo.period_s / 2 / np.mean(np.diff(truth.centre_s)) - 1) < 0.005
    return Uneven(truth, windows) if right else None


def hearing(some: list[Uneven]) -> list[object]:
    """Return the share of beats heard, of missing ones heard, and the errors (us) of the heard."""
    there, absent, errors = [], [], []
    for one in some:
        windows, found = arrival.find_arrivals(one.windows)
        beat = nearest_beat(one.truth, windows, found.shift)
        real = one.truth.heard[beat]
        there.append(np.mean(found.heard[real]))
        if not real.all():
            absent.append(np.mean(found.heard[~real]))
        moment_s = (windows.start + windows.span.lead + found.shift) / RATE_HZ
        rest = moment_s - one.truth.centre_s[beat]
        for side in (0, 1):
            mine = rest[found.heard & real & (windows.side == side)]
            if mine.size:
                errors.append(np.abs(mine - np.median(mine)) * 1e6)
    every = np.concatenate(errors)
    return [float(np.mean(there)), float(np.mean(absent)), float(np.quantile(every, 0.95)),
            int(np.count_nonzero(every > 100))]  # fmt: skip


def print_heard() -> None:
    """Print what the bars for a heard beat do."""
    watches = {
        snr_db: [one for seed in range(WATCHES) if (one := uneven(seed, snr_db))]
        for snr_db in SNR_DB
    }
    head = [
        f"{snr_db} dB {what}"
        for snr_db in SNR_DB
        for what in ("there", "absent", "q95 us", "> 100 us")
    ]
    for name, values in (("HEARD_SHARE", SHARES), ("HEARD_SIGMAS", SIGMAS)):
        rows = []
        for value in values:
            with tuned(arrival, **{name: value}):
                cells = [cell for some in watches.values() for cell in hearing(some)]
            rows.append([mark(value, CHOSEN[name]), *cells])
        table(f"{name}: share heard of beats there and of beats absent", [name, *head], rows)


@dataclass(frozen=True, slots=True)
class BothWays:
    """Arrivals of one sound timed both ways: error (us) each, or its scatter where truth lacks."""

    coherence: float
    ratio: float
    by_waveform_us: float
    by_loudness_us: float

    def chosen_us(self, gain: float, coherent: float) -> float:
        """Return the error of the way that the constants choose."""
        loud = self.coherence < coherent and self.ratio < gain
        return self.by_loudness_us if loud else self.by_waveform_us


def bursts(seed: int, new_part: float) -> Simulation:
    """Return a watch whose bursts are partly new on every beat (share of their power)."""
    random = np.random.default_rng([seed, 43])
    beats = 99
    centre_s = 0.1 + BEAT_S * np.arange(beats) + random.normal(0, 30e-6, beats)
    samples = np.zeros(round((centre_s[-1] + 0.1) * RATE_HZ))
    length = round(8e-3 * RATE_HZ)
    attack_s, decay_s = random.uniform(20e-6, 300e-6), random.uniform(0.3e-3, 1.5e-3)
    fine = np.arange(8 * length) / (8 * RATE_HZ)
    smooth = np.ones(16) / 4
    same = [np.convolve(random.normal(size=8 * length), smooth, "same") for _ in range(2)]
    for k, time_s in enumerate(centre_s):
        first = int(np.ceil(time_s * RATE_HZ))
        since_s = (first + np.arange(length)) / RATE_HZ - time_s
        shape = np.exp(-since_s / decay_s) * (1 - np.exp(-since_s / attack_s))
        common = np.interp(since_s, fine, same[k % 2])
        fresh = np.interp(
            since_s, fine, np.convolve(random.normal(size=8 * length), smooth, "same")
        )
        wave = np.sqrt(1 - new_part) * common + np.sqrt(new_part) * fresh
        samples[first : first + length] += shape * wave
    noise_rms = 0.05 * float(np.max(np.abs(samples)))
    samples += random.normal(0, noise_rms, samples.size)
    nothing = np.zeros(beats)
    return Simulation(
        samples.astype(np.float32), RATE_HZ, centre_s, nothing, nothing, nothing,
        (np.arange(beats) % 2).astype(np.int8), np.ones(beats, np.bool_), nothing, noise_rms,
    )  # fmt: skip


def both_ways(samples: np.ndarray, rate_hz: int, truth: Simulation | None) -> BothWays:
    """Return the arrivals of one sound both ways."""
    _, windows = expected(samples, rate_hz)
    errors, scatters, alike = [], [], 0.0
    for loud in (False, True):
        with tuned(arrival, sounds_clearer=lambda *_, loud=loud, **__: loud):
            cut, found = arrival.find_arrivals(windows)
        scatter = arrival.scatter_of(cut, found.shift, found.heard)
        scatters.append(scatter)
        alike = alike if loud else found.coherence
        errors.append(
            scatter / rate_hz * 1e6 if truth is None else arrival_error_us(truth, cut, found)
        )
    return BothWays(alike, scatters[1] / scatters[0], *errors)


def print_choice() -> None:
    """Print when loudness tells more than the waveform, and what the choice costs."""
    some = {part: [burst_ways(seed, part) for seed in range(WATCHES // 2)] for part in NEW_PARTS}
    rows = [[part, *medians(each)] for part, each in some.items()]
    rows += [[one.name, *medians([both_ways(one.samples, one.rate_hz, None)])]
             for one in ticking_clips()]  # fmt: skip
    head = ["coherence", "scatter ratio", "waveform us", "loudness us"]
    table("New on each beat; clips: scatter, not error", ["new part", *head], rows)
    every = [one for each in some.values() for one in each]
    for name, values in (("LOUD_GAIN", GAINS), ("COHERENT", COHERENTS)):
        rows = []
        for value in values:
            with tuned(arrival, **{name: value}):
                loss = [
                    one.chosen_us(arrival.LOUD_GAIN, arrival.COHERENT)
                    / min(one.by_waveform_us, one.by_loudness_us)
                    for one in every
                ]
            rows.append([
                mark(value, CHOSEN[name]), float(np.mean(loss)), max(loss), sum(x > 1 for x in loss)
            ])  # fmt: skip
        head = ["mean loss", "worst", f"not the better (of {len(every)})"]
        table(f"{name}: error over that of the better way", [name, *head], rows)


def burst_ways(seed: int, part: float) -> BothWays:
    """Return the bursts timed both ways."""
    truth = bursts(seed, part)
    return both_ways(truth.samples, RATE_HZ, truth)


def medians(some: list[BothWays]) -> list[object]:
    """Return the median of each figure."""
    figures = [[x.coherence, x.ratio, x.by_waveform_us, x.by_loudness_us] for x in some]
    return [float(each) for each in np.median(figures, axis=0)]


def print_room() -> None:
    """Print what the room kept around the loud part does to amplitude and arrivals."""
    cases = []
    for seed in range(3 * WATCHES):
        random = np.random.default_rng([seed, 47])
        watch = SimulatedWatch(
            beats_per_hour=float(random.choice([18000, 28800])),
            amplitude_deg=random.uniform(190, 310),
            unlock_level=random.uniform(0.08, 0.4),
        )
        room = RoomNoise(snr_db=random.uniform(8, 30))
        cases.append((watch, simulate(watch, duration_s=15, room=room, seed=seed)))
    rows = []
    for value in ROOMS_S:
        errors_deg, errors_us = [], []
        with tuned(loudness, ROOM_S=value):
            for watch, truth in cases:
                listener = Listener(truth.rate_hz)
                listener.feed(truth.samples)
                lift = Measured(52.0, 0.0)
                swing = read(listener.hear(), lift_angle_deg=lift, said_watch=True).amplitude_deg
                errors_deg.append(np.nan if swing is None else swing.value - watch.amplitude_deg)
                windows = expected(truth.samples, truth.rate_hz)[1]
                errors_us.append(arrival_error_us(truth, *arrival.find_arrivals(windows)))
        off = np.abs(errors_deg)
        rows.append([
            mark(value, CHOSEN["ROOM_S"]), int(np.sum(off < 2)), int(np.sum(off >= 2)),
            int(np.sum(np.isnan(off))), float(np.nanmedian(off)), float(np.median(errors_us)),
        ])  # fmt: skip
    head = ["ROOM_S", "within 2 deg", "farther off", "none", "median off", "arrival error us"]
    table(f"ROOM_S: amplitudes of {len(cases)} watches with a faint unlocking", head, rows)


CHOSEN = {
    "HEARD_SHARE": arrival.HEARD_SHARE, "HEARD_SIGMAS": arrival.HEARD_SIGMAS,
    "LOUD_GAIN": arrival.LOUD_GAIN, "COHERENT": arrival.COHERENT, "ROOM_S": loudness.ROOM_S,
}  # fmt: skip


def main() -> None:
    """Print all three questions' tables."""
    print_heard()
    print_choice()
    print_room()


if __name__ == "__main__":
    main()
