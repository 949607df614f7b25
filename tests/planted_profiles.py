"""Windows and profiles with noises planted in them, the background being 1."""

import numpy as np

from sideshake.sound.profile import Profile
from sideshake.sound.windows import cut_windows, span_for

RATE_HZ = 48000
CELL_S = 1 / 24000
BEAT_S = 0.2
CELLS = 2880
MIDDLE = 1440


def windows_with(pulse: np.ndarray, *, beats: int = 60, seed: int = 0, late=None, knock=None):
    """Return windows of white noise of variance 1 with the pulse in the middle of each beat.

    `late` : samples by which each pulse comes later; `knock` : (beat, level) of one loud knock
    """
    random = np.random.default_rng(seed)
    beat = round(BEAT_S * RATE_HZ)
    samples = random.normal(size=beat * (beats + 2))
    span = span_for(BEAT_S, RATE_HZ)
    at = beat + beat * np.arange(beats)
    late = np.zeros(beats, int) if late is None else late
    for start, by in zip(at, late, strict=True):
        samples[start + by : start + by + pulse.size] += pulse
    if knock is not None:
        which, level = knock
        samples[at[which] - 400 : at[which] + 400] += level * random.normal(size=800)
    number = np.arange(beats)
    return cut_windows(
        samples.astype(np.float32), at - span.lead, number, np.zeros(beats, np.int8), span=span
    )


def profile_of(
    *parts: tuple[float, float, float], beats: int = 75, seed: int = 0, cells: int = CELLS
) -> Profile:
    """Return the mean power of so many beats: (cell, level, decay in ms) each, and chance.

    The mean of `beats` exponential powers is a gamma density; the median of group means scatters
    by 1.2 times as much (`MEDIAN_LOSS`), so fewer beats are drawn.
    """
    power = np.ones(cells)
    for at, level, decay_ms in parts:
        since_s = (np.arange(cells) - at) * CELL_S
        decay = np.exp(-np.maximum(since_s, 0) * 1e3 / decay_ms)
        power += np.where(since_s >= 0, level * decay, 0)
    drawn = beats / 1.2**2
    random = np.random.default_rng(seed)
    return Profile(
        power=power * random.gamma(drawn, 1 / drawn, cells),
        floor=1.0,
        spread=1 / float(np.sqrt(drawn)),
        start_s=-MIDDLE * CELL_S,
        cell_s=CELL_S,
    )
