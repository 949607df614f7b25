"""Averages of beats: of all on a side, and, for each beat, of all the others on its side.

A beat must never be compared with an average that holds the beat itself: loud beats that are not
alike would each recognise themselves there, stay where they are, and seem to scatter by nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.line import weighted_line
from sideshake.sound.windows import Waves, Windows, running_mean

Floats = NDArray[np.float64]

GATE_OVER_S = 0.5e-3
GATE_NOISE = 1.8
STRETCH = 12


@dataclass(frozen=True, slots=True)
class Averages:
    """`whole` : shape (2, columns), the average beat of each side

    `others` : shape (beats, columns), the average of the other beats of each beat's side
    `aligned` : the beats themselves as they were averaged
    """

    whole: Waves
    others: Waves
    aligned: Waves


def average_rows(
    rows: Waves, late: NDArray[np.intp], side: NDArray[np.int8], heard: NDArray[np.bool_]
) -> Averages:
    """Return the averages of `rows` (beats, columns), each turned back by `late` columns."""
    aligned = turned_back(rows, late)
    own, member = heard.astype(np.float32), side == np.array([[0], [1]])
    total, counts = (own * member) @ aligned, (own * member).sum(axis=1)
    share = 1 / np.maximum(counts[side] - own, 1)
    others = (share * member).T @ total
    others -= (share * own)[:, None] * aligned
    return Averages(total / np.maximum(counts, 1)[:, None], others, aligned)


def turned_back(rows: Waves, late: NDArray[np.intp]) -> Waves:
    """Return each row turned back by its `late` columns (row by row: far faster than indexing)."""
    columns = rows.shape[1]
    turned = np.empty_like(rows)
    for row, into, by in zip(rows, turned, (late % columns).tolist(), strict=True):
        into[: columns - by] = row[by:]
        into[columns - by :] = row[:by]
    return turned


def average_waves(windows: Windows, shift: Floats, heard: NDArray[np.bool_]) -> Averages:
    """Return the averages of the waveforms, aligned by `shift` to whole samples."""
    late = np.rint(shift).astype(np.intp)
    return average_rows(windows.waves, late, windows.side, heard)


def gated(averages: Averages, windows: Windows, heard: NDArray[np.bool_]) -> Waves:
    """Return the others' averages, with everything faded out that is no louder than their noise."""
    counts = np.array([np.count_nonzero(heard & (windows.side == side)) for side in (0, 1)])
    floor = GATE_NOISE * windows.noise_power / np.maximum(counts, 1)[:, None]
    width = round(GATE_OVER_S * windows.span.rate_hz)
    power = running_mean(np.square(averages.whole, dtype=np.float64), width)
    fade = np.clip(1 - floor / np.maximum(power, 1e-12), 0, 1).astype(np.float32)
    return np.asarray(averages.others * fade[windows.side])


def sharpest_stretch(
    rows: Waves,
    index: Floats,
    side: NDArray[np.int8],
    shift: Floats,
    *,
    inside: Waves | float = 1.0,
) -> Waves | None:
    """Return the average of each side, shape (2, columns), over the stretch that averages best.

    Over a dozen beats even a bad wheel moves the beats along a straight line, so their average is
    sharp where that of all is smeared. Only columns `inside` (0 to 1) count. None if there are
    fewer rows than a stretch.
    """
    best, strongest = None, -1.0
    for first in range(0, index.size - STRETCH + 1, STRETCH // 2):
        some = slice(first, first + STRETCH)
        line = weighted_line(index[some], side[some], shift[some], np.ones(STRETCH))
        straight = line.at(index[some], side[some])
        aligned = turned_back(rows[some], np.rint(straight).astype(np.intp)) * inside
        means = np.zeros((2, rows.shape[1]), np.float32)
        for one in (0, 1):
            if np.any(side[some] == one):
                means[one] = aligned[side[some] == one].mean(axis=0)
        if float(np.vdot(means, means)) > strongest:
            best, strongest = means, float(np.vdot(means, means))
    return best
