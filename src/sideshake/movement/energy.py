"""Energy: how the amplitude follows the torque, and what a low amplitude says about it.

The loss model: in one swing to and fro the balance loses pi k a²/Q to viscous friction (air,
oil, hairspring) and 4 R a to dry friction with the torque R; what the escapement gives is taken
as proportional to the torque. With s, the viscous share of the loss at the nominal amplitude,

    torque / nominal torque = s (a/a0)² + (1 − s) (a/a0).

Unlocking, which costs the same at every amplitude, is left out: the model is good near the
nominal amplitude and too kind below about 150°.
"""

from dataclasses import dataclass
from math import pi, radians
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.sheet import CalibreSheet

GRAVITY = 9.80665
KG_PER_MG = 1e-6
M_PER_MM = 1e-3
WATT_TO_UW = 1e6
MOST_AMPLITUDE_DEG = 360.0
SECONDS_PER_HOUR = 3600.0
ONCE = Measured(1.0)
SERIES_TERMS = 40
"""Of ln(1/(1 - s/2))/s; the next is below 1e-13."""
USUAL_VISCOUS_SHARE = Measured(0.8, 0.15)
"""Share of the balance's loss that is viscous (from memory; common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """A nominal amplitude and the viscous share of what the balance loses there."""

    nominal_deg: Measured
    viscous_share: Measured = USUAL_VISCOUS_SHARE

    def __post_init__(self) -> None:
        if not 0 < self.nominal_deg.value < MOST_AMPLITUDE_DEG:
            raise InputError(
                f"an amplitude lies between 0 and {MOST_AMPLITUDE_DEG:g}°, "
                f"got {self.nominal_deg.value}"
            )
        if not 0 <= self.viscous_share.value <= 1:
            raise InputError(f"a share lies between 0 and 1, got {self.viscous_share.value}")


def losses_of(sheet: CalibreSheet, *, hanging: bool = False) -> Losses:
    """Return the nominal amplitude and the friction by which an amplitude is judged."""
    key = "nominal.hanging_full_deg" if hanging else "nominal.lying_full_deg"
    nominal = sheet.measured(key, "judging the amplitude")
    share = sheet.nominal.viscous_share if sheet.nominal else None
    return Losses(nominal_deg=nominal, viscous_share=share or USUAL_VISCOUS_SHARE)


def torque_share(losses: Losses, amplitude_deg: Measured) -> Measured:
    """Return the torque that this amplitude needs, as a share of the nominal torque.

    Raises
    ------
    InputError : the amplitude is not above 0, or so large that the balance would knock

    References
    ----------
    The model in the head of this module; energy lost per cycle by viscous and by Coulomb friction
    is in any textbook of vibrations
    """
    if not 0 < amplitude_deg.value < MOST_AMPLITUDE_DEG:
        raise InputError(
            f"an amplitude lies between 0 and {MOST_AMPLITUDE_DEG:g}°, got {amplitude_deg.value}"
        )
    return propagate(
        lambda share, nominal, a: share * (a / nominal) ** 2 + (1 - share) * a / nominal,
        losses.viscous_share,
        losses.nominal_deg,
        amplitude_deg,
    )


def torque_missing(losses: Losses, amplitude_deg: Measured) -> Measured:
    """Return the share of the torque that must be missing to explain the amplitude.

    Negative when the amplitude is above the nominal one.
    """
    share = torque_share(losses, amplitude_deg)
    return Measured(1 - share.value, share.u)


def losses_more(losses: Losses, amplitude_deg: Measured) -> Measured:
    """Return by which share the balance must lose more to explain the amplitude at full torque.

    The same energy comes in; what it is lost to has grown by the inverse of the torque's share.

    Examples
    --------
    >>> viscous = Losses(nominal_deg=Measured(270), viscous_share=Measured(1.0))
    >>> f"{losses_more(viscous, Measured(234)).value:.2f}"
    '0.33'
    """
    share = torque_share(losses, amplitude_deg)
    return propagate(lambda left: 1 / left - 1, share)


def half_swing_s(
    losses: Losses,
    beats_per_hour: float,
    *,
    quality_factor: Measured,
    times: Measured = ONCE,
) -> Measured:
    """Return the seconds in which a free balance falls from its nominal amplitude to half.

    Parameters
    ----------
    quality_factor : at the nominal amplitude, of a sound balance
    times : by which all its losses have grown

    References
    ----------
    a' = -(pi/Q) (s a + (1 - s) a0) for each swing, from the energy lost in one; integrated from a0
    to a0/2: Q/(pi s) ln(1/(1 - s/2)) swings

    Examples
    --------
    >>> viscous = Losses(nominal_deg=Measured(270), viscous_share=Measured(1.0))
    >>> f"{half_swing_s(viscous, 18000, quality_factor=Measured(200)).value:.1f}"  # Q ln 2/(pi f)
    '17.7'
    """
    if beats_per_hour <= 0 or min(quality_factor.value, times.value) <= 0:
        raise InputError(
            f"beats, quality factor and losses must be above 0, got {beats_per_hour}, "
            f"{quality_factor.value} and {times.value}"
        )
    swing_s = 2 * SECONDS_PER_HOUR / beats_per_hour

    def formula(viscous: Any, q: Any, more: Any) -> Any:
        # ln(1/(1 - s/2))/s as a series in s, which holds for s = 0 as well
        swings = sum(viscous ** (n - 1) / (n * 2**n) for n in range(1, SERIES_TERMS))
        return q / pi * swings / more * swing_s

    return propagate(formula, losses.viscous_share, quality_factor, times)


def amplitude_at(losses: Losses, share: Measured) -> Measured:
    """Return the amplitude, in degrees, at this share of the nominal torque.

    Examples
    --------
    >>> viscous = Losses(nominal_deg=Measured(270), viscous_share=Measured(1.0))
    >>> round(amplitude_at(viscous, Measured(0.75)).value)
    234
    """
    if share.value <= 0:
        raise InputError(f"without torque there is no amplitude, got a share of {share.value}")

    def formula(torque: Any, viscous: Any, nominal: Any) -> Any:
        # Root of s x² + (1 − s) x = torque, in the form that holds for s = 0 as well.
        dry = 1 - viscous
        return nominal * 2 * torque / (dry + (dry**2 + 4 * viscous * torque) ** 0.5)

    return propagate(formula, share, losses.viscous_share, losses.nominal_deg)


def stiffness(inertia_mg_cm2: Measured, beats_per_hour: float) -> Measured:
    """Return the hairspring's stiffness in N·m/rad: k = J (2 pi/T)², T = 7200/n."""
    if beats_per_hour <= 0 or inertia_mg_cm2.value <= 0:
        raise InputError(
            f"inertia and beats must be above 0, got {inertia_mg_cm2.value} and {beats_per_hour}"
        )
    omega = 2 * pi * beats_per_hour / 7200
    return propagate(lambda inertia: inertia * 1e-10 * omega**2, inertia_mg_cm2)


def hanging_amplitude(
    lying_deg: Measured,
    *,
    stiffness_nm: Measured,
    quality_factor: Measured,
    pivot_load_nm: Measured,
) -> Measured:
    """Return the hanging amplitude from the lying one when the pivots' dry friction is added.

    Parameters
    ----------
    lying_deg : amplitude lying, its loss taken as viscous alone
    stiffness_nm : of the hairspring, N·m/rad
    quality_factor : of the balance lying
    pivot_load_nm : friction torque of the hanging balance, as `pivot_friction` gives it

    References
    ----------
    The same energy per swing in both positions: pi k a0²/Q = pi k a²/Q + 4 R a
    """
    if min(lying_deg.value, stiffness_nm.value, quality_factor.value) <= 0:
        raise InputError("amplitude, stiffness and quality factor must all be above 0")

    def formula(lying: Any, k: Any, q: Any, friction: Any) -> Any:
        viscous = pi * k / q
        lying_rad = lying * pi / 180
        root = ((4 * friction) ** 2 + 4 * viscous**2 * lying_rad**2) ** 0.5
        return (root - 4 * friction) / (2 * viscous) * 180 / pi

    return propagate(formula, lying_deg, stiffness_nm, quality_factor, pivot_load_nm)


def pivot_friction(friction: Measured, *, mass_mg: Measured, pivot_mm: Measured) -> Measured:
    """Return the dry friction torque of a hanging balance, in N·m: mu m g r."""
    return propagate(
        lambda mu, mass, diameter: mu * mass * KG_PER_MG * GRAVITY * diameter * M_PER_MM / 2,
        friction,
        mass_mg,
        pivot_mm,
    )


def bearing_loss(friction: Measured, *, bearing_mm: Measured, pitch_mm: Measured) -> Measured:
    """Return the share of the torque lost in one loaded bearing: mu r_bearing / r_pitch.

    Both lengths are radii (or both diameters).

    Examples
    --------
    >>> loss = bearing_loss(Measured(0.15), bearing_mm=Measured(0.6), pitch_mm=Measured(5.4))
    >>> f"{100 * loss.value:.1f} %"
    '1.7 %'
    """
    if not 0 < bearing_mm.value < pitch_mm.value:
        raise InputError(
            f"the bearing, {bearing_mm.value} mm, must be above 0 and smaller than the pitch "
            f"circle, {pitch_mm.value} mm"
        )
    return propagate(lambda mu, small, large: mu * small / large, friction, bearing_mm, pitch_mm)


def barrel_power_uw(torque_mnm: Measured, hours_per_turn: float) -> Measured:
    """Return the power the barrel gives, in microwatt."""
    if hours_per_turn <= 0:
        raise InputError(f"a turn of the barrel takes more than 0 h, got {hours_per_turn}")
    speed = 2 * pi / (hours_per_turn * SECONDS_PER_HOUR)
    return propagate(lambda torque: torque * 1e-3 * speed * WATT_TO_UW, torque_mnm)


def balance_power_uw(
    amplitude_deg: Measured,
    beats_per_hour: float,
    *,
    inertia_mg_cm2: Measured,
    quality_factor: Measured,
) -> Measured:
    """Return the power the swinging balance loses, in microwatt: pi k a²/(Q T)."""
    k = stiffness(inertia_mg_cm2, beats_per_hour)
    per_second = beats_per_hour / 7200
    return propagate(
        lambda a, spring, q: pi * spring * (a * radians(1)) ** 2 / q * per_second * WATT_TO_UW,
        amplitude_deg,
        k,
        quality_factor,
    )
