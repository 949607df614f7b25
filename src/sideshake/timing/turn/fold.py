"""Lateness folded round one turn of the escape wheel: what comes back each turn, what does not.

A tooth passes in two beats, so a wheel of fifteen teeth has thirty places. Beat numbers go on
through beats that were not heard, so that a place is the same one from the first turn to the last.
Slow changes (other wheels, warming, running down) are taken out first, or they would count as
scatter. Times in seconds.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.line import BISQUARE, LEAST_WEIGHT, bisquare, robust_sigma

if TYPE_CHECKING:
    from sideshake.timing.reading import Reading

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

BEATS_PER_TOOTH = 2
TEETH = (6, 60)
LEAST_TURNS = 4
LEAST_BEATS = 3
"""A place with fewer beats has no mean to go by."""
ROUNDS = 6
FALSE_ALARM = 0.002
"""How often chance alone makes any place stand out; and, apart from that, makes a wave."""
MEDIAN_VARIANCE = math.pi / 2
"""Variance of a median over that of a mean, for many Gaussian values."""
FREEDOM_SHARE = 0.5
"""Robust weights, and a slow course that follows the beats, know the scatter less well:
experiments/fold.py."""
SMOOTHED = 1.9
"""The slow course takes most of what swings less often than once a turn, so the turns' waves differ
less than chance makes their mean, by this in the mean square: experiments/fold.py."""
LEAST_SLOPE = 0.2
"""The weights never give less than this of a small shift of all beats."""
LEAST_U_S = 1e-9
"""Below a nanosecond stands only the arithmetic."""
LEAST_OF_TURN = 0.7
"""A turn of which fewer beats were heard says nothing about a wave."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelTurn:
    """One turn of the escape wheel as the mean of all; shapes (2 teeth,), by place.

    `late_s`, `u_s` : mean lateness against the even beat, and its standard uncertainty
    `beats` : how many beats each mean rests on
    `scatter_s` : robust standard deviation of single beats about their place's mean: what does not
    come back; `slow_s` the same of the slow changes, which are taken out
    `wave` : cosine and sine of what swings once a turn; `wave_u_s` their standard uncertainty
    `in_beat_known` : whether the beat error is in `late_s`; else tick and tock are each about 0
    """

    escape_teeth: int
    turns: int
    late_s: Floats
    u_s: Floats
    beats: Places
    scatter_s: float
    slow_s: float
    wave: tuple[float, float]
    wave_u_s: float
    in_beat_known: bool

    @property
    def places(self) -> int:
        """Return how many beats a turn has."""
        return int(self.late_s.size)

    @property
    def side(self) -> NDArray[np.int8]:
        """Return 0 for the places of ticks, 1 for those of tocks."""
        return (np.arange(self.places) % 2).astype(np.int8)

    @property
    def levels_s(self) -> Floats:
        """Return the median lateness of ticks and of tocks; half the beat error each way."""
        return np.array([np.median(self.late_s[one::2]) for one in (0, 1)])

    @property
    def apart_s(self) -> Floats:
        """Return by how much each place is later than its own side, which beat error leaves."""
        return np.asarray(self.late_s - self.levels_s[self.side])

    @property
    def apart_u_s(self) -> Floats:
        """Return the standard uncertainty of `apart_s`."""
        return np.asarray(self.u_s * math.sqrt(1 + MEDIAN_VARIANCE / self.escape_teeth))

    @property
    def stands_out(self) -> NDArray[np.bool_]:
        """Return which places are early or late by more than chance makes any of them.

        References
        ----------
        Student's t with Bonferroni's share for each place; the tail of a few in a thousand is that
        of all places together, however they hang together.
        """
        from scipy import special  # late: a kept turn is shown without it

        free = FREEDOM_SHARE * freedom(int(self.beats.sum()), self.places, self.turns)
        most = float(special.stdtrit(free, 1 - FALSE_ALARM / (2 * self.places)))
        return np.asarray(np.abs(self.apart_s) > most * self.apart_u_s)

    @property
    def waves(self) -> bool:
        """Return whether a wave once a turn is more than chance.

        References
        ----------
        Bloomfield (2000), Fourier Analysis of Time Series, ch. 8: F test of one frequency; here the
        turns are the independent draws. P(F(2, n) > f) = (1 + 2 f / n) ** (-n / 2).
        """
        free = 2 * (self.turns - 1)
        ratio = self.wave_s.value**2 / (2 * self.wave_u_s**2)
        return bool((1 + 2 * ratio / free) ** (-free / 2) < FALSE_ALARM)

    @property
    def wave_s(self) -> Measured:
        """Return how far lateness swings to each side once a turn."""
        return Measured(math.hypot(*self.wave), self.wave_u_s)


def fold(reading: "Reading", escape_teeth: int) -> WheelTurn:
    """Return a reading's lateness folded round one turn of the escape wheel.

    Beats far off do not count: they are judged against their own place, for the reading's own
    weights would leave out every beat of a tooth that is always late.

    Parameters
    ----------
    reading : its lateness and beat numbers are used
    escape_teeth : 6 to 60; a lever escapement lets one pass in two beats

    Raises
    ------
    InputError : no escape wheel has so many teeth
    NotEnough : fewer than four turns, or places at which fewer than three beats were heard

    References
    ----------
    Cleveland et al. (1990), J. Official Stat. 6, 3-73: season and slow course in turn, each from
    what the other leaves, with robust weights
    """
    require_teeth(escape_teeth)
    index, size = reading.heard.beats.index, BEATS_PER_TOOTH * escape_teeth
    place = np.asarray(index % size, np.intp)
    require_turns(reading, place, size)
    turns = turns_in(index, size)
    late_s = reading.lateness_s
    slow = first_course(late_s, reading.heard.beats.side, size)
    centre = medians_of(late_s - slow, place, size)
    weight = np.ones(late_s.size)
    for _ in range(ROUNDS):
        weight = bisquare(*scattered(late_s - slow - centre[place], size, turns))
        slow = slow_course(index, late_s - centre[place], weight, size)
        centre = means_of(late_s - slow, place, weight, size)
    rest, sigma = scattered(late_s - slow - centre[place], size, turns)
    level = float(weight @ slow / weight.sum())
    beats = np.bincount(place, weight > LEAST_WEIGHT, size).astype(np.intp)
    require_beats(beats)
    shares = each_turn(index, late_s - slow - side_levels(centre)[place % 2], weight, size)
    counted_s = counted_scatter(rest, sigma, freedom(rest.size, size, turns))
    return WheelTurn(
        escape_teeth=escape_teeth,
        turns=turns,
        late_s=centre + level,
        u_s=np.maximum(counted_s / np.sqrt(beats), LEAST_U_S),
        beats=beats,
        scatter_s=sigma,
        slow_s=float(robust_sigma(slow - level)),
        wave=(float(shares.real.mean()), float(-shares.imag.mean())),
        wave_u_s=wave_u(shares, counted_s / math.sqrt(beats.sum() / 2)),
        in_beat_known=reading.beat_error_ms is not None,
    )


def turn_of(reading: "Reading", escape_teeth: int | None) -> WheelTurn | None:
    """Return the folded lateness; None without the teeth, or with too few beats for it."""
    if escape_teeth is None:
        return None
    try:
        return fold(reading, escape_teeth)
    except NotEnough:
        return None


def require_teeth(escape_teeth: int) -> None:
    """Raise InputError for a number of teeth that no escape wheel has."""
    least, most = TEETH
    if not least <= escape_teeth <= most:
        raise InputError(
            f"an escape wheel of {escape_teeth} teeth cannot be: {least} to {most} is allowed, "
            "most watches have 15"
        )


def require_turns(reading: "Reading", place: Places, size: int) -> None:
    """Raise NotEnough for a recording too short, or with too many gaps, to be folded."""
    least_s = LEAST_TURNS * size * reading.beat_s.value
    if turns_in(reading.heard.beats.index, size) < LEAST_TURNS:
        raise NotEnough(
            f"{LEAST_TURNS} turns of the escape wheel take {least_s:.0f} s of ticking, "
            "and less was heard"
        )
    require_beats(np.bincount(place, minlength=size))


def require_beats(beats: Places) -> None:
    """Raise NotEnough where a place of the wheel was heard too rarely, or too far off to count."""
    if int(beats.min()) < LEAST_BEATS:
        raise NotEnough("at some places of the escape wheel too few beats were heard")


def turns_in(index: NDArray[np.int64], size: int) -> int:
    """Return how many whole turns the beats span."""
    return int((index[-1] - index[0] + 1) // size)


def freedom(beats: int, size: int, turns: int) -> float:
    """Return the degrees of freedom left by the places and by the slow course."""
    return max(1.0, beats - size - turns - 3.0)


def scattered(rest: Floats, size: int, turns: int) -> tuple[Floats, float]:
    """Return what is left, and its robust scatter, allowing for what was fitted."""
    free = freedom(rest.size, size, turns)
    return rest, robust_sigma(rest) * math.sqrt(rest.size / free)


def counted_scatter(rest: Floats, sigma: float, free: float) -> float:
    """Return the scatter that the mean of beats weighted by their distance has, times root n.

    References
    ----------
    Huber (1981), Robust Statistics, par. 7.6: variance of an M-estimate, here Tukey's bisquare
    """
    near = np.clip(np.abs(rest) / (BISQUARE * sigma + 1e-12), 0, 1) ** 2
    slope = float(np.mean((1 - near) * (1 - 5 * near)))
    return math.sqrt(float(np.sum((rest * (1 - near) ** 2) ** 2)) / free) / max(slope, LEAST_SLOPE)


def first_course(late_s: Floats, side: NDArray[np.int8], size: int) -> Floats:
    """Return a slow course to begin with: the running median over a turn, tick like tock."""
    from scipy.ndimage import median_filter  # late: a kept turn is shown without it

    level = np.array([np.median(late_s[side == one]) for one in (0, 1)])
    return np.asarray(median_filter(late_s - level[side], size + 1, mode="nearest"))


def slow_course(index: NDArray[np.int64], value: Floats, weight: Floats, size: int) -> Floats:
    """Return the slow course at each beat: a straight line through the turn about it.

    At the ends, and where beats are missing, a mean would lean to one side; a line does not.
    """
    at = (index - index[0]).astype(np.intp)
    offset = np.arange(-size // 2, size // 2 + 1, dtype=np.float64)
    box = np.ones(offset.size)
    box[[0, -1]] = 0.5
    dense, moments = np.zeros((2, int(at[-1]) + 1)), []
    dense[0, at], dense[1, at] = weight, weight * value
    for row, power in ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1)):
        kernel = box * (-offset) ** power
        moments.append(np.convolve(dense[row], kernel)[size // 2 + at])
    s0, s1, s2, m0, m1 = moments
    spread = s0 * s2 - s1**2
    lies = spread > 1e-9 * s0**2
    line = (s2 * m0 - s1 * m1) / np.where(lies, spread, 1.0)
    return np.asarray(np.where(lies, line, m0 / s0))


def medians_of(value: Floats, place: Places, size: int) -> Floats:
    """Return the median at each place."""
    return np.array([np.median(value[place == one]) for one in range(size)])


def means_of(value: Floats, place: Places, weight: Floats, size: int) -> Floats:
    """Return the weighted mean at each place."""
    total = np.bincount(place, weight, size)
    return np.asarray(np.bincount(place, weight * value, size) / total)


def side_levels(centre: Floats) -> Floats:
    """Return the mean over the places of ticks and over those of tocks."""
    return np.array([centre[0::2].mean(), centre[1::2].mean()])


def each_turn(
    index: NDArray[np.int64], rest: Floats, weight: Floats, size: int
) -> NDArray[np.complex128]:
    """Return the once-a-turn wave of each turn that was heard well enough, as a complex number."""
    turn = (index - index[0]) // size
    wheel = np.exp(-2j * np.pi * (index % size) / size)
    total = np.bincount(turn, weight)
    share = np.bincount(turn, weight * (rest * wheel).real) + 1j * np.bincount(
        turn, weight * (rest * wheel).imag
    )
    good = total >= LEAST_OF_TURN * size
    if np.count_nonzero(good) < 2:
        raise NotEnough("in most turns of the escape wheel too few beats were heard")
    return np.asarray(2 * share[good] / total[good])


def wave_u(shares: NDArray[np.complex128], even_s: float) -> float:
    """Return the standard uncertainty of the wave's cosine and sine.

    By how the turns differ, for scatter that hangs together over some beats, and never less than by
    even scatter.
    """
    differ = SMOOTHED * float(np.var(shares, ddof=1)) / (2 * shares.size)
    return max(math.sqrt(differ), even_s, LEAST_U_S)
