"""Beats made white by a filter that only rings after a noise, never before it.

The background is made white by a factor for each frequency alone, which rings before a noise as it
does after. What a noise begins with drowns in that. With the least phase that goes with the same
factors (Oppenheim & Schafer, Discrete-Time Signal Processing, ch. "minimum-phase systems": the
phase is the Hilbert transform of the logarithm of the magnitude) nothing comes before its cause,
and the background stays as white as it was.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.sound.windows import Waves, Windows

GRID_HZ = 48000.0
"""What is kept ends at 22 kHz: at this rate a noise is as sharp as at any higher one."""
DEEPEST_DB = 30.0
"""Outside the band the factor counts as so much less than its greatest: a deeper stop band would
delay low tones longer."""


@dataclass(frozen=True, slots=True)
class Causal:
    """Waves that begin with their cause, shape (rows, columns), `rate_hz` columns a second."""

    waves: Waves
    rate_hz: float


def causal_beats(waves: Waves, windows: Windows) -> Causal:
    """Return whitened waves of the windows' size as a causal filter would have made them."""
    size, rate_hz = windows.span.size, windows.span.rate_hz
    columns = 2 * round(size * GRID_HZ / rate_hz / 2)
    spectra = fft.rfft(waves, size, axis=1) * least_phase(windows.white, size)
    turned = fft.irfft(spectra, columns, axis=1) * np.float32(columns / size)
    grid_hz = rate_hz * columns / size
    length = int(windows.span.length * grid_hz / rate_hz)
    return Causal(np.asarray(turned[:, :length], np.float32), grid_hz)


def least_phase(factor: Waves, size: int) -> NDArray[np.complex64]:
    """Return the turns that make a filter of real factors, one for each frequency, causal.

    `size` : of the transform the frequencies belong to
    """
    least = float(factor.max()) * 10 ** (-DEEPEST_DB / 20)
    logarithm = np.log(np.maximum(factor, max(least, 1e-30)).astype(np.float64))
    course = fft.irfft(logarithm, size)
    course[1 : (size + 1) // 2] *= 2
    course[size // 2 + 1 :] = 0
    phase = fft.rfft(course).imag
    return np.asarray(np.exp(1j * phase), np.complex64)
