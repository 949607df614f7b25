"""How well a watch comes back to its figures when it is laid the same way again.

A reading's own uncertainty tells how well this laying was heard. What holds for the watch, such as
a difference between positions held against a limit, is less sure by what the next laying changes.
"""

from dataclasses import dataclass, replace

from sideshake.core.correlated import widened
from sideshake.core.errors import InputError
from sideshake.timing.poise.heavy_spot import AGAIN_U
from sideshake.timing.positions.summary import HeardRound, InPosition


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeatability:
    """Standard uncertainties that each laying adds (common practice, no source)."""

    rate_s_per_day: float = AGAIN_U
    amplitude_deg: float = 2.0

    def __post_init__(self) -> None:
        if not min(self.rate_s_per_day, self.amplitude_deg) >= 0:
            raise InputError(f"an uncertainty is 0 or more: {self}")


USUAL = Repeatability()
AS_HEARD = Repeatability(rate_s_per_day=0.0, amplitude_deg=0.0)


def laid_again(heard: HeardRound, again: Repeatability = USUAL) -> HeardRound:
    """Return the round with each figure as sure as it would be laid the same way again."""
    return replace(heard, readings=tuple(less_sure(each, again) for each in heard.readings))


def less_sure(reading: InPosition, again: Repeatability) -> InPosition:
    """Return a reading whose rate and amplitude hold what the next laying changes."""
    rate, swing = reading.rate_s_per_day, reading.amplitude_deg
    return replace(
        reading,
        rate_s_per_day=rate and widened(rate, again.rate_s_per_day),
        amplitude_deg=swing and widened(swing, again.amplitude_deg),
    )
