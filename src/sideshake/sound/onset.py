"""Where a noise begins: the steep rises in an average tick's loudness.

Powers are squared envelopes, in fine samples (`rate_hz` of them a second).
"""

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.ndimage import maximum_filter1d

from sideshake.sound.average import average_rows, sharpest_stretch, turned_back
from sideshake.sound.peak import peak_near
from sideshake.sound.windows import Waves

Floats = NDArray[np.float64]

BEFORE_S, AFTER_S, APART_S = 0.5e-3, 0.12e-3, 0.3e-3
STEEP = 3.0
"""An onset raises the power at least threefold ..."""
CLEAR = 10.0
"""... to at least ten times what is left of the noise ..."""
FAINTEST = 0.002
"""... and to at least 0.2 % of the loudest onset: design/portrait.py."""
HIDDEN = 12.0
"""The drop must rise this far above a clear onset, or a faint unlocking could hide in the noise."""
LEVEL = 0.1
LOOK_BACK_S, LOOK_ON_S = 0.2e-3, 0.15e-3
HIGHEST_DEG, LOWEST_DEG = 360.0, 100.0
WIDEST_LIFT_DEG, NARROWEST_LIFT_DEG = 60.0, 38.0
PART_S = (1.2e-3, 1.8e-3)
"""What is taken of a noise, before and after its onset, to align it for itself."""
PART_REACH_S = 1.6e-3
STEEPEST_WITHIN_S = 1e-3
PART_SIGMAS = 7.0
"""A noise fainter than this on single beats is not aligned for itself: design/portrait.py."""
PART_ALIKE = 0.85
"""Where the lower quartile of the likenesses falls below this share of the median, some beats sit
a cycle of the waveform off."""
NEAR_REACH_S = 0.14e-3
LOUD_AT = 4.0
PART_ROUNDS = 4


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


def steepest(power: Floats, noise: float, coarse: int, rate_hz: float) -> int:
    """Return where within `STEEPEST_WITHIN_S` of `coarse` the power rises most."""
    before, near = round(BEFORE_S * rate_hz), round(STEEPEST_WITHIN_S * rate_hz)
    rise, _ = steepness(power, noise, rate_hz)
    first = max(0, coarse - near - before)
    around = rise[first : coarse + near - before]
    return coarse if around.size == 0 else first + before + int(np.argmax(around))


def sharp_onsets(power: Floats, noise: Floats, coarse: int, rate_hz: float) -> Floats:
    """Return where each row near `coarse` first reaches a tenth of its next peak, or NaN."""
    low = max(1, coarse - round(LOOK_BACK_S * rate_hz))
    stretch = power[:, low : coarse + round(LOOK_ON_S * rate_hz)]
    base = power[:, max(0, low - round(BEFORE_S * rate_hz)) : low].mean(axis=1)
    top = stretch.max(axis=1)
    level = base + np.maximum(LEVEL * (top - base), CLEAR / 4 * noise)
    first = np.argmax(stretch >= level[:, None], axis=1)
    rows = np.arange(first.size)
    left, right = stretch[rows, np.maximum(first - 1, 0)], stretch[rows, first]
    clear = (first > 0) & (top >= STEEP * (base + noise)) & (right >= level)
    part = (level - left) / np.where(right > left, right - left, 1.0)
    return np.where(clear, low + first - 1 + part, np.nan)


def envelope_power(waves: Waves) -> Waves:
    """Return the squared envelope (analytic signal) of each row, sample by sample."""
    size = waves.shape[1]
    spectrum = fft.rfft(waves, axis=1)
    full = np.zeros(waves.shape, np.complex64)
    full[:, : spectrum.shape[1]] = 2 * spectrum
    wave = fft.ifft(full, axis=1)
    return np.asarray(wave.real**2 + wave.imag**2, np.float32)[:, :size]


def own_shifts(part: Waves, here: int, rate_hz: int) -> Floats | None:
    """Return how much later (samples) each beat's noise comes than the average of the others.

    `part` : shape (beats, columns), with the onset near column `here` and the background's
    spectral density 1. None where the noise is too faint, or too little the same, on
    single beats.
    """
    before, after = (round(each * rate_hz) for each in PART_S)
    inside = np.zeros(part.shape[1], np.float32)
    inside[max(0, here - before) : here + after] = 1
    reach, near = (round(each * rate_hz) for each in (PART_REACH_S, NEAR_REACH_S))
    nowhere = np.zeros(part.shape[0])
    loud = np.log1p(envelope_power(part) / LOUD_AT).astype(np.float32)
    by_loudness, _, _ = shifts_to_others(loud - np.median(loud), nowhere, inside, reach)
    starts = [nowhere, by_loudness]
    side, index = np.zeros(part.shape[0], np.int8), np.arange(part.shape[0], dtype=np.float64)
    sharp = sharpest_stretch(part, index, side, by_loudness, inside=inside)
    if sharp is not None:
        templates = np.repeat(sharp[:1], part.shape[0], axis=0)
        starts.append(shifts_to(templates, part, by_loudness, reach)[0])
    late = max(starts, key=lambda start: gathered(part, start, inside))
    for _ in range(PART_ROUNDS):
        late, peak, energy = shifts_to_others(part, late, inside, near)
    faint = np.median(peak / np.sqrt(energy)) < PART_SIGMAS
    lower, middle = np.quantile(peak / energy, (0.25, 0.5))
    return None if faint or lower < PART_ALIKE * middle else late - np.mean(late)


def gathered(part: Waves, late: Floats, inside: Waves) -> float:
    """Return the energy of the sum of all beats, each turned back by its shift."""
    total = turned_back(part, np.rint(late).astype(np.intp)).sum(axis=0) * inside
    return float(np.vdot(total, total))


def shifts_to_others(
    rows: Waves, late: Floats, inside: Waves, reach: int
) -> tuple[Floats, Floats, Floats]:
    """Return each row's shift against the others' average, near `late`; its peak; their energy."""
    side, heard = np.zeros(rows.shape[0], np.int8), np.ones(rows.shape[0], np.bool_)
    others = average_rows(rows, np.rint(late).astype(np.intp), side, heard).others * inside
    return shifts_to(others, rows, late, reach)


def shifts_to(
    templates: Waves, rows: Waves, late: Floats, reach: int
) -> tuple[Floats, Floats, Floats]:
    """Return each row's shift against its template, near `late`; its peak; the energies."""
    size = fft.next_fast_len(rows.shape[1] + 4 * reach, real=True)
    spectra = np.conj(fft.rfft(templates, size, axis=1))
    likeness = fft.irfft(fft.rfft(rows, size, axis=1) * spectra, size, axis=1)
    shift, peak = peak_near(likeness, late, reach)
    return shift, peak, np.einsum("ij,ij->i", templates, templates) + 1e-9
