"""The two-amplitude test: a real heavy spot turns its sign round at 219.5°; nothing else does.

At each amplitude the hanging rates make an arrow. What a spot makes of it follows J1(θ)/θ; what is
left is the part that stays the same: the spring's own weight and pinning, the escapement, pivots.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.balance import poise_free_amplitude_deg
from sideshake.timing.poise.heavy_spot import (
    DialArrow,
    Hanging,
    Poise,
    absolute,
    require_alike_pairs,
    showing_sign,
    shows,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoAmplitudes:
    """What two amplitudes tell apart.

    `poise` : the heavy spot, its size given at the larger amplitude
    `small_s_per_day` : what it makes at the smaller one
    `rest` : arrow of gain that is the same at both amplitudes
    """

    poise: Poise
    small_s_per_day: Measured
    small_amplitude_deg: Measured
    rest: DialArrow

    @property
    def is_poise_alone(self) -> bool:
        """Return whether nothing but poise is seen."""
        return not self.rest.is_told

    @property
    def sentence(self) -> str:
        """Return what the test says."""
        spot = self.poise
        said = (
            f"A heavy spot: it makes {self.small_s_per_day.text()} s a day at "
            f"{self.small_amplitude_deg.value:.0f}° and, turned round, "
            f"{spot.size_s_per_day.text()} at {spot.amplitude_deg.value:.0f}°."
        )
        if self.is_poise_alone:
            return f"{said} Nothing else is seen."
        return (
            f"{said} Another {self.rest.size.text()} s a day stay the same at both amplitudes: "
            "spring, pinning, pins or escapement; taking weight does not mend those."
        )


def compare_amplitudes(one: Hanging, other: Hanging) -> TwoAmplitudes:
    """Return the heavy spot that turns its sign between two amplitudes, and what does not.

    With r what a spot shows at each amplitude, gain = -r spot + rest at both: two arrows, two
    unknown arrows.

    Raises
    ------
    InputError : both amplitudes lie on the same side of 219.5°
    NotEnough : as for one amplitude, or nothing turns round
    """
    if showing_sign(one) == showing_sign(other):
        raise InputError(
            f"both lie on one side of {poise_free_amplitude_deg():.1f}°: read one set above and "
            "one below"
        )
    require_alike_pairs(one)
    require_alike_pairs(other)
    small, large = sorted((one, other), key=lambda each: each.amplitude_deg.value)
    return part(small, large)


def part(small: Hanging, large: Hanging) -> TwoAmplitudes:
    """Return the two unknown arrows, the spot's being what it makes at 270°."""
    below, above = shows(small.amplitude_deg), shows(large.amplitude_deg)
    gains, weights = (small.gain, large.gain), (below, above)
    spot = solved(lambda s, g, a, b: (s - g) / (b - a), gains, weights)
    rest = solved(lambda s, g, a, b: (s * b - g * a) / (b - a), gains, weights)
    if not spot.is_told:
        raise NotEnough(
            "no poise error: what turns round between the two amplitudes would make "
            f"{spot.size.text()} s a day at 270°, no more than its uncertainty; "
            f"{rest.size.text()} s a day stay the same at both"
        )
    at_large = spot.times(absolute(above))
    return TwoAmplitudes(
        poise=Poise(
            size_s_per_day=at_large.size,
            dial_deg=spot.dial_deg,
            amplitude_deg=large.amplitude_deg,
        ),
        small_s_per_day=spot.times(below).size,
        small_amplitude_deg=small.amplitude_deg,
        rest=rest,
    )


def solved(
    formula: Callable[..., Any],
    gains: tuple[DialArrow, DialArrow],
    weights: tuple[Measured, Measured],
) -> DialArrow:
    """Return the formula of both gains and both weights, for each of the arrow's two shares."""
    small, large = gains
    return DialArrow(
        towards_12=propagate(formula, small.towards_12, large.towards_12, *weights),
        towards_3=propagate(formula, small.towards_3, large.towards_3, *weights),
    )
