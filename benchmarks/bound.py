"""How near is the scatter of arrival times to the best that white noise allows?

Cramer-Rao bound for the time of arrival of a known pulse s in white noise of variance sigma^2 per
sample (Kay 1993, Fundamentals of Statistical Signal Processing: Estimation Theory, par. 3.11):
var >= sigma^2 / sum(s'^2), the derivative taken in the frequency domain. Each side has a pulse of
its own, cut noiseless out of the simulation with the same seed, so that the bound is what a
listener could reach who knew it. Without jitter such beats are more even than a watch's, so the ear
is told that it is one.
"""

import argparse
import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from show import mark, say, show
from trial import Trial

from sideshake.core.errors import NotEnough
from sideshake.sound.band import HIGH_HZ, LOW_HZ
from sideshake.sound.line import fit_line
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, Simulation

Floats = NDArray[np.float64]

SNRS_DB = (20.0, 15.0, 10.0, 6.0, 3.0, 0.0, -3.0)
PER_HOUR = (18000.0, 28800.0)
SEEDS, QUICK_SEEDS = 6, 2
TARGET = 1.5
NOISELESS_DB = 300.0
DURATION_S = 30.0
STRONGEST = 1
LEAD_SHARE, TAIL_SHARE = 0.15, 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Rms scatter of arrivals about truth (s), the bounds (s), and the beats found and sought.

    `whole_s` uses all frequencies, `band_s` only those that the ear listens to; `robust_s` is the
    scatter by the median absolute error, which slipped beats do not touch.
    """

    rms_s: float
    robust_s: float
    whole_s: float
    band_s: float
    found: int
    sought: int


def bound_s(pulse: Floats, rate_hz: int, noise_rms: float, band_hz: tuple[float, float]) -> float:
    """Return the Cramer-Rao bound (s) for a pulse within a band of frequencies."""
    spectrum = fft.rfft(pulse)
    freq_hz = fft.rfftfreq(pulse.size, 1 / rate_hz)
    inside = (freq_hz >= band_hz[0]) & (freq_hz <= band_hz[1])
    slope = fft.irfft(np.where(inside, 2j * np.pi * freq_hz * spectrum, 0), pulse.size)
    return noise_rms / math.sqrt(float(np.sum(slope**2)))


def pulses_of(trial: Trial) -> list[Floats]:
    """Return the pulse of each side: one beat of the same watch without noise."""
    quiet = replace(trial, room=replace(trial.room, snr_db=NOISELESS_DB)).simulation()
    pulses = []
    for side in (0, 1):
        middle = np.flatnonzero(quiet.side == side)[2]
        start = quiet.centre_s[middle] - LEAD_SHARE * trial.watch.beat_s
        end = quiet.centre_s[middle] + TAIL_SHARE * trial.watch.beat_s
        cut = quiet.samples[round(start * quiet.rate_hz) : round(end * quiet.rate_hz)]
        pulses.append(cut.astype(np.float64))
    return pulses


def scatter_of(trial: Trial) -> Scatter | None:
    """Return the scatter of a trial's arrivals, or None if no watch is heard."""
    simulation = trial.simulation()
    try:
        beats = trial.reading(simulation, said_watch=True).heard.beats
    except NotEnough:
        return None
    error_s, found = errors_of(beats.arrival_s, simulation)
    centred = error_s - fit_line(found.astype(float), np.zeros(found.size, np.int8), error_s).at(
        np.zeros(found.size), np.zeros(found.size, np.int8)
    )
    side = simulation.side[found]
    for one in (0, 1):
        centred[side == one] -= np.median(centred[side == one])
    pulses = pulses_of(trial)
    whole = [bound_s(p, simulation.rate_hz, simulation.noise_rms, (0, np.inf)) for p in pulses]
    band = [bound_s(p, simulation.rate_hz, simulation.noise_rms, (LOW_HZ, HIGH_HZ)) for p in pulses]
    return Scatter(
        rms_s=float(np.sqrt(np.mean(centred**2))),
        robust_s=float(1.4826 * np.median(np.abs(centred))),
        whole_s=float(np.sqrt(np.mean(np.square(whole)))),
        band_s=float(np.sqrt(np.mean(np.square(band)))),
        found=int(found.size),
        sought=int(simulation.centre_s.size),
    )


def errors_of(arrival_s: Floats, simulation: Simulation) -> tuple[Floats, NDArray[np.intp]]:
    """Return arrival minus true passage of each beat heard, and which true beat each is."""
    offset = np.median(arrival_s - simulation.centre_s[nearest(arrival_s, simulation.centre_s)])
    which = nearest(arrival_s - offset, simulation.centre_s)
    return arrival_s - simulation.centre_s[which], which


def nearest(times_s: Floats, among_s: Floats) -> NDArray[np.intp]:
    """Return the place of the nearest of the rising `among_s` for each time."""
    right = np.clip(np.searchsorted(among_s, times_s), 1, among_s.size - 1)
    left_is_nearer = times_s - among_s[right - 1] < among_s[right] - times_s
    return right - left_is_nearer


def row_of(per_hour: float, snr_db: float, seeds: range) -> list[str]:
    """Return a row of the table: medians over the seeds."""
    scatters = [
        scatter_of(
            Trial(
                watch=SimulatedWatch(beats_per_hour=per_hour, jitter_us=0.0),
                room=RoomNoise(snr_db=snr_db), duration_s=DURATION_S, seed=seed,
            )
        )
        for seed in seeds
    ]  # fmt: skip
    heard = [scatter for scatter in scatters if scatter is not None]
    name = f"{per_hour:.0f}/h, {snr_db:g} dB"
    if not heard:
        return [name, f"0 of {len(scatters)}", *["-"] * 7]
    ratio = np.array([scatter.rms_s / scatter.whole_s for scatter in heard])
    return [
        name,
        f"{len(heard)} of {len(scatters)}",
        f"{100 * sum(s.found for s in heard) / sum(s.sought for s in heard):.1f} %",
        f"{1e6 * np.median([s.whole_s for s in heard]):.3f}",
        f"{1e6 * np.median([s.rms_s for s in heard]):.3f}",
        f"{np.median(ratio):.2f}",
        f"{ratio.max():.2f}",
        f"{np.median([s.rms_s / s.band_s for s in heard]):.2f}",
        f"{np.median([s.robust_s / s.whole_s for s in heard]):.2f}",
        mark(float(np.median(ratio)) <= TARGET),
    ]


def report(*, quick: bool = False) -> None:
    """Print the scatter against the bound."""
    seeds = range(QUICK_SEEDS if quick else SEEDS)
    columns = (
        "setting", "watches", "beats", "bound µs", "rms µs", "ratio", "worst", "in our band",
        "robust", "",
    )  # fmt: skip
    rows = [row_of(per_hour, snr_db, seeds) for per_hour in PER_HOUR for snr_db in SNRS_DB]
    show("Arrival times against the Cramer-Rao bound, white noise, no jitter", columns, rows)
    say(
        "Ratio: rms scatter about the true times, against the bound that knows the pulse of each\n"
        f"side; wanted at most {TARGET}. 'In our band' uses only {LOW_HZ:.0f} to {HIGH_HZ:.0f} Hz "
        "for the bound; 'robust' judges the\nscatter by its median, so beats taken a whole cycle "
        "early or late do not count. What else stands between:\nthe pulse is the average of the "
        "other beats, aligned to whole samples, and itself noisy; its faint parts\nare gated away; "
        "the window ends before the echo does; noise is whitened by an estimate."
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    report(quick=parser.parse_args().quick)
