"""Handling noise: since when has nobody touched the watch, the microphone or the bench?

Sound is handling where it is much louder than in the quietest of the last seconds. A watch is in
every second the same, however loud; so are hum, fans and rain. Hands are not. Three loudnesses of
each hundredth of a second are looked at: the sound above 300 Hz itself
(knocks), its quietest moment of the last 70 ms (what lasts longer than a tick: scrapes, cloth), and
the mean of the last 70 ms below 300 Hz (rumble, thumps).

All of the last seconds is judged again and again: what was loud from the very beginning turns out
to have been handling once it is quiet. Sound that becomes louder for good (a fan, a watch laid on
the microphone) is handling until the quiet before it is forgotten, after five seconds.
"""

import math
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from sideshake.sound.listener import CLIPPED_AT, RATES_HZ, Samples, as_mono, require_within

Floats = NDArray[np.float64]

FRAME_S = 0.01
LASTS_FRAMES = 7
"""What stays loud so long is no tick; its noises and their echo take 5 to 60 ms."""
LOW_HZ, SPLIT_HZ = 30.0, 300.0
PIECE_FRAMES, PIECES = 120, 4
"""The last seconds, in pieces; each must hold a beat, also of a clock that steps once a second."""
ABOVE_DB = (9.0, 9.0, 7.0)
"""Knocks, what lasts, rumble: how much louder than in the quietest piece:
experiments/stillness.py."""
PAUSE_S = 0.3
"""Handling that pauses for less goes on."""
METER_S = 0.5
QUIETEST_DB = -90.0
"""Below this nothing is told apart: the last bit of a 16-bit sample."""


class Stillness:
    """Tells since when a stream of sound is free of handling noise, and how loud it is.

    Parameters
    ----------
    rate_hz : samples per second, 16 000 to 192 000

    Raises
    ------
    InputError : the rate is outside its range

    Examples
    --------
    >>> from sideshake.sound.simulate import SimulatedWatch, simulate
    >>> stillness = Stillness(48000)
    >>> stillness.feed(simulate(SimulatedWatch(), duration_s=10).samples)
    >>> stillness.still_for_s
    10.0
    """

    def __init__(self, rate_hz: int) -> None:
        """Begin with nothing heard."""
        from scipy.signal import butter  # here: it loads slowly, and the workshop starts without it

        require_within("a sample rate", rate_hz, RATES_HZ, "Hz")
        self._frame = round(rate_hz * FRAME_S)
        self._frame_s = self._frame / rate_hz
        self._filters = (
            butter(4, SPLIT_HZ, "highpass", fs=rate_hz, output="sos"),
            butter(2, (LOW_HZ, SPLIT_HZ), "bandpass", fs=rate_hz, output="sos"),
        )
        self._states = [np.zeros((sos.shape[0], 2)) for sos in self._filters]
        self._rest: Samples = np.empty(0, np.float32)
        self._carried = np.zeros((LASTS_FRAMES - 1, 2))
        self._levels = np.empty((0, 3))
        self._peaks: Samples = np.empty(0, np.float32)
        self._frames = 0
        self._handled = 0  # what `_handled_until` was at the last whole piece

    def feed(self, block: NDArray[Any]) -> None:
        """Hear the next block, as `Listener.feed` does; raises what that raises."""
        samples = np.concatenate([self._rest, as_mono(block)])
        while samples.size >= self._frame:
            room = PIECE_FRAMES - self._frames % PIECE_FRAMES
            count = min(room, samples.size // self._frame)
            self._hear(samples[: count * self._frame].reshape(count, self._frame))
            samples = samples[count * self._frame :]
            if count == room:
                self._handled = self._handled_until()
                self._levels = self._levels[-PIECES * PIECE_FRAMES :].copy()
        self._rest = samples.copy()

    @property
    def still_for_s(self) -> float:
        """Return the seconds since the last handling noise, 0 while it goes on.

        Before the first 1.2 s are heard nothing can be told: 0.
        """
        if self._levels.shape[0] < PIECE_FRAMES:
            return 0.0
        since_s = (self._frames - self._handled_until()) * self._frame_s
        return 0.0 if since_s < PAUSE_S else since_s

    @property
    def level_db(self) -> float:
        """Return the loudest sample of the last 0.5 s, dB of full scale."""
        peak = float(self._peaks.max(initial=0.0))
        return max(QUIETEST_DB, 20 * math.log10(max(peak, 1e-9)))

    @property
    def clipped(self) -> bool:
        """Return whether the last 0.5 s touched full scale."""
        return bool(self._peaks.max(initial=0.0) >= CLIPPED_AT)

    def _hear(self, frames: Samples) -> None:
        """Take in whole frames, shape (n, samples)."""
        peaks = np.abs(frames).max(axis=1)
        self._peaks = np.concatenate([self._peaks, peaks])[-round(METER_S / FRAME_S) :]
        powers = np.column_stack([self._power(frames, which) for which in (0, 1)])
        around = np.concatenate([self._carried, powers])
        self._carried = around[1 - LASTS_FRAMES :]
        high, low = sliding_window_view(around, LASTS_FRAMES, axis=0).transpose(1, 0, 2)
        levels = np.column_stack([powers[:, 0], high.min(axis=1), low.mean(axis=1)])
        least = 10 ** (QUIETEST_DB / 10)
        self._levels = np.concatenate([self._levels, 10 * np.log10(levels + least)])
        self._frames += frames.shape[0]

    def _power(self, frames: Samples, which: int) -> Floats:
        """Return the power of each frame through a filter, which goes on where it was."""
        from scipy.signal import sosfilt  # here: as above

        wave, self._states[which] = sosfilt(
            self._filters[which], frames.ravel(), zi=self._states[which]
        )
        return np.asarray(np.square(wave).reshape(frames.shape).mean(axis=1))

    def _handled_until(self) -> int:
        """Return how many frames had passed when the last handling ended."""
        loud = np.flatnonzero(handling(self._levels))
        first = self._frames - self._levels.shape[0]
        return max(self._handled, first + int(loud[-1]) + 1 if loud.size else 0)


def handling(levels_db: Floats) -> NDArray[np.bool_]:
    """Return which frames are much louder than the quietest whole piece, shape (n, 3) gives (n,).

    There must be a whole piece. How loud a piece is, its loudest frame says: that is a tick
    where one ticks, and for noise it is steadier than any single frame.
    """
    pieces = levels_db.shape[0] // PIECE_FRAMES
    whole = levels_db[: pieces * PIECE_FRAMES].reshape(pieces, PIECE_FRAMES, 3)
    quietest = whole.max(axis=1).min(axis=0)
    return np.asarray(np.any(levels_db > quietest + ABOVE_DB, axis=1))
