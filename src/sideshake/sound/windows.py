"""Every expected beat cut out of the sound, with the background made white.

Shapes: (beats, samples) for waves, (beats, frequencies) for their spectra.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.band import HIGH_HZ, LOW_HZ

Waves = NDArray[np.float32]
Spectra = NDArray[np.complex64]
Index = NDArray[np.intp]

LEAD_SHARE, TAIL_SHARE = 0.2, 0.26
LEAD_MOST_S, TAIL_MOST_S = 0.04, 0.06
"""How far a window in which beats are timed reaches before and after its loudest moment, as a share
of the beat and at most."""
TICK_LEAD_SHARE, TICK_TAIL_SHARE = 0.24, 0.30
"""The same of a window that holds the whole tick: at 90 degrees of
amplitude unlocking and drop stand 0.19 beats apart with a lift angle of 52 degrees, 0.22 with 60
(exact sine formula), and either may be the loudest."""
TICK_LEAD_MOST_S, TICK_TAIL_MOST_S = 0.07, 0.09
REACH_S = 6e-3
TAPER_S = 1.5e-3
SMOOTH_HZ = 1500.0
QUIET_QUANTILE = 0.25
QUIET_GAPS = 24
LEAST_POWER = 1e-14
EMPTY_SHARE = 0.1
"""Where the background has less than this share of its usual power (median over the band) nothing
was recorded, as above 20 kHz after a lossy codec; it must not be blown up into a loud hiss."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowSpan:
    """How windows are cut: samples before and after a beat's expected moment, and their room."""

    lead: int
    tail: int
    rate_hz: int

    @property
    def length(self) -> int:
        """Return the number of samples of a window."""
        return self.lead + self.tail

    @property
    def reach(self) -> int:
        """Return the largest shift that is ever looked at, in samples."""
        return round(REACH_S * self.rate_hz)

    @property
    def size(self) -> int:
        """Return the transform length: a window and room for shifts on both sides."""
        return int(fft.next_fast_len(self.length + 2 * self.reach, real=True))

    @property
    def cycles(self) -> NDArray[np.float64]:
        """Return the frequencies of a window's spectrum in cycles a sample."""
        return np.asarray(fft.rfftfreq(self.size))

    @property
    def freq_hz(self) -> NDArray[np.float64]:
        """Return the frequencies of a window's spectrum."""
        return np.asarray(fft.rfftfreq(self.size, 1 / self.rate_hz))


def span_for(beat_s: float, rate_hz: int) -> WindowSpan:
    """Return the span in which the beats of a watch with this beat are timed."""
    lead_s = min(LEAD_SHARE * beat_s, LEAD_MOST_S)
    tail_s = min(TAIL_SHARE * beat_s, TAIL_MOST_S)
    return WindowSpan(lead=round(lead_s * rate_hz), tail=round(tail_s * rate_hz), rate_hz=rate_hz)


def tick_span_for(beat_s: float, rate_hz: int) -> WindowSpan:
    """Return the span that holds the whole tick of a watch with this beat at any amplitude."""
    lead_s = min(TICK_LEAD_SHARE * beat_s, TICK_LEAD_MOST_S)
    tail_s = min(TICK_TAIL_SHARE * beat_s, TICK_TAIL_MOST_S)
    return WindowSpan(lead=round(lead_s * rate_hz), tail=round(tail_s * rate_hz), rate_hz=rate_hz)


@dataclass(frozen=True, slots=True)
class Windows:
    """The beats of one page: whitened waves and spectra, sides, and where each window starts.

    `white` is the factor per frequency that made the background white; a sample of background
    then has variance 1 over the whole band and, away from the edges, `noise_power` within ours.
    """

    span: WindowSpan
    start: Index
    number: Index
    side: NDArray[np.int8]
    waves: Waves
    spectra: Spectra
    white: Waves
    noise_power: float


def cut_windows(
    samples: Waves, start: Index, number: Index, side: NDArray[np.int8], *, span: WindowSpan
) -> Windows:
    """Return the windows that begin at `start`; all must lie inside `samples`."""
    white = whitener(quiet_power(samples, start, span), span)
    spectra = window_spectra(samples, start, span) * white
    waves = fft.irfft(spectra, span.size, axis=1)
    noise_power = float(np.count_nonzero(white)) / white.size
    return Windows(span, start, number, side, waves, spectra, white, noise_power)


def cropped(windows: Windows, first: int, last: int) -> Windows:
    """Return the windows cut down to the samples from `first` up to `last`."""
    span = windows.span
    narrow = WindowSpan(lead=span.lead - first, tail=last - span.lead, rate_hz=span.rate_hz)
    waves = np.zeros((windows.start.size, narrow.size), np.float32)
    waves[:, : narrow.length] = windows.waves[:, first:last]
    white = np.interp(narrow.freq_hz, span.freq_hz, windows.white).astype(np.float32)
    return replace(
        windows,
        span=narrow,
        start=windows.start + first,
        waves=waves,
        spectra=fft.rfft(waves, axis=1),
        white=white,
    )


def window_spectra(samples: Waves, start: Index, span: WindowSpan) -> Spectra:
    """Return the spectra of the windows, their edges brought gently to zero against hum."""
    edge = max(2, round(TAPER_S * span.rate_hz))
    taper = np.ones(span.length, np.float32)
    taper[:edge] = 0.5 - 0.5 * np.cos(np.pi * (np.arange(edge) + 0.5) / edge)
    taper[-edge:] = taper[:edge][::-1]
    return np.asarray(fft.rfft(stretches(samples, start, span.length) * taper, span.size, axis=1))


def stretches(samples: Waves, start: Index, length: int) -> Waves:
    """Return the stretches of `length` samples that begin at each `start`."""
    return np.lib.stride_tricks.sliding_window_view(samples, length)[start]


def quiet_power(samples: Waves, start: Index, span: WindowSpan) -> NDArray[np.float64]:
    """Return the background's power at each frequency, from the sound between the beats.

    The lower quartile over the gaps, scaled as for Gaussian noise: knocks, long echoes and a
    neighbouring beat do not count as background.
    """
    gaps = start + span.length
    gaps = gaps[gaps + span.length <= samples.size]
    if gaps.size == 0:
        gaps = start
    some = gaps[:: max(1, gaps.size // QUIET_GAPS)]
    spectra = window_spectra(samples, some, span)
    power = spectra.real**2 + spectra.imag**2
    quiet = quantile_of_rows(power, QUIET_QUANTILE) / -np.log(1 - QUIET_QUANTILE)
    return running_mean(quiet, round(SMOOTH_HZ * span.size / span.rate_hz))


def quantile_of_rows(rows: Waves, share: float) -> NDArray[np.float64]:
    """Return a quantile over few rows, for each column (sorting is far faster than `quantile`)."""
    ranked = np.sort(rows, axis=0).astype(np.float64)
    place = share * (rows.shape[0] - 1)
    low = int(place)
    high = min(low + 1, rows.shape[0] - 1)
    return np.asarray(ranked[low] + (place - low) * (ranked[high] - ranked[low]))


def whitener(quiet: NDArray[np.float64], span: WindowSpan) -> Waves:
    """Return the factor for each frequency that makes the background white, 0 outside the band."""
    inside = (span.freq_hz > LOW_HZ) & (span.freq_hz < HIGH_HZ)
    floor = EMPTY_SHARE * float(np.median(quiet[inside]))
    return np.where(
        inside, np.sqrt(span.length / (np.maximum(quiet, floor) + LEAST_POWER)), 0.0
    ).astype(np.float32)


def running_mean(values: NDArray[np.float64], width: int) -> NDArray[np.float64]:
    """Return the mean over the nearest values, an odd number of at least `width`, last axis."""
    half = max(1, width // 2)
    edges = [(0, 0)] * (values.ndim - 1) + [(half + 1, half)]
    sums = np.cumsum(np.pad(values, edges, mode="edge"), axis=-1, dtype=np.float64)
    return (sums[..., 2 * half + 1 :] - sums[..., : -2 * half - 1]) / (2 * half + 1)
