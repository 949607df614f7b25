"""From samples to loudness: power per frame of about a millisecond and per frequency band.

The watch is heard where it stands out: each band is measured against its own usual power, so hum
and rumble weigh nothing however loud they are, and a band that only ticks can raise counts fully.
"""

import numpy as np
from numpy.typing import NDArray
from scipy import fft

FRAME_S = 1e-3
LOW_HZ = 900.0
"""Below this lie hum, rumble and handling; experiments/band.py compares the choices."""
HIGH_HZ = 22000.0
CHUNK_FRAMES = 4096
USUAL_EVERY = 19
SMALLEST_POWER = 1e-20


def frame_length(rate_hz: int) -> int:
    """Return the number of samples in a frame."""
    return max(8, round(rate_hz * FRAME_S))


def frame_powers(samples: NDArray[np.float32], rate_hz: int) -> NDArray[np.float32]:
    """Return the power of each whole frame in each band.

    Parameters
    ----------
    samples : shape (n,); frames start at sample 0, a rest shorter than a frame is left out

    Returns
    -------
    shape (frames, bands); neighbouring samples are subtracted first, which keeps hum from
    leaking through a frame's sharp edges into the bands above
    """
    length = frame_length(rate_hz)
    count = samples.size // length
    steps = np.empty(count * length, np.float32)
    steps[:1] = 0
    np.subtract(samples[1 : steps.size], samples[: steps.size - 1], out=steps[1:])
    framed = steps.reshape(count, length)
    freq_hz = fft.rfftfreq(length, 1 / rate_hz)
    low, high = np.searchsorted(freq_hz, LOW_HZ), np.searchsorted(freq_hz, HIGH_HZ, side="right")
    powers = np.empty((count, int(high - low)), np.float32)
    for at in range(0, count, CHUNK_FRAMES):
        spectrum = fft.rfft(framed[at : at + CHUNK_FRAMES], axis=1)[:, low:high]
        powers[at : at + CHUNK_FRAMES] = spectrum.real**2
        powers[at : at + CHUNK_FRAMES] += spectrum.imag**2
    return powers


def prominence(powers: NDArray[np.float32]) -> NDArray[np.float64]:
    """Return how far each frame stands out of the usual: mean over bands of ln(1 + power/usual).

    Shape (frames, bands) gives (frames,). The usual power of a band is its median
    over every 19th frame; the logarithm keeps one knock from outweighing a hundred ticks.
    """
    usual = np.median(powers[::USUAL_EVERY], axis=0) + SMALLEST_POWER
    share = np.full(powers.shape[1], 1 / powers.shape[1], np.float32)
    return np.asarray(np.log1p(powers / usual) @ share, np.float64)
