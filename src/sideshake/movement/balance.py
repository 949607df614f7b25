"""The balance and its spring: period, regulator, poise and temperature.

Rates in seconds a day, plus is gaining. SI inside; the trade's units in the names.
"""

from dataclasses import dataclass
from math import pi
from typing import Any

from uncertainties import wrap
from uncertainties.umath import cos, radians

from sideshake.core.errors import InputError
from sideshake.core.quantities import SECONDS_PER_DAY, Measured, propagate

GRAVITY = 9.80665
KG_M2_PER_MG_CM2 = 1e-10
KG_M_PER_MG_MM = 1e-9

STRAIGHT_DOWN = Measured(0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hairspring:
    """A flat spiral: modulus in GPa, strip height, thickness and active length in mm."""

    elastic_gpa: Measured
    height_mm: Measured
    thickness_mm: Measured
    length_mm: Measured

    def __post_init__(self) -> None:
        sizes = (self.elastic_gpa, self.height_mm, self.thickness_mm, self.length_mm)
        if min(size.value for size in sizes) <= 0:
            raise InputError("a hairspring's modulus and sizes must all be above 0")

    @property
    def stiffness_nm(self) -> Measured:
        """Return k = E b e³/(12 L), N·m per radian."""
        return propagate(
            lambda gpa, height, e, length: gpa * height * e**3 / (12 * length),
            *(self.elastic_gpa, self.height_mm, self.thickness_mm, self.length_mm),
        )


def period_s(inertia_mg_cm2: Measured, stiffness_nm: Measured) -> Measured:
    """Return the time of one swing to and fro: 2 pi √(J/k)."""
    if min(inertia_mg_cm2.value, stiffness_nm.value) <= 0:
        raise InputError(
            f"inertia and stiffness must be above 0, got {inertia_mg_cm2.value} mg cm² and "
            f"{stiffness_nm.value} N m"
        )
    return propagate(
        lambda inertia, k: 2 * pi * (inertia * KG_M2_PER_MG_CM2 / k) ** 0.5,
        inertia_mg_cm2,
        stiffness_nm,
    )


def beats_per_hour(swing_s: Measured) -> Measured:
    """Return the beats an hour of a balance that swings to and fro in `swing_s`."""
    if swing_s.value <= 0:
        raise InputError(f"a swing takes more than 0 s, got {swing_s.value}")
    return propagate(lambda period: 7200 / period, swing_s)


def regulator_rate(shortened_mm: Measured, *, length_mm: Measured) -> Measured:
    """Return the rate change when the active spring is shortened, s/day; first order 43200 dL/L.

    A negative shortening lengthens it. The stiffness goes with 1/L, the rate with its root.

    Raises
    ------
    InputError : the length is not above 0, or nothing of it would be left

    Examples
    --------
    >>> f"{regulator_rate(Measured(0.1), length_mm=Measured(100.0)).value:.1f}"
    '43.2'
    """
    require_length(length_mm)
    if shortened_mm.value >= length_mm.value:
        raise InputError(
            f"a spring of {length_mm.value:g} mm cannot be shortened by {shortened_mm.value:g} mm"
        )
    return propagate(
        lambda change, length: SECONDS_PER_DAY * ((length / (length - change)) ** 0.5 - 1),
        shortened_mm,
        length_mm,
    )


def require_length(length_mm: Measured) -> None:
    """Refuse an active length that is none."""
    if length_mm.value <= 0:
        raise InputError(f"the active length must be above 0, got {length_mm.value} mm")


def shortening_mm(rate_s_per_day: Measured, *, length_mm: Measured) -> Measured:
    """Return by how much to shorten the active spring to gain so much: the inverse of the above.

    Raises
    ------
    InputError : the length is not above 0, or the rate would stop the balance

    Examples
    --------
    >>> f"{shortening_mm(Measured(43.2), length_mm=Measured(100.0)).value:.2f}"
    '0.10'
    """
    require_length(length_mm)
    if rate_s_per_day.value <= -SECONDS_PER_DAY:
        raise InputError(f"a watch cannot lose {-rate_s_per_day.value:g} s a day and still go")
    return propagate(
        lambda rate, length: length * (1 - (1 + rate / SECONDS_PER_DAY) ** -2),
        rate_s_per_day,
        length_mm,
    )


def inertia_rate(share: Measured) -> Measured:
    """Return the rate change when the inertia grows by this share, s/day; first order -43200 dJ/J.

    Raises
    ------
    InputError : no inertia would be left
    """
    if share.value <= -1:
        raise InputError(f"the inertia cannot fall by {-100 * share.value:g} %")
    return propagate(lambda change: SECONDS_PER_DAY * ((1 + change) ** -0.5 - 1), share)


def weight_share(weight_ug: Measured, *, at_mm: Measured, inertia_mg_cm2: Measured) -> Measured:
    """Return by what share a weight on the rim changes the inertia: m r² / J; below 0 taken off.

    Examples
    --------
    >>> share = weight_share(Measured(1000.0), at_mm=Measured(5.0), inertia_mg_cm2=Measured(10.0))
    >>> f"{share.value:.3f}"
    '0.025'
    """
    if min(at_mm.value, inertia_mg_cm2.value) <= 0:
        raise InputError(
            f"radius and inertia must be above 0, got {at_mm.value} mm and "
            f"{inertia_mg_cm2.value} mg cm²"
        )
    return propagate(
        lambda weight, at, inertia: weight * 1e-3 * (at * 0.1) ** 2 / inertia,
        weight_ug,
        at_mm,
        inertia_mg_cm2,
    )


def poise_rate(
    unbalance_mg_mm: Measured,
    amplitude_deg: Measured,
    *,
    stiffness_nm: Measured,
    spot_from_down_deg: Measured = STRAIGHT_DOWN,
) -> Measured:
    """Return the rate that a heavy spot makes in a hanging position, s/day.

    Parameters
    ----------
    unbalance_mg_mm : mass times offset of the centre of mass
    amplitude_deg : from rest to the turning point, above 0
    stiffness_nm : of the hairspring, N·m/rad
    spot_from_down_deg : where the spot stands at rest, from straight down

    Raises
    ------
    InputError : the amplitude or the stiffness is not above 0

    References
    ----------
    Gravity's torque averaged over one swing gives J1: a published worksheet on the poise defect
    and isochronism; J1 from scipy.special
    """
    if min(amplitude_deg.value, stiffness_nm.value) <= 0:
        raise InputError(
            f"amplitude and stiffness must be above 0, got {amplitude_deg.value}° and "
            f"{stiffness_nm.value} N m"
        )

    bessel = bessel_with_doubt()

    def formula(unbalance: Any, amplitude: Any, k: Any, spot: Any) -> Any:
        pull = unbalance * KG_M_PER_MG_MM * GRAVITY
        theta = radians(amplitude)
        return SECONDS_PER_DAY * pull / k * bessel(theta) / theta * cos(radians(spot))

    return propagate(formula, unbalance_mg_mm, amplitude_deg, stiffness_nm, spot_from_down_deg)


def bessel_with_doubt() -> Any:
    """Return J1 that carries uncertainty: J1'(x) = J0(x) - J1(x)/x (DLMF 10.6.2)."""
    from scipy.special import j0, j1  # late: it loads slowly

    return wrap(j1, [lambda x: j0(x) - j1(x) / x])


def poise_free_amplitude_deg() -> float:
    """Return the amplitude at which a heavy spot does not show: the first zero of J1.

    Examples
    --------
    >>> round(poise_free_amplitude_deg(), 3)
    219.541
    """
    from scipy.special import jn_zeros  # late: it loads slowly

    return float(jn_zeros(1, 1)[0]) * 180 / pi


def temperature_rate(
    *, balance_per_c: Measured, spring_per_c: Measured, elastic_per_c: Measured
) -> Measured:
    """Return the rate change for one degree more, s/day and °C.

    Parameters
    ----------
    balance_per_c : linear expansion of the balance, 1/°C (brass 19e-6, steel 11e-6)
    spring_per_c : linear expansion of the spring, 1/°C
    elastic_per_c : relative change of the spring's modulus, 1/°C (carbon steel about -240e-6)

    References
    ----------
    86400 (beta_E/2 + 1.5 alpha_spring - alpha_balance): k grows with E e³ b/L, J with radius²
    """
    return propagate(
        lambda balance, spring, elastic: SECONDS_PER_DAY * (elastic / 2 + 1.5 * spring - balance),
        balance_per_c,
        spring_per_c,
        elastic_per_c,
    )
