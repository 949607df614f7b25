"""The beat's tempo, found from the loudness alone, without being told.

Lags are in frames of `band.FRAME_S`. A watch repeats exactly after one full oscillation (a tick and
a tock); after one beat only as far as tick and tock sound alike and stand evenly. So the full
period is found first, and the fold over it shows whether it holds one beat or two.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.core.errors import NotEnough
from sideshake.sound.line import MAD_TO_SIGMA

SLOWEST_PER_HOUR = 5000.0
FASTEST_PER_HOUR = 43200.0
TOLD_TOLERANCE = 0.02
"""How far a watch may be from the beats per hour it is said to have: 2 % is half an hour a day."""
LONGEST_LAG_S = 4.0
SHORTEST_LAG = 50
USED_SHARE = 0.7
LEAST_TURNS = 2.5
"""Fewer periods than this cannot be folded on each other."""
MEAN_OVER_S = 0.5
CLIP_QUANTILE, CLIP_QUANTILE_TOLD = 0.98, 0.998
"""Told, the search is narrow and the beat may be slow: its few loud frames must not be clipped."""
NEEDED_SIGMAS = 6.5
"""A period is believed above this many sigmas of chance; experiments/tempo.py shows the choice."""
NEEDED_SHARE, LEAST_SIGMAS = 0.3, 5.0
"""... or above fewer, when this much of the loudness comes back after each period."""
FASTER_SHARE, SWELL_SHARE, OPPOSITE_SHARE = 0.5, -0.2, -0.75
LOUD_LEVEL, LOUD_MOST = 0.3, 0.285
"""Ticks are loud for 2 to 13 % of the time, clocks and metronomes in a room for up to 27 %."""
SECOND_BEAT_SHARE = 0.35
SECOND_BEAT_SIGMAS = 5.0
TOCK_WITHIN = (0.28, 0.72)
"""Where the second beat may stand in the full period; an even beat is at 0.5."""


class Silent(NotEnough):
    """There is no sound at all."""


class TooSlow(NotEnough):
    """Something repeats, but more slowly than what is looked for unasked."""

    def __init__(self, per_hour: float) -> None:
        """Keep its beats per hour, which are rough."""
        self.per_hour = per_hour
        super().__init__(
            f"something beats about {per_hour:.0f} times an hour, slower than the "
            f"{SLOWEST_PER_HOUR:.0f} that are looked for unasked; if it is a clock, record half a "
            "minute or more and say its beats per hour"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tempo:
    """A full oscillation and when its two beats come (seconds from the first frame).

    `sides` says how many of the two beats were seen (1 when tick and tock coincide in the fold or
    only one of them can be heard); `one_heard` that the other was looked for and is not there;
    `sigmas` how far the period stands above chance.
    """

    period_s: float
    first_s: float
    second_s: float
    sides: int
    sigmas: float
    one_heard: bool = False

    @property
    def beats_per_hour(self) -> float:
        """Return the tempo as the trade says it."""
        return 7200.0 / self.period_s


def find_tempo(
    loudness: NDArray[np.float64], frame_s: float, *, beats_per_hour: float | None = None
) -> Tempo:
    """Return the tempo of the ticking in `loudness` (shape (frames,), see `band.prominence`).

    `beats_per_hour`, when given, narrows the search to within 2 % of it.

    Raises
    ------
    NotEnough : nothing repeats clearly enough, or what repeats is slower or faster than a watch
    """
    clip = CLIP_QUANTILE if beats_per_hour is None else CLIP_QUANTILE_TOLD
    course = levelled(loudness, frame_s, clip)
    likeness = autocorrelation(course)
    longest = min(LONGEST_LAG_S / frame_s, USED_SHARE * course.size)
    periods = candidate_periods(longest, frame_s, beats_per_hour)
    scores = comb_scores(likeness, periods, longest)
    best = int(np.argmax(scores))
    if course.size < LEAST_TURNS * periods[best]:
        raise NotEnough(
            f"{course.size * frame_s:.1f} s of sound is too short for what repeats in it"
        )
    sigmas = float(scores[best]) / chance_sigma(likeness, longest)
    share = scores[best] / np.sqrt(int(longest / periods[best]))
    if sigmas < (NEEDED_SIGMAS if share < NEEDED_SHARE else LEAST_SIGMAS):
        raise NotEnough("nothing in this sound repeats as steadily as a watch")
    period = sharpened(course, periods[best])
    tempo = settle(course, period, frame_s, told=beats_per_hour, sigmas=sigmas)
    refuse_no_ticks(likeness, tempo, frame_s, longest)
    return tempo


def refuse_music(loudness: NDArray[np.float64], frame_s: float, tempo: Tempo) -> None:
    """Raise NotEnough if what repeats is loud for longer than ticks are."""
    course = levelled(loudness, frame_s, CLIP_QUANTILE)
    if loud_share(course, tempo.period_s / frame_s) > LOUD_MOST:
        raise NotEnough("what repeats here lasts too long to be ticks: music, perhaps")


def refuse_no_ticks(
    likeness: NDArray[np.float64], tempo: Tempo, frame_s: float, longest: float
) -> None:
    """Raise NotEnough if what repeats is a tone or a swell: experiments/not_ticking.py has the
    figures.

    Ticks are short: between two beats of a side the sound is unlike itself but for the other side.
    """
    period = tempo.period_s / frame_s
    usual = between_teeth(likeness, period, 1, longest)
    parts = [between_teeth(likeness, period, n, longest) / usual for n in range(2, 11)]
    if max(parts[1:]) > FASTER_SHARE:
        raise NotEnough("what repeats here comes faster than a watch beats: hum or music")
    swells = tempo.sides == 1 and tempo.sigmas < NEEDED_SIGMAS and parts[2] < SWELL_SHARE
    if swells or (tempo.sides == 2 and parts[0] < OPPOSITE_SHARE):
        raise NotEnough("this sound swells and fades, it does not tick")


def loud_share(course: NDArray[np.float64], period: float) -> float:
    """Return the share of the period in which the fold is loud: above 0.3 of the way to its peak.

    0 where the course is too short to fold.
    """
    if course.size < 3 * period:
        return 0.0
    profile = fold(course, period)
    floor = float(np.quantile(profile, 0.1))
    return float(np.mean(profile - floor > LOUD_LEVEL * (profile.max() - floor)))


def between_teeth(
    likeness: NDArray[np.float64], period: float, parts: int, longest: float
) -> float:
    """Return the mean likeness at multiples of a part of the period that are not whole periods."""
    count = np.arange(1, int(min(longest, likeness.size - 2) * parts / period) + 1)
    lags = count[(count % parts != 0) | (parts == 1)] * period / parts
    return float(np.mean(likeness_at(likeness, lags)))


def likeness_at(likeness: NDArray[np.float64], lags: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the likeness at lags between the whole ones, by straight lines."""
    low = lags.astype(np.intp)
    share = lags - low
    left = likeness[low]
    return np.asarray(left + share * (likeness[low + 1] - left))


def levelled(loudness: NDArray[np.float64], frame_s: float, clip: float) -> NDArray[np.float64]:
    """Return the loudness with loud outliers clipped, less its own running mean."""
    clipped = np.minimum(loudness, np.quantile(loudness, clip))
    width = 2 * round(MEAN_OVER_S / frame_s / 2) + 1
    sums = np.cumsum(np.pad(clipped, (width // 2 + 1, width // 2), mode="reflect"))
    return np.asarray(clipped - (sums[width:] - sums[:-width]) / width)


def autocorrelation(course: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the likeness of the course to itself at each lag, 1 at lag 0, smoothed over 5 lags."""
    size = fft.next_fast_len(2 * course.size, real=True)
    power = np.abs(fft.rfft(course, size)) ** 2
    raw = fft.irfft(power, size)[: course.size]
    pairs = course.size - np.arange(course.size)
    if not raw[0] > 0:
        raise Silent("the sound is silent or constant")
    return np.convolve(raw / raw[0] * course.size / pairs, [0.1, 0.2, 0.4, 0.2, 0.1], mode="same")


def candidate_periods(
    longest: float, frame_s: float, beats_per_hour: float | None
) -> NDArray[np.float64]:
    """Return the periods to try, finely enough that the longest lag is met within half a frame."""
    low_s, high_s = 3600 / FASTEST_PER_HOUR, 7200 / SLOWEST_PER_HOUR
    if beats_per_hour is not None:
        told_s = 7200 / beats_per_hour
        low_s, high_s = told_s / (1 + TOLD_TOLERANCE), told_s * (1 + TOLD_TOLERANCE)
    most = longest / 2 if beats_per_hour is None else longest
    low, high = low_s / frame_s, min(high_s / frame_s, most)
    if low >= high:
        raise NotEnough(
            f"{longest * frame_s / USED_SHARE:.1f} s of sound is too short: "
            f"{low_s * longest / most / USED_SHARE:.1f} s is the least to find this tempo"
        )
    return np.geomspace(low, high, int(np.log(high / low) * 2 * longest) + 2)


def comb_scores(
    likeness: NDArray[np.float64], periods: NDArray[np.float64], longest: float
) -> NDArray[np.float64]:
    """Return the likeness at all multiples of each period: their sum over the root of their count.

    For chance alone this is about normal with sigma 1/sqrt(frames). A multiple of the true period
    has fewer teeth on the comb and a fraction of it has misses, so the true one wins.
    """
    teeth = (longest / periods).astype(np.intp)  # the longer the period, the fewer
    scores = np.zeros(periods.size)
    for k in range(1, int(teeth[0]) + 1):
        some = slice(np.count_nonzero(teeth >= k))
        scores[some] += likeness_at(likeness, k * periods[some])
    return np.asarray(scores / np.sqrt(teeth))


def chance_sigma(likeness: NDArray[np.float64], longest: float) -> float:
    """Return the robust scatter of the likeness over the lags between beats."""
    some = likeness[SHORTEST_LAG : int(longest)]
    return float(MAD_TO_SIGMA * np.median(np.abs(some - np.median(some))))


def turns_of(course: NDArray[np.float64], period: float) -> NDArray[np.float64]:
    """Return the course cut into whole periods (frames), shape (turns, frames of a period)."""
    width = round(period)
    turns = int((course.size - width) / period)
    first = np.rint(np.arange(turns) * period).astype(np.intp)
    return np.asarray(np.lib.stride_tricks.sliding_window_view(course, width)[first])


def fold(course: NDArray[np.float64], period: float) -> NDArray[np.float64]:
    """Return the mean course over one period (frames), each bin without its loudest quarter.

    The trim keeps knocks out while a beat that is missing now and then still shows.
    """
    ranked = np.sort(turns_of(course, period), axis=0)
    turns = ranked.shape[0]
    return np.asarray(ranked[: max(1, turns - turns // 4)].mean(axis=0))


def sharpened(course: NDArray[np.float64], period: float) -> float:
    """Return the period near `period` whose fold has the strongest relief."""
    for step in (0.5, 0.1):
        most = min(step * period / course.size, TOLD_TOLERANCE / 2)
        tries = period * (1 + most * np.linspace(-1, 1, 9))
        plain = [turns_of(course, each).mean(axis=0) for each in tries]
        relief = [np.var(np.convolve(each, np.ones(3))) for each in plain]
        period = float(tries[int(np.argmax(relief))])
    return period


def settle(
    course: NDArray[np.float64], period: float, frame_s: float, *, told: float | None, sigmas: float
) -> Tempo:
    """Return the tempo once the fold has told whether the period holds one beat or two."""
    profile = np.convolve(np.pad(fold(course, period), 2, mode="wrap"), np.full(5, 0.2), "valid")
    first = int(np.argmax(profile))
    second = second_beat(profile, first)
    sides = 1 if second is None else 2
    if told is None and second is None:
        period, second = 2 * period, first + round(period)
    elif second is None:
        second = first + round(period / 2)
    per_hour = 7200 / (period * frame_s)
    if told is None and per_hour < SLOWEST_PER_HOUR:
        raise TooSlow(per_hour)
    if told is None and per_hour > FASTEST_PER_HOUR:
        raise NotEnough(
            f"something beats {per_hour:.0f} times an hour, faster than any watch "
            f"({FASTEST_PER_HOUR:.0f})"
        )
    one_heard = told is not None and sides == 1
    first, second = sorted((first, second))
    return Tempo(
        period_s=period * frame_s, first_s=first * frame_s, second_s=second * frame_s,
        sides=sides, sigmas=sigmas, one_heard=one_heard,
    )  # fmt: skip


def second_beat(profile: NDArray[np.float64], first: int) -> int | None:
    """Return where a second beat stands in the folded profile, or None if there is only one."""
    size = profile.size
    around = np.roll(profile, -first)
    inside = np.arange(round(TOCK_WITHIN[0] * size), round(TOCK_WITHIN[1] * size))
    best = int(inside[np.argmax(around[inside])])
    floor = np.quantile(around, 0.25)
    noise = MAD_TO_SIGMA * np.median(np.abs(np.diff(around)))
    rise = around[best] - floor
    if rise < SECOND_BEAT_SHARE * (around[0] - floor) or rise < SECOND_BEAT_SIGMAS * noise:
        return None
    return (first + best) % size
