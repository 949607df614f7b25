"""How far a fitted slope can be trusted when the scatter about it is correlated.

A bent wheel makes late beats follow late ones; then the textbook uncertainty of a slope, which
takes every beat as independent, is several times too small. Here the scatter's spectrum is
estimated by an autoregression and the slope's variance is that spectrum weighed by the slope's own
filter.
"""

import numpy as np
from numpy.typing import NDArray
from scipy import fft
from scipy.linalg import solve_toeplitz

Floats = NDArray[np.float64]

MOST_ORDER = 24
BEATS_PER_ORDER = 6


def slope_uncertainty(index: NDArray[np.int64], rest: Floats) -> float:
    """Return the standard uncertainty of a slope fitted over `index` that left `rest`.

    Parameters
    ----------
    index : shape (n,), whole numbers, rising, gaps allowed
    rest : shape (n,), what the fit left, any unit; the result is in that unit per index

    References
    ----------
    Priestley (1981), Spectral Analysis and Time Series, par. 7.2-7.8: variance of a weighted sum
    from the spectrum; order by Schwarz (1978), Ann. Stat. 6, 461-464
    """
    place = (index - index[0]).astype(np.intp)
    lags = autocovariance(place, rest, min(MOST_ORDER, rest.size // BEATS_PER_ORDER))
    coefficients, variance = autoregression(lags, rest.size)
    size = int(fft.next_fast_len(2 * (int(place[-1]) + 1), real=True))
    centred = index - index.mean()
    filter_ = np.zeros(size)
    filter_[place] = centred / np.sum(centred**2)
    gain = np.abs(fft.rfft(filter_)) ** 2
    response = np.abs(fft.rfft(np.concatenate([[1.0], -coefficients]), size)) ** 2
    twice = np.full(gain.size, 2.0)
    twice[0] = 1.0
    return float(np.sqrt(np.sum(twice * gain * variance / response) / size))


def autocovariance(place: NDArray[np.intp], rest: Floats, lags: int) -> Floats:
    """Return the autocovariance at lags 0 to `lags`, over the pairs that are there."""
    course = np.zeros(int(place[-1]) + 1)
    there = np.zeros(course.size)
    course[place] = rest
    there[place] = 1.0
    covariance = np.empty(lags + 1)
    for lag in range(lags + 1):
        cut = course.size - lag
        pairs = max(1.0, float(there[:cut] @ there[lag:]))
        covariance[lag] = (course[:cut] @ course[lag:]) / pairs * (1 - lag / course.size)
    return covariance


def autoregression(covariance: Floats, count: int) -> tuple[Floats, float]:
    """Return coefficients and innovation variance of the order that Schwarz's criterion prefers.

    The variance is scaled up for the degrees of freedom that line and autoregression took.
    """
    best, chosen, variance = np.inf, np.empty(0), float(covariance[0])
    for order in range(covariance.size):
        trial = np.empty(0)
        if order:
            trial = solve_toeplitz(covariance[:order], covariance[1 : order + 1])
        left = float(covariance[0] - trial @ covariance[1 : order + 1])
        if left <= 0:
            break
        cost = count * np.log(left) + order * np.log(count)
        if cost < best:
            best, chosen = cost, trial
            variance = left * count / max(1, count - 3 - order)
    return chosen, variance
