"""A first alignment of the beats from their loudness, good to about a tenth of a millisecond."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.average import Averages, average_rows, turned_back
from sideshake.sound.line import MAD_TO_SIGMA
from sideshake.sound.peak import vertex
from sideshake.sound.windows import TAPER_S, Spectra, Waves, Windows

Floats = NDArray[np.float64]

CELL_S = 0.1e-3
SMOOTH_CELLS = 5
ROUNDS = 3
CHANCE_SIGMAS, CELLS_ALIKE = 5.0, 3.5
"""A fit must stand this far above chance; smoothing makes some 3.5 cells move as one."""
LOUD_SIGMAS = 5.0
LOUD_SHARE = 0.03
ROOM_S = (2.5e-3, 3e-3)
"""Room kept before and after what is loud: experiments/arrival.py."""
DRIFTS = 49
GROUPS = 12
WAVE_DRIFT_S = 1.2e-3
WAVE_STEP_S = 15e-6
WAVE_GROUPS = 32


@dataclass(frozen=True, slots=True)
class WindowLoudness:
    """How loud each window is in cells of `width` samples: ln(1 + power/background)."""

    cells: Waves
    spectra: Spectra
    width: int


def cell_width(rate_hz: int) -> int:
    """Return the samples in a cell."""
    return max(1, round(CELL_S * rate_hz))


def loudness_of(windows: Windows) -> WindowLoudness:
    """Return the loudness of each window in cells of about 0.1 ms, smoothed over half a ms.

    Background alone is 0 on average everywhere, the window's faded edges and its padding too: what
    lies fixed to the window would pull every beat in noise to the place it is expected at.
    """
    width = cell_width(windows.span.rate_hz)
    count = windows.span.size // width
    trimmed = windows.waves[:, : count * width].reshape(-1, count, width)
    power = np.einsum("ijk,ijk->ij", trimmed, trimmed) / (width * windows.noise_power)
    kernel = fft.rfft(np.full(SMOOTH_CELLS, 1 / SMOOTH_CELLS, np.float32), count)
    smooth = fft.irfft(fft.rfft(power, axis=1) * kernel, count, axis=1)
    loud = np.log1p(np.maximum(np.roll(smooth, -(SMOOTH_CELLS // 2), axis=1), 0))
    inside = windows.span.length // width
    edge = round(TAPER_S * windows.span.rate_hz / width) + SMOOTH_CELLS
    cells = loud - np.median(loud[:, edge : inside - edge : 3], axis=1, keepdims=True)
    cells -= np.median(cells[:, edge : inside - edge].mean(axis=0))
    cells[:, :edge] = 0
    cells[:, inside - edge :] = 0
    cells = cells.astype(np.float32)
    return WindowLoudness(cells, fft.rfft(cells, axis=1), width)


def shifts_by_loudness(windows: Windows, loudness: WindowLoudness) -> tuple[Floats, Floats]:
    """Return each beat's shift (samples) and strength, by its loudness against the average.

    The strength is 1 for a beat that fits as well as the average itself, 0 for one whose fit is
    no better than chance.
    """
    shift = np.zeros(loudness.cells.shape[0])
    everyone = np.ones(shift.size, np.bool_)
    for _ in range(ROUNDS):
        others = average_loudness(windows, loudness, shift, everyone).others
        likeness, lags = likeness_to(others, windows, loudness)
        best = np.clip(np.argmax(likeness, axis=1), 1, lags.size - 2)
        shift = (lags[best] + vertex(likeness, best)[0]) * loudness.width
        for side in (0, 1):
            if np.any(windows.side == side):
                shift[windows.side == side] -= np.median(shift[windows.side == side])
    fit = likeness[np.arange(best.size), best]
    energies = np.einsum("ij,ij->i", others, others).astype(np.float64) + 1e-9
    inside = loudness.cells[:, : windows.span.length // loudness.width]
    one_cell = MAD_TO_SIGMA * float(np.median(np.abs(inside[::3, ::5])))
    chance = one_cell * np.sqrt(CELLS_ALIKE * energies)
    return shift, np.where(fit > CHANCE_SIGMAS * chance, fit / energies, 0.0)


def where_loud(windows: Windows, loudness: WindowLoudness, shift: Floats) -> tuple[int, int]:
    """Return the first and last sample of the windows that the tick needs, with some room.

    All of the window where nothing stands out.
    """
    everyone = np.ones(shift.size, np.bool_)
    profile = average_loudness(windows, loudness, shift, everyone).whole.max(axis=0)
    inside = profile[: windows.span.length // loudness.width]
    floor = np.median(inside)
    noise = MAD_TO_SIGMA * np.median(np.abs(inside - floor))
    level = max(floor + LOUD_SIGMAS * noise, floor + LOUD_SHARE * (inside.max() - floor))
    loud = np.flatnonzero(inside > level)
    if loud.size == 0:
        return 0, windows.span.length
    wander = int(np.quantile(np.abs(shift), 0.9))
    room = [round(extra_s * windows.span.rate_hz) + wander for extra_s in ROOM_S]
    first = max(0, int(loud[0]) * loudness.width - room[0])
    last = min(windows.span.length, (int(loud[-1]) + 1) * loudness.width + room[1])
    return min(first, windows.span.lead), max(last, windows.span.lead + 1)


def line_through_loudness(windows: Windows, loudness: WindowLoudness) -> Floats:
    """Return the shifts (samples) on the straight line along which the beats add up best.

    In noise no single beat has a shift of its own that can be trusted, but all together they have
    a drift. Each drift is judged by the energy of the average it gives, in which a beat's own noise
    counts the same whatever the drift.
    """
    most = windows.span.reach / loudness.width / 2
    drifts = np.linspace(-most, most, DRIFTS)
    return best_drift(loudness.cells, windows, drifts, groups=GROUPS) * loudness.width


def line_through_waves(windows: Windows, guess: Floats) -> Floats:
    """Return the shifts (samples) near the line `guess` along which the waveforms add up best.

    Far sharper than loudness, and only for a watch hardly louder than the room: it costs more.
    """
    aligned = turned_back(windows.waves, np.rint(guess).astype(np.intp))
    steps = round(WAVE_DRIFT_S / WAVE_STEP_S)
    drifts = np.linspace(-1, 1, 2 * steps + 1) * WAVE_DRIFT_S * windows.span.rate_hz
    return guess + best_drift(aligned, windows, drifts, groups=WAVE_GROUPS)


def best_drift(rows: Waves, windows: Windows, drifts: Floats, *, groups: int) -> Floats:
    """Return the shift of each beat on the line along which the rows add up to the most energy.

    `drifts` are shifts at the ends of the page, in columns of `rows`.
    """
    centred = windows.number - windows.number.mean()
    centred = centred / max(1.0, float(np.max(np.abs(centred))))
    sums, centres = grouped(rows, windows.side, centred, groups)
    columns = sums.shape[-1]
    twice = np.concatenate([sums, sums], axis=-1)
    energies = []
    for drift in drifts:
        total = np.zeros(sums.shape[1:], np.float32)
        for group, late in zip(twice, np.rint(drift * centres).astype(int) % columns, strict=True):
            total += group[:, late : late + columns]
        energies.append(float(np.vdot(total, total)))
    return np.asarray(drifts[int(np.argmax(energies))] * centred)


def grouped(
    rows: Waves, side: NDArray[np.int8], centred: Floats, count: int
) -> tuple[NDArray[np.float32], Floats]:
    """Return the sums over groups of neighbouring beats, (groups, sides, columns), and where."""
    edges = np.linspace(0, side.size, min(count, max(1, side.size // 2)) + 1).astype(int)
    parts = list(pairwise(edges))
    sums = [[rows[a:b][side[a:b] == one].sum(axis=0) for one in (0, 1)] for a, b in parts]
    return np.array(sums, np.float32), np.array([centred[a:b].mean() for a, b in parts])


def average_loudness(
    windows: Windows, loudness: WindowLoudness, shift: Floats, heard: NDArray[np.bool_]
) -> Averages:
    """Return the averages of the loudness, aligned by `shift` (samples) to whole cells."""
    late = np.rint(shift / loudness.width).astype(np.intp)
    return average_rows(loudness.cells, late, windows.side, heard)


def likeness_to(
    profiles: Waves, windows: Windows, loudness: WindowLoudness
) -> tuple[Waves, NDArray[np.intp]]:
    """Return each beat's likeness to its profile at each lag, and the lags (cells)."""
    count = loudness.cells.shape[1]
    templates = np.conj(fft.rfft(profiles, axis=1))
    likeness = fft.irfft(loudness.spectra * templates, count, axis=1)
    most = min(count // 3, windows.span.reach // loudness.width)
    lags = np.arange(-most, most + 1)
    return likeness[:, lags % count], lags
