"""Whether what beats evenly sounds like a watch.

Each trait of a page is a figure in which watches and other even sounds differ; a table says how
many nats (the logarithm of a ratio of probabilities) a figure counts for a watch or against it.
Their sum is held against a bar. The tables rest on made-up sounds and watches, half of the kinds,
and on real clocks: experiments/likeness.py has the figures, experiments/README.md what is doubtful
in them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.arrival import Arrivals
from sideshake.sound.band import HIGH_HZ, LOW_HZ
from sideshake.sound.escapement import Noises, missing_nats, noises_of, order_nats
from sideshake.sound.line import MAD_TO_SIGMA, fit_line
from sideshake.sound.profile import Profile
from sideshake.sound.sides import compared_sides, swells_nats, waves_nats
from sideshake.sound.tempo import Tempo
from sideshake.sound.windows import Windows, running_mean

Floats = NDArray[np.float64]
Table = tuple[Sequence[float], Sequence[float]]


class HeardKind(StrEnum):
    """What is heard; the value is its name in JSON."""

    WATCH = "watch"
    EVEN_BEAT = "even beat"


class Trait(StrEnum):
    """What is asked of a sound; the value is its name in JSON."""

    SIDES = "tick and tock differ"
    SWELLS = "tick and tock swell differently"
    CHANGE = "beats alike"
    COPIES = "beats no copies"
    JITTER = "not exactly even"
    EVEN = "even enough"
    BAND = "more than a tone"
    HISS = "less than hiss"
    IN_BEAT = "in beat"
    SILENCE = "silence between"
    SHARP = "short"
    HEARD = "every beat there"
    ORDER = "noises of an escapement"
    FEW = "few noises"
    CLEAR = "clear of the room"


@dataclass(frozen=True, slots=True)
class TraitMark:
    """What one trait says: how many nats for a watch."""

    trait: Trait
    nats: float


@dataclass(frozen=True, slots=True)
class Likeness:
    """What the traits of a page say, and how many beats that rests on."""

    marks: tuple[TraitMark, ...]
    beats: int

    @property
    def nats(self) -> float:
        """Return the sum of all marks."""
        return sum(mark.nats for mark in self.marks)


SURE: Table = ((0.05, 0.12), (1.0, 0.0))
"""Copies can be told from beats that differ where noise scatters their strength by less."""
UNLIKE: Table = ((0.0, 0.04, 0.1), (-0.5, 0.3, 1.2))
ALIKE: Table = ((0.8, 0.9, 0.97, 0.995), (1.2, 0.8, -0.4, -1.2))
ALIKE_FROM, ALIKE_UNSURE = 0.8, 0.3
UNEQUAL: Table = ((0.55, 0.8), (0.0, -1.0))
STEADY: Table = ((0.03, 0.06, 0.12, 0.2), (-2.5, -0.8, 0.2, 0.4))
COPYING: Table = ((0.5, 0.8), (0.0, 1.0))
"""Beats as strong as each other are no copies where their waves differ, or were not matched."""
COPIED = -1.2
"""Beats so steady are copies: that the spacing is the same on both sides then says nothing."""
JITTER: Table = (tuple(np.log([0.5, 3, 9, 15, 25])), (-3.0, -2.0, -1.2, -0.3, 0.2))
EVEN: Table = ((0.0015, 0.003, 0.0037, 0.005, 0.007), (0.3, 0.0, -0.3, -2.0, -3.5))
BAND: Table = (
    tuple(np.log([400, 700, 1100, 1400, 1800, 3000, 5000])),
    (-5.0, -3.7, -2.4, -1.9, -0.8, 0.5, 1.2),
)
HISS: Table = ((0.6, 0.72, 0.8, 0.88), (0.0, -0.8, -2.0, -4.0))
IN_BEAT: Table = ((0.015, 0.04, 0.1), (0.4, 0.0, -0.5))
SILENCE: Table = ((0.06, 0.1, 0.15, 0.2, 0.28), (0.8, 0.2, -0.3, -0.8, -1.5))
SHARP: Table = (
    (0.3, 0.8, 1.5, 2.5, 3, 4, 4.5, 6, 8),
    (1.5, 1.3, 0.9, 0.3, -0.4, -1.0, -1.2, -3.5, -5.0),
)
HEARD: Table = ((0.5, 0.7, 0.85, 0.95, 1.0), (-4.0, -2.5, -1.0, 0.0, 0.1))
FEW: Table = ((10, 14, 20, 30), (0.0, -1.0, -2.5, -4.0))
CLEAR: Table = ((2.0, 8.0), (-1.0, 0.0))
BAR: Table = ((24, 30), (0.5, 5.0))
DECISIVE, MISSING, VETO = -2.4, -1.75, -3.7
WATCH_ALONE = (Trait.SIDES, Trait.SWELLS, Trait.ORDER)
"""Nats that make a watch. The more beats were heard, the more is asked of them; of few beats less
is asked, if what only an escapement has speaks for one and nothing is decisive against it. Where a
sound is so clear that unlocking and drop are missed so much, nothing makes up for them, nor for a
trait that by itself speaks so strongly against a watch."""
SPEAKS_AGAINST = -0.5
"""What counts so little is not said."""
SOME_ROWS, SMOOTH_HZ = 48, 300.0
EDGE = 1e-3
"""Where the whitening is so weak against its strongest the band is over."""
LOUD_LEVEL, CLIP_QUANTILE, QUIET_QUANTILE = 0.3, 0.98, 0.1


def judged(pages: Sequence[Likeness]) -> HeardKind:
    """Return what a recording of these pages is; a watch where nothing is known of the sound.

    The mean over the pages, each by its beats, decides: not one lucky or unlucky page.

    Examples
    --------
    >>> pages = [Likeness((TraitMark(Trait.SIDES, nats),), 100) for nats in (5.0, -4.0)]
    >>> judged(pages)
    <HeardKind.EVEN_BEAT: 'even beat'>
    """
    if not pages:
        return HeardKind.WATCH
    nats = mean_nats(pages)
    own = sum(nats.get(trait, 0.0) for trait in WATCH_ALONE)
    doubtless = own > 0 and min(nats.values()) > DECISIVE
    bar = points(BAR, sum(page.beats for page in pages)) if doubtless else max(BAR[1])
    enough = sum(nats.values()) >= bar and nats.get(Trait.ORDER, 0.0) > MISSING
    enough = enough and min(nats.values()) > VETO
    return HeardKind.WATCH if enough else HeardKind.EVEN_BEAT


def against(pages: Sequence[Likeness]) -> tuple[Trait, ...]:
    """Return the traits that speak against a watch, the strongest first."""
    nats = mean_nats(pages)
    worst = sorted(nats, key=lambda trait: nats[trait])
    return tuple(trait for trait in worst if nats[trait] <= SPEAKS_AGAINST)


def mean_nats(pages: Sequence[Likeness]) -> dict[Trait, float]:
    """Return what each trait counts, the mean over the beats of the pages."""
    beats = sum(page.beats for page in pages)
    nats = dict.fromkeys((mark.trait for page in pages for mark in page.marks), 0.0)
    for page in pages:
        for mark in page.marks:
            nats[mark.trait] += mark.nats * page.beats / beats
    return nats


def page_likeness(
    windows: Windows, arrivals: Arrivals, tempo: Tempo, *, loudness: Floats, frame_s: float
) -> Likeness:
    """Return how like a watch a page of this loudness sounds (see `loud_share_of`)."""
    return likeness_of(
        windows,
        arrivals,
        tempo,
        noises=noises_of(windows, arrivals, tempo.period_s / 2),
        loud_share=loud_share_of(loudness, frame_s, tempo.period_s),
    )


def likeness_of(
    windows: Windows, arrivals: Arrivals, tempo: Tempo, *, noises: Noises, loud_share: float
) -> Likeness:
    """Return how like a watch a page sounds.

    Parameters
    ----------
    noises : profiles, separate noises and their explanation (`escapement.noises_of`)
    loud_share : share of the time in which it is loud (`loud_share_of`)
    """
    nats = {
        **side_nats(windows, arrivals),
        **variety_nats(windows, arrivals),
        **time_nats(windows, arrivals, tempo),
        **band_nats(windows, arrivals.heard),
        **shape_nats(noises.profiles),
        Trait.SILENCE: points(SILENCE, loud_share),
        Trait.FEW: points(FEW, max(len(events) for events in noises.events)),
    }
    order = order_nats(noises, tempo.period_s / 2, spaced=nats[Trait.COPIES] > COPIED)
    if order > 0:
        order *= max(0.0, 1 + min(nats[Trait.SIDES] + nats[Trait.SWELLS], 0.0) / 2)
    else:
        order = missing_nats(order, clear_db(noises.profiles))
    nats[Trait.ORDER] = order
    marks = tuple(TraitMark(trait, nats[trait]) for trait in Trait)
    return Likeness(marks, int(np.count_nonzero(arrivals.heard)))


def points(table: Table, figure: float) -> float:
    """Return the nats of a figure, 0 where there is none (NaN)."""
    return float(np.interp(figure, *table)) if math.isfinite(figure) else 0.0


def side_nats(windows: Windows, arrivals: Arrivals) -> dict[Trait, float]:
    """Return what it counts how tick and tock differ."""
    sides = compared_sides(windows, arrivals.shift, arrivals.heard)
    if sides is None:
        return {Trait.SIDES: 0.0, Trait.SWELLS: 0.0}
    return {
        Trait.SIDES: waves_nats(sides),
        Trait.SWELLS: swells_nats(sides, arrivals.coherence),
    }


def variety_nats(windows: Windows, arrivals: Arrivals) -> dict[Trait, float]:
    """Return what it counts that no two beats are quite alike, nor quite as strong."""
    size = windows.span.size
    energy = 2 * np.sum(np.abs(arrivals.templates * windows.white) ** 2) / size / 2
    noise = math.sqrt(windows.noise_power / max(float(energy), 1e-9))
    strength = arrivals.strength[arrivals.heard]
    middle = float(np.median(strength))
    scatter = MAD_TO_SIGMA * float(np.median(np.abs(strength - middle))) / middle
    sure = points(SURE, noise)
    change = points(UNLIKE, arrivals.coherence)
    if arrivals.coherence >= ALIKE_FROM:
        change = (1 - sure) * ALIKE_UNSURE + sure * points(ALIKE, arrivals.coherence)
    steady = sure * points(STEADY, math.sqrt(max(0.0, scatter**2 - noise**2)))
    if steady < 0:
        steady *= points(COPYING, arrivals.coherence) if arrivals.by_waveform else 0.0
    return {Trait.CHANGE: change + points(UNEQUAL, scatter), Trait.COPIES: steady}


def time_nats(windows: Windows, arrivals: Arrivals, tempo: Tempo) -> dict[Trait, float]:
    """Return what the arrivals count: an escapement is even, but not as even as a machine."""
    heard, rate_hz = arrivals.heard, windows.span.rate_hz
    arrival = (windows.start + arrivals.shift)[heard]
    side = windows.side[heard]
    line = fit_line(windows.number[heard].astype(np.float64), side, arrival)
    both = 0 < np.count_nonzero(side) < side.size
    expected = heard.size if both else np.count_nonzero(windows.side == side[0])
    return {
        Trait.JITTER: points(JITTER, math.log(1e6 * line.sigma / rate_hz + 1e-3)),
        Trait.EVEN: points(EVEN, line.sigma / rate_hz / (tempo.period_s / 2)),
        Trait.IN_BEAT: points(IN_BEAT, abs(float(line.start[1] - line.start[0])) / line.beat),
        Trait.HEARD: points(HEARD, side.size / expected),
    }


def band_nats(windows: Windows, heard: NDArray[np.bool_]) -> dict[Trait, float]:
    """Return what the width of the band counts: neither a tone nor hiss.

    The equivalent width of a spectrum, the square of its sum over the sum of its squares.
    """
    rows = np.flatnonzero(heard)
    rows = rows[np.unique(np.linspace(0, rows.size - 1, SOME_ROWS).astype(np.intp))]
    step_hz = windows.span.rate_hz / windows.span.size
    whitened = np.mean(np.abs(windows.spectra[rows]) ** 2, axis=0, dtype=np.float64)
    inside = windows.white > EDGE * windows.white.max()
    white = np.where(inside, windows.white, np.inf).astype(np.float64)
    power = np.maximum(whitened - windows.span.length, 0) / white**2
    smooth = running_mean(power / max(float(power.max()), 1e-300), round(SMOOTH_HZ / step_hz))
    width_hz = float(smooth.sum() ** 2 / max(float(np.sum(smooth**2)), 1e-12)) * step_hz
    whole_hz = min(HIGH_HZ, windows.span.rate_hz / 2) - LOW_HZ
    return {
        Trait.BAND: points(BAND, math.log(max(width_hz, 1.0))),
        Trait.HISS: points(HISS, width_hz / whole_hz),
    }


def shape_nats(profiles: tuple[list[Profile], list[Profile]]) -> dict[Trait, float]:
    """Return what it counts how short the noises are, and how clear of the room."""
    lasting = [1e3 * lasting_s(side[0]) for side in profiles if side]
    return {
        Trait.SHARP: points(SHARP, max(lasting, default=math.nan)),
        Trait.CLEAR: points(CLEAR, clear_db(profiles)),
    }


def lasting_s(profile: Profile) -> float:
    """Return how long the tick would last if it were as loud as at its loudest all the time."""
    above = np.maximum(profile.power - profile.floor, 0)
    return float(above.sum() / max(float(above.max()), 1e-12)) * profile.cell_s


def clear_db(profiles: tuple[list[Profile], list[Profile]]) -> float:
    """Return how far the louder side's loudest moment stands above its floor."""
    tops = [
        (float(side[0].power.max()) - side[0].floor) / max(side[0].floor, 1e-9)
        for side in profiles
        if side
    ]
    return 10 * math.log10(max([1e-3, *tops]))


def loud_share_of(loudness: Floats, frame_s: float, period_s: float) -> float:
    """Return the share of a period in which its mean loudness is high, 0.3 of the way to its top.

    `loudness` : shape (frames,), as `band.prominence` gives it
    """
    period = period_s / frame_s
    width = max(2, round(period))
    clipped = np.minimum(loudness, np.quantile(loudness, CLIP_QUANTILE))
    place = np.minimum((np.arange(clipped.size) / period % 1 * width).astype(np.intp), width - 1)
    mean = np.bincount(place, clipped, width) / np.maximum(np.bincount(place, minlength=width), 1)
    floor = float(np.quantile(mean, QUIET_QUANTILE))
    return float(np.mean(mean - floor > LOUD_LEVEL * (mean.max() - floor)))
