"""The balance's heavy spot, from rates in the four hanging positions.

Rates in seconds a day, plus is gaining. Directions are clock directions with the balance at rest:
degrees clockwise from 12 o'clock, seen from the dial side with 12 o'clock up.

Hanging with the heavy spot low at rest, the watch gains at small amplitudes and loses at large
ones; at 219.5°, the first zero of J1, the spot does not show (trade-facts 4.2.5, 4.2.7; Kleinlein
1920 says the same of one turn and a quarter).
"""

import math
from dataclasses import dataclass
from statistics import fmean

from sideshake.core.correlated import widened
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.balance import poise_free_amplitude_deg, poise_rate
from sideshake.timing.positions.harmonic import UP_DEG

USUAL_DEG = 270.0
SMALLEST_DEG, LARGEST_DEG = 60.0, 360.0
"""Amplitudes at which a lever watch runs at all; nobody tests poise outside (from memory)."""
BLIND_SHARE = 1 / 3
"""Too near to 220°: where a spot shows by less than this share of what it does at 270°."""
AGAIN_U = 1.0
"""Standard uncertainty with which a watch comes back to its rate when it is laid the same way again
(s/day; common practice, no source)."""
PLANE_95 = -2.0 * math.log(0.05)
"""95 % point of chi-square with two degrees of freedom, 5.991."""
_ANY_SPOT_MG_MM, _ANY_STIFFNESS_NM = Measured(1.0), Measured(1e-6)


@dataclass(frozen=True, slots=True, kw_only=True)
class HangingRate:
    """Rate and amplitude in one hanging position.

    The sound clock's own error is common to all four and drops out: give the rate without it.
    """

    rate_s_per_day: Measured
    amplitude_deg: Measured

    def __post_init__(self) -> None:
        if not SMALLEST_DEG <= self.amplitude_deg.value < LARGEST_DEG:
            raise InputError(
                f"an amplitude of {self.amplitude_deg.value:g}° cannot be used: "
                f"{SMALLEST_DEG:g} to {LARGEST_DEG:g} is allowed"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class DialArrow:
    """A size with a direction in the plane of the dial, by its share towards 12 and towards 3."""

    towards_12: Measured
    towards_3: Measured

    @property
    def size(self) -> Measured:
        """Return the length with its first-order uncertainty."""
        up, right = self.towards_12, self.towards_3
        length = math.hypot(up.value, right.value)
        if length == 0:
            return Measured(0.0, max(up.u, right.u))
        return Measured(length, math.hypot(up.value * up.u, right.value * right.u) / length)

    @property
    def dial_deg(self) -> Measured:
        """Return the direction, clockwise from 12 o'clock seen from the dial side."""
        up, right = self.towards_12, self.towards_3
        turn = math.degrees(math.atan2(right.value, up.value)) % 360
        across = math.hypot(right.value * up.u, up.value * right.u)
        return Measured(turn, math.degrees(across / self.size.value**2))

    @property
    def is_told(self) -> bool:
        """Return whether it is more than its uncertainty makes of nothing, 95 %."""
        return _surprise(self.towards_12) + _surprise(self.towards_3) > PLANE_95

    def times(self, factor: Measured) -> "DialArrow":
        """Return the arrow stretched; a negative factor turns it round."""
        up, right = (
            propagate(lambda share, by: share * by, each, factor)
            for each in (self.towards_12, self.towards_3)
        )
        return DialArrow(towards_12=up, towards_3=right)


def _surprise(share: Measured) -> float:
    if share.u == 0:
        return math.inf if share.value else 0.0
    return (share.value / share.u) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """What was read with 3, 6, 9 and 12 o'clock up, in one state of wind."""

    up_3: HangingRate
    up_6: HangingRate
    up_9: HangingRate
    up_12: HangingRate
    again_u_s_per_day: float = AGAIN_U

    def __post_init__(self) -> None:
        if not self.again_u_s_per_day >= 0:
            raise InputError(f"an uncertainty is 0 or more, got {self.again_u_s_per_day}")

    @property
    def positions(self) -> dict[str, HangingRate]:
        """Return the four readings by position."""
        return {"3H": self.up_3, "6H": self.up_6, "9H": self.up_9, "12H": self.up_12}

    @property
    def rates(self) -> dict[str, Measured]:
        """Return the rates by position, with what turning the watch adds in uncertainty."""
        return {
            position: widened(each.rate_s_per_day, self.again_u_s_per_day)
            for position, each in self.positions.items()
        }

    @property
    def amplitude_deg(self) -> Measured:
        """Return the mean amplitude; an unknown lift angle is common to all and not averaged."""
        swings = [each.amplitude_deg for each in self.positions.values()]
        middle = fmean(swing.value for swing in swings)
        spread = math.sqrt(sum((swing.value - middle) ** 2 for swing in swings) / 12)
        return Measured(middle, math.hypot(max(swing.u for swing in swings), spread))

    @property
    def gain(self) -> DialArrow:
        """Return the arrow of gain: it points to the hour that is up where the watch is fastest."""
        rates = self.rates
        return DialArrow(
            towards_12=half(rates["12H"], rates["6H"], sign=-1),
            towards_3=half(rates["3H"], rates["9H"], sign=-1),
        )

    @property
    def pair_means(self) -> tuple[Measured, Measured]:
        """Return the means of 12H with 6H, and of 3H with 9H."""
        rates = self.rates
        return half(rates["12H"], rates["6H"], sign=1), half(rates["3H"], rates["9H"], sign=1)


def half(one: Measured, other: Measured, *, sign: int) -> Measured:
    """Return half the sum (sign 1) or half the difference (sign -1).

    Examples
    --------
    >>> half(Measured(-11.0, 3.0), Measured(-27.0, 4.0), sign=-1)
    Measured(value=8.0, u=2.5)
    """
    return propagate(lambda a, b: (a + sign * b) / 2, one, other)


@dataclass(frozen=True, slots=True, kw_only=True)
class Poise:
    """A heavy spot: what it makes at this amplitude, and where it points with the balance at rest.

    `size_s_per_day` : a hanging position with the spot at the bottom differs by this from the mean
    `dial_deg` : clockwise from 12 o'clock seen from the dial side, 12 o'clock up
    """

    size_s_per_day: Measured
    dial_deg: Measured
    amplitude_deg: Measured

    @property
    def back_deg(self) -> Measured:
        """Return the direction seen from the back, clockwise from 12 o'clock up."""
        return Measured(-self.dial_deg.value % 360, self.dial_deg.u)

    @property
    def lowest_in(self) -> str:
        """Return the position in which the spot hangs nearest to the bottom."""
        return min(UP_DEG, key=lambda position: abs(self.from_down_deg(position)))

    def from_down_deg(self, position: str) -> float:
        """Return how far from straight down it hangs, plus clockwise seen from the dial side."""
        return (self.dial_deg.value - UP_DEG[position]) % 360 - 180

    @property
    def at_270_s_per_day(self) -> Measured:
        """Return what the same spot makes at 270°, where watches are compared."""
        return propagate(lambda size, by: size / by, self.size_s_per_day, absolute(self.shows))

    @property
    def shows(self) -> Measured:
        """Return how the spot shows at this amplitude against 270°."""
        return shows(self.amplitude_deg)


def shows(amplitude_deg: Measured) -> Measured:
    """Return what a spot low at rest makes, against its size at 270°; plus is gaining.

    Examples
    --------
    >>> [round(shows(Measured(angle)).value, 2) for angle in (150, 180, 230, 270)]
    [2.98, 1.52, -0.3, -1.0]
    """
    here, there = (
        poise_rate(_ANY_SPOT_MG_MM, each, stiffness_nm=_ANY_STIFFNESS_NM)
        for each in (amplitude_deg, Measured(USUAL_DEG))
    )
    return Measured(here.value / abs(there.value), here.u / abs(there.value))


def absolute(value: Measured) -> Measured:
    """Return the size without the sign."""
    return Measured(abs(value.value), value.u)


def blind_deg() -> tuple[float, float]:
    """Return between which amplitudes a spot shows by less than a third of what it does at 270°.

    Examples
    --------
    >>> [round(each, 1) for each in blind_deg()]
    [209.4, 231.4]
    """
    from scipy.optimize import brentq  # late: a quarter of a second at the workshop's start

    zero = poise_free_amplitude_deg()

    def over(angle: float) -> float:
        return abs(shows(Measured(angle)).value) - BLIND_SHARE

    return float(brentq(over, 150.0, zero)), float(brentq(over, zero, USUAL_DEG))


def find_poise(hanging: Hanging) -> Poise:
    """Return the heavy spot that the four hanging rates tell of.

    Half the differences of the two opposite pairs are the two sides of its arrow; a spot leaves
    the means of both pairs alike.

    Raises
    ------
    NotEnough : the amplitudes lie where a spot does not show; or the pairs' means disagree, so that
        it is not only poise; or the rates differ by no more than their uncertainty

    References
    ----------
    First harmonic of the rate over the four directions, from the poise formula of
    `movement.balance.poise_rate` (derived); direction by trade-facts 4.2.8
    """
    sign = showing_sign(hanging)
    require_alike_pairs(hanging)
    gain = hanging.gain
    if not gain.is_told:
        raise NotEnough(
            f"no poise error to be told: the hanging positions differ by {gain.size.text()} s a "
            "day about their mean, no more than its uncertainty"
        )
    spot = gain.times(Measured(-sign))
    return Poise(
        size_s_per_day=spot.size, dial_deg=spot.dial_deg, amplitude_deg=hanging.amplitude_deg
    )


def showing_sign(hanging: Hanging) -> float:
    """Return 1 if a spot low at rest gains at these amplitudes, -1 if it loses.

    Raises
    ------
    NotEnough : an amplitude lies too near to where a spot does not show, or on either side of it
    """
    low, high = blind_deg()
    zero = poise_free_amplitude_deg()
    swings = [each.amplitude_deg for each in hanging.positions.values()]
    near = [swing for swing in swings if low < swing.value < high or swing.holds(zero)]
    sides = {swing.value < zero for swing in swings}
    if near or len(sides) > 1:
        told = ", ".join(f"{swing.text()}°" for swing in swings)
        raise NotEnough(
            f"hanging it swings {told}: round {zero:.0f}° a heavy spot does not show, and "
            f"between {low:.0f}° and {high:.0f}° by less than a third of what it does at "
            f"{USUAL_DEG:.0f}°. Read all four well above, or well below after some hours of running"
        )
    return 1.0 if sides == {True} else -1.0


def require_alike_pairs(hanging: Hanging) -> None:
    """Refuse rates that no heavy spot alone can make.

    Raises
    ------
    NotEnough : the means of the two opposite pairs differ by more than their uncertainty
    """
    upright, sideways = hanging.pair_means
    apart = propagate(lambda a, b: a - b, upright, sideways)
    if not apart.holds(0.0):
        raise NotEnough(
            f"not only poise: 12H and 6H together make {upright.text(sign=True)} s a day, 3H and "
            f"9H {sideways.text(sign=True)}; a heavy spot alone leaves both means alike, these "
            f"differ by {absolute(apart).text()}. Look at spring, pins and "
            "pivots first"
        )


def unbalance_ug_cm(poise: Poise, *, stiffness_nm: Measured) -> Measured:
    """Return the heavy spot as mass times distance from the staff, µg·cm.

    Parameters
    ----------
    stiffness_nm : of the hairspring, N·m/rad; see `movement.energy.stiffness` for it from the
        balance's moment of inertia and its beats
    """
    ug_cm_per_mg_mm = 100.0
    each = poise_rate(_ANY_SPOT_MG_MM, poise.amplitude_deg, stiffness_nm=stiffness_nm)
    return propagate(
        lambda size, rate: ug_cm_per_mg_mm * size / rate, poise.size_s_per_day, absolute(each)
    )
