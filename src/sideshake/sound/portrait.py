"""The portrait: the averaged tick and tock, and where in them unlocking and drop begin.

Averaging a page's beats lifts the tick out of the noise; the onset of each noise is then where the
loudness rises most steeply. The spread of the onsets over bootstrap averages (beats drawn anew with
Poisson weights) is their statistical uncertainty.
Shapes: rows are averages (all beats; bootstrap draws; groups in time), columns are fine samples.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.arrival import Arrivals, scatter_of
from sideshake.sound.average import turned_back
from sideshake.sound.onset import choose_onsets, envelope_power, own_shifts, sharp_onsets, steepest
from sideshake.sound.windows import Waves, Windows

Floats = NDArray[np.float64]

FINER = 4
DRAWS = 16
GROUP_S = 10.0
LEAST_BEATS = 4
ENVELOPE_FREEDOM = 3.0
"""Independent values of a squared envelope within `AFTER_S`, in our band."""
CROP_S = 3e-3
ALIKE, RIGID = 0.8, 0.85
"""Coherence above which waves may be averaged as they are, and above which the noises of a tick do
not move against each other: design/portrait.py."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Onsets:
    """Where the noises of one side begin, against the arrival time (s), NaN where not found.

    Shape (rows,): first over all beats, then over `DRAWS` bootstrap draws, then over groups of
    beats in time of about 10 s; `smear_s` is the uncertainty from noises that
    could not be aligned for themselves; `beats` is how many the first row rests on.
    """

    unlock_s: Floats
    drop_s: Floats
    smear_s: float
    beats: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Portrait:
    """The average sound of one side over one page.

    `power` : shape (k,), its loudness (squared envelope); `noise` : what is left of the background
    `start_s` : its first value against the arrival time; `step_s` : seconds between values
    `clearness_db` : the loudest millisecond above the background of a single beat
    """

    power: NDArray[np.float32]
    noise: float
    start_s: float
    step_s: float
    clearness_db: float
    onsets: Onsets


def draw_portraits(
    windows: Windows, arrivals: Arrivals, *, beat_s: float, seed: int
) -> tuple[Portrait | None, Portrait | None]:
    """Return the portraits of side 0 and side 1; None for a side with fewer than 4 beats heard."""
    return (
        one_portrait(windows, arrivals, 0, beat_s=beat_s, seed=seed),
        one_portrait(windows, arrivals, 1, beat_s=beat_s, seed=seed),
    )


def one_portrait(
    windows: Windows, arrivals: Arrivals, side: int, *, beat_s: float, seed: int
) -> Portrait | None:
    """Return the portrait of one side, or None if fewer than 4 of its beats are heard."""
    some = np.flatnonzero(arrivals.heard & (windows.side == side))
    if some.size < LEAST_BEATS:
        return None
    span = windows.span
    whole = np.rint(arrivals.shift[some]).astype(np.intp)
    aligned = turned_back(windows.waves[some], whole)[:, : span.length]
    heard_s = windows.start[arrivals.heard] / span.rate_hz
    weights = row_weights(windows.start[some] / span.rate_hz, group_edges(heard_s), seed + side)
    counts = np.maximum(weights.sum(axis=1), 1)
    beats = Side(aligned, weights / counts[:, None], counts, 2 * windows.noise_power, span.rate_hz)
    waveform = arrivals.by_waveform
    power = beats.powers(beats.waves, beats.share[:1], waveform=waveform)[0]
    noise = float(beats.noise(waveform=waveform)[0])
    rate_hz = span.rate_hz * FINER
    chosen = chosen_onsets(beats, beat_s, alike=arrivals.coherence > ALIKE)
    unlock, drop = (np.full(counts.size, np.nan),) * 2
    smear = scatter_of(windows, arrivals.shift, arrivals.heard) / span.rate_hz / 2
    if chosen is not None:
        align = arrivals.coherence < RIGID
        first, last = (
            part_onset(beats, coarse, waveform=waveform, align=align) for coarse in chosen
        )
        unlock, drop = first.at, last.at
        smear *= align * ((first.late is None) + (last.late is None))
    mean_rest = float(np.mean(arrivals.shift[some] - whole)) / span.rate_hz
    zero_s = -(span.lead + arrivals.moment[side]) / span.rate_hz - mean_rest
    return Portrait(
        power=power.astype(np.float32),
        noise=noise,
        start_s=zero_s,
        step_s=1 / rate_hz,
        clearness_db=clearness_db(power, beats.background, rate_hz),
        onsets=Onsets(
            unlock_s=unlock / rate_hz + zero_s,
            drop_s=drop / rate_hz + zero_s,
            smear_s=smear,
            beats=some.size,
        ),
    )


@dataclass(frozen=True, slots=True)
class Side:
    """The beats of one side, to be averaged: waves (beats, columns) aligned by their arrival.

    `share` : what each beat counts in each row; `counts` : beats in each row
    `background` : the power of a single beat's background
    """

    waves: Waves
    share: Waves
    counts: Floats
    background: float
    rate_hz: int

    def powers(self, waves: Waves, share: Waves, *, waveform: bool) -> Floats:
        """Return the powers of the averages, four a sample."""
        if waveform:
            return fine_power(share @ waves)
        return interpolated(share @ (envelope_power(waves) - self.background))

    def noise(self, *, waveform: bool) -> Floats:
        """Return what is left of the background's power in each row."""
        if waveform:
            return self.background / self.counts
        return self.background / np.sqrt(ENVELOPE_FREEDOM * self.counts)


def chosen_onsets(beats: Side, beat_s: float, *, alike: bool) -> tuple[int, int] | None:
    """Return which rises are unlocking and drop (fine samples), or None.

    Where all beats sound alike the average of waves is asked first, for it hears the fainter
    noises; otherwise that of powers, for it does not lose a noise that moves against the rest.
    """
    for waveform in (alike, not alike):
        power = beats.powers(beats.waves, beats.share[:1], waveform=waveform)[0]
        noise = float(beats.noise(waveform=waveform)[0])
        found = choose_onsets(power, noise, beats.rate_hz * FINER, beat_s)
        if found is not None:
            return found
    return None


def clearness_db(power: Floats, noise: float, rate_hz: float) -> float:
    """Return how far the loudest millisecond stands above the background (dB, in our band)."""
    width = round(1e-3 * rate_hz)
    sums = np.concatenate([[0.0], np.cumsum(power)])
    loudest = np.max(sums[width:] - sums[:-width]) / width
    return float(10 * np.log10(max(float(loudest), 1e-12) / noise))


def group_edges(times_s: Floats) -> Floats:
    """Return the edges between groups of some 10 s, the same for both sides."""
    groups = max(1, round(float(np.ptp(times_s)) / GROUP_S))
    return np.linspace(times_s[0], times_s[-1] + 1e-9, groups + 1)


def row_weights(times_s: Floats, edges: Floats, seed: int) -> Waves:
    """Return the weight of each beat in each average: all, bootstrap draws, groups in time."""
    drawn = np.random.default_rng(seed).poisson(1.0, (DRAWS, times_s.size))
    groups = edges.size - 1
    member = np.clip(np.searchsorted(edges, times_s, side="right") - 1, 0, groups - 1)
    in_group = member == np.arange(groups)[:, None]
    return np.concatenate([np.ones((1, times_s.size)), drawn, in_group]).astype(np.float32)


def fine_power(averages: Waves) -> Floats:
    """Return the squared envelope (analytic signal) of each row, four values per sample."""
    size = averages.shape[1]
    spectrum = fft.rfft(averages, axis=1)
    full = np.zeros((averages.shape[0], size * FINER), np.complex64)
    full[:, : spectrum.shape[1]] = 2 * FINER * spectrum
    wave = fft.ifft(full, axis=1)
    return np.asarray(wave.real**2 + wave.imag**2, np.float64)


def interpolated(powers: Waves) -> Floats:
    """Return each row of powers with four values per sample, straight lines between."""
    coarse = np.arange(powers.shape[1])
    fine = np.arange(powers.shape[1] * FINER) / FINER
    return np.asarray(np.maximum([np.interp(fine, coarse, row) for row in powers], 0))


@dataclass(frozen=True, slots=True)
class PartOnset:
    """Where one noise begins in each row (fine samples, NaN if unclear), and each beat's own shift
    (samples), or None if it could not be aligned for itself."""

    at: Floats
    late: Floats | None


def part_onset(beats: Side, coarse: int, *, waveform: bool, align: bool) -> PartOnset:
    """Return where the noise near `coarse` begins.

    If `align` asks so, the noise is first aligned for itself: where the amplitude varies from beat
    to beat, unlocking and drop move against each other, and an average of both would be smeared.
    """
    near = round(CROP_S * beats.rate_hz)
    low = max(0, coarse // FINER - near)
    part = beats.waves[:, low : coarse // FINER + near]
    here = coarse - low * FINER
    late = own_shifts(part, here // FINER, beats.rate_hz) if align else None
    waveform = waveform or late is not None
    whole = np.zeros(part.shape[0]) if late is None else np.rint(late)
    turned = turned_back(part, whole.astype(np.intp))
    power = beats.powers(turned, beats.share, waveform=waveform)
    noise = beats.noise(waveform=waveform)
    rate_hz = beats.rate_hz * FINER
    if late is not None:
        here = steepest(power[0], float(noise[0]), here, rate_hz)
    spot = sharp_onsets(power, noise, here, rate_hz)
    return PartOnset(spot + (low + beats.share @ whole) * FINER, late)
