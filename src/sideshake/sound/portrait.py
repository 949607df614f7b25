"""The portrait: the averaged tick and tock, and where in them unlocking and drop begin.

Averaging a page's beats lifts the tick out of the noise; the onset of each noise is then where the
loudness rises most steeply. The spread of the onsets over bootstrap averages (beats drawn anew with
Poisson weights) is their statistical uncertainty.
Shapes: rows are averages (all beats; bootstrap draws; groups in time), columns are fine samples.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import maximum_filter1d

from sideshake.sound.arrival import Arrivals
from sideshake.sound.windows import Waves, Windows

Floats = NDArray[np.float64]
Finer = Callable[[Waves], Floats]

FINER = 4
DRAWS = 16
GROUP_S = 10.0
LEAST_BEATS = 4
ENVELOPE_FREEDOM = 3.0
"""Independent values of a squared envelope within `AFTER_S`, in our band."""
BEFORE_S, AFTER_S, APART_S = 0.5e-3, 0.12e-3, 0.3e-3
STEEP = 3.0
"""An onset raises the power at least threefold ..."""
CLEAR = 10.0
"""... to at least ten times what is left of the noise ..."""
FAINTEST = 0.004
"""... and to at least 0.4 % of the loudest onset: design/portrait.md."""
HIDDEN = 12.0
"""The drop must rise this far above a clear onset, or a faint unlocking could hide in the noise."""
LEVEL = 0.1
LOOK_BACK_S, LOOK_ON_S = 0.2e-3, 0.15e-3
CROP_S = 3e-3
HIGHEST_DEG, LOWEST_DEG = 360.0, 100.0
WIDEST_LIFT_DEG, NARROWEST_LIFT_DEG = 60.0, 38.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Onsets:
    """Where the noises of one side begin, against the arrival time (s), NaN where not found.

    Shape (rows,): first over all beats, then over `DRAWS` bootstrap draws, then over groups of
    beats in time of about 10 s; `beats` is how many the first rests on.
    """

    unlock_s: Floats
    drop_s: Floats
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
    aligned = windows.waves[some[:, None], (np.arange(span.length) + whole[:, None]) % span.size]
    weights = row_weights(windows.start[some] / span.rate_hz, seed + side)
    share = weights / np.maximum(weights.sum(axis=1, keepdims=True), 1)
    background = 2 * windows.noise_power
    finer: Finer = fine_power
    if arrivals.by_waveform:
        averages = share @ aligned
        noise = background / np.maximum(weights.sum(axis=1), 1)
    else:
        averages, finer = share @ (envelope_power(aligned) - background), interpolated
        noise = background / np.sqrt(ENVELOPE_FREEDOM * np.maximum(weights.sum(axis=1), 1))
    power = finer(averages[:1])
    rate_hz = span.rate_hz * FINER
    chosen = choose_onsets(power[0], float(noise[0]), rate_hz, beat_s)
    unlock, drop = onsets(averages, noise, chosen, finer=finer, rate_hz=rate_hz)
    mean_rest = float(np.mean(arrivals.shift[some] - whole)) / span.rate_hz
    zero_s = -span.lead / span.rate_hz - mean_rest
    return Portrait(
        power=power[0].astype(np.float32),
        noise=float(noise[0]),
        start_s=zero_s,
        step_s=1 / rate_hz,
        clearness_db=clearness_db(power[0], 2 * windows.noise_power, rate_hz),
        onsets=Onsets(
            unlock_s=unlock / rate_hz + zero_s, drop_s=drop / rate_hz + zero_s, beats=some.size
        ),
    )


def clearness_db(power: Floats, noise: float, rate_hz: float) -> float:
    """Return how far the loudest millisecond stands above the background (dB, in our band)."""
    width = round(1e-3 * rate_hz)
    loudest = np.max(np.convolve(power, np.full(width, 1 / width), mode="valid"))
    return float(10 * np.log10(max(float(loudest), 1e-12) / noise))


def row_weights(times_s: Floats, seed: int) -> Waves:
    """Return the weight of each beat in each average: all, bootstrap draws, groups in time."""
    drawn = np.random.default_rng(seed).poisson(1.0, (DRAWS, times_s.size))
    groups = max(1, round(float(np.ptp(times_s)) / GROUP_S))
    edges = np.linspace(times_s[0], times_s[-1] + 1e-9, groups + 1)
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


def envelope_power(waves: Waves) -> Waves:
    """Return the squared envelope (analytic signal) of each row, sample by sample."""
    size = waves.shape[1]
    spectrum = fft.rfft(waves, axis=1)
    full = np.zeros(waves.shape, np.complex64)
    full[:, : spectrum.shape[1]] = 2 * spectrum
    wave = fft.ifft(full, axis=1)
    return np.asarray(wave.real**2 + wave.imag**2, np.float32)[:, :size]


def interpolated(powers: Waves) -> Floats:
    """Return each row of powers with four values per sample, straight lines between."""
    coarse = np.arange(powers.shape[1])
    fine = np.arange(powers.shape[1] * FINER) / FINER
    return np.asarray(np.maximum([np.interp(fine, coarse, row) for row in powers], 0))


def onsets(
    averages: Waves,
    noise: Floats,
    chosen: tuple[int, int] | None,
    *,
    finer: Finer,
    rate_hz: float,
) -> tuple[Floats, Floats]:
    """Return where the chosen unlocking and drop begin in each row (fine samples), NaN if unclear.

    Each row is made fine only around the place.
    """
    rows = averages.shape[0]
    if chosen is None:
        return np.full(rows, np.nan), np.full(rows, np.nan)
    found = []
    near = round(CROP_S * rate_hz / FINER)
    for coarse in chosen:
        low = max(0, coarse // FINER - near)
        power = finer(averages[:, low : coarse // FINER + near])
        here = coarse - low * FINER
        spots = [sharp_onset(power[k], float(noise[k]), here, rate_hz) for k in range(rows)]
        found.append(np.array(spots) + low * FINER)
    return found[0], found[1]


def choose_onsets(
    power: Floats, noise: float, rate_hz: float, beat_s: float
) -> tuple[int, int] | None:
    """Return the rises that are unlocking and drop (fine samples), or None.

    The strongest rise is the drop and the first clear one before it is unlocking, at a distance
    that an amplitude of 100 to 360 degrees allows with a lift angle of 38 to 60 degrees. Where
    nothing stands there, the strongest is unlocking and the drop follows it.
    """
    rise, after = steepness(power, noise, rate_hz)
    at = clear_rises(rise, after, noise, rate_hz)
    if at.size == 0:
        return None
    soonest, latest = (
        2 * beat_s / np.pi * np.arcsin(lift / 2 / swing) * rate_hz
        for lift, swing in ((NARROWEST_LIFT_DEG, HIGHEST_DEG), (WIDEST_LIFT_DEG, LOWEST_DEG))
    )
    score = after[at] * rise[at]
    best = at[np.argmax(score)]
    sooner = at[(best - at > soonest) & (best - at < latest)]
    later = at[(at - best > soonest) & (at - best < latest)]
    if sooner.size:
        unlock, drop = sooner[0], best
    elif later.size:
        unlock, drop = best, later[np.argmax(after[later] * rise[later])]
    else:
        return None
    if after[drop] < HIDDEN * CLEAR * noise:
        return None
    before = round(BEFORE_S * rate_hz)
    return int(unlock) + before, int(drop) + before


def clear_rises(rise: Floats, after: Floats, noise: float, rate_hz: float) -> NDArray[np.intp]:
    """Return where the power rises steeply and clearly, one place per `APART_S`."""
    peak = maximum_filter1d(rise, 2 * round(APART_S * rate_hz) + 1)
    clear = (rise == peak) & (rise > np.log(STEEP)) & (after > CLEAR * noise)
    at = np.flatnonzero(clear)
    return at[after[at] > FAINTEST * np.max(after, initial=0.0)]


def steepness(power: Floats, noise: float, rate_hz: float) -> tuple[Floats, Floats]:
    """Return ln(power after / power before) and the power after, from `BEFORE_S` on."""
    before, after = round(BEFORE_S * rate_hz), round(AFTER_S * rate_hz)
    sums = np.concatenate([[0.0], np.cumsum(power)])
    here = np.arange(before, power.size - after)
    later = (sums[here + after] - sums[here]) / after
    earlier = (sums[here] - sums[here - before]) / before
    return np.log((later + noise) / (earlier + noise)), later


def sharp_onset(power: Floats, noise: float, coarse: int, rate_hz: float) -> float:
    """Return where the power near `coarse` first reaches a tenth of its next peak, or NaN."""
    low = max(1, coarse - round(LOOK_BACK_S * rate_hz))
    stretch = power[low : coarse + round(LOOK_ON_S * rate_hz)]
    base = float(np.mean(power[max(0, low - round(BEFORE_S * rate_hz)) : low]))
    top = float(stretch.max(initial=0.0))
    if top < STEEP * (base + noise):
        return float("nan")
    level = base + max(LEVEL * (top - base), CLEAR / 4 * noise)
    first = int(np.argmax(stretch >= level))
    if first == 0:
        return float("nan")
    left, right = stretch[first - 1], stretch[first]
    return low + first - 1 + float((level - left) / (right - left))
