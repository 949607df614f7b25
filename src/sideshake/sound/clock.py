"""The recorder's clock: every sound card counts its seconds a little too fast or too slow."""

import math
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured

UNKNOWN_WITHIN_PPM = 50.0
"""Bound for a sound card that nobody has checked (from memory of the trade)."""
MOST_PPM = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleClock:
    """How fast the recorder's clock runs, in parts per million, and how that is known.

    Positive: it counts more than one second in a second, so a watch seems slow.
    """

    fast_ppm: Measured
    checked: bool
    name: str = ""
    date: str = ""
    how: str = ""
    """What it was checked by; empty where that was not noted."""

    def __post_init__(self) -> None:
        if abs(self.fast_ppm.value) > MOST_PPM:
            raise InputError(
                f"a sample clock {self.fast_ppm.value:.0f} ppm off is no clock; up to "
                f"{MOST_PPM:.0f} ppm is allowed: was the reference's beat given rightly?"
            )

    def true_s(self, recorded_s: float) -> float:
        """Return the true seconds in a stretch that the recorder counts as `recorded_s`."""
        return recorded_s / (1.0 + self.fast_ppm.value * 1e-6)


def unchecked_clock() -> SampleClock:
    """Return a clock of which only the usual bound is known: uniform within 50 ppm (GUM 4.3.7)."""
    return SampleClock(fast_ppm=Measured(0.0, UNKNOWN_WITHIN_PPM / math.sqrt(3)), checked=False)


def clock_from_reference(
    beat_s: Measured, true_beat_s: float, *, reference_within_ppm: float, name: str, date: str
) -> SampleClock:
    """Return the sample clock from a recording of something whose beat is known.

    `beat_s` is the beat by the recorder's count; the reference itself is right within
    `reference_within_ppm` (a bound, taken as uniform).

    Examples
    --------
    >>> clock = clock_from_reference(
    ...     Measured(1.00003), 1.0, reference_within_ppm=0, name="", date=""
    ... )
    >>> round(clock.fast_ppm.value)
    30
    """
    if not true_beat_s > 0 or reference_within_ppm < 0:
        raise InputError("the reference's beat must be above 0 s and its bound 0 ppm or more")
    fast = (beat_s.value / true_beat_s - 1) * 1e6
    u = math.hypot(beat_s.u / true_beat_s * 1e6, reference_within_ppm / math.sqrt(3))
    return SampleClock(fast_ppm=Measured(fast, u), checked=True, name=name, date=date)
