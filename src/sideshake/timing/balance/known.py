"""What is known of a balance and its hairspring, from its sheet and from what was measured."""

from dataclasses import dataclass, fields
from typing import Any

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.balance.metals import RIMS, SPRINGS, metal_in, metal_named


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownOfBalance:
    """What is known of a balance; None where it is not. Names carry the unit.

    `rim`, `spring` : metals of `RIMS` and `SPRINGS`, "" where not known
    `shortened_mm`, `index_deg`, `weight_ug`, `warmer_c` : changes; below 0 the other way
    """

    beats_per_hour: int | None = None
    inertia_mg_cm2: Measured | None = None
    mass_mg: Measured | None = None
    pivot_mm: Measured | None = None
    quality_factor: Measured | None = None
    lying_deg: Measured | None = None
    height_mm: Measured | None = None
    thickness_mm: Measured | None = None
    length_mm: Measured | None = None
    elastic_gpa: Measured | None = None
    shortened_mm: Measured | None = None
    index_deg: Measured | None = None
    pins_radius_mm: Measured | None = None
    rate_wanted_s_per_day: Measured | None = None
    weight_ug: Measured | None = None
    at_mm: Measured | None = None
    warmer_c: Measured | None = None
    spot_s_per_day: Measured | None = None
    swing_deg: Measured | None = None
    rim: str = ""
    spring: str = ""

    def __post_init__(self) -> None:
        for name in ABOVE_NOTHING:
            value = getattr(self, name)
            if value is not None and (value if isinstance(value, int) else value.value) <= 0:
                raise InputError(f"{WORDS[name]}: it must be above 0")
        metal_named("rim", self.rim, RIMS)
        metal_named("hairspring", self.spring, SPRINGS)

    @property
    def names(self) -> frozenset[str]:
        """Return which are known."""
        return frozenset(each.name for each in fields(self) if getattr(self, each.name))


WORDS = {
    "beats_per_hour": "beats an hour",
    "inertia_mg_cm2": "moment of inertia, mg·cm²",
    "mass_mg": "mass of the balance, mg",
    "pivot_mm": "diameter of its pivots, mm",
    "quality_factor": "quality factor of the free balance",
    "lying_deg": "amplitude lying, °",
    "height_mm": "height of the spring's strip, mm",
    "thickness_mm": "thickness of the strip, mm",
    "length_mm": "active length, stud or pins to collet, mm",
    "elastic_gpa": "modulus of elasticity, GPa",
    "shortened_mm": "shortened by, mm",
    "index_deg": "index moved towards fast, °",
    "pins_radius_mm": "radius at which the pins hold the spring, mm",
    "rate_wanted_s_per_day": "change of rate wanted, s a day",
    "weight_ug": "weight added, µg (taken: −)",
    "at_mm": "its distance from the staff, mm",
    "warmer_c": "warmer by, °C",
    "spot_s_per_day": "what a heavy spot makes hanging, s a day",
    "swing_deg": "amplitude at which it makes that, °",
    "rim": "metal of the rim",
    "spring": "metal of the hairspring",
}
"""What each line is, with its unit."""
ABOVE_NOTHING = (
    "beats_per_hour", "inertia_mg_cm2", "mass_mg", "pivot_mm", "quality_factor", "lying_deg",
    "height_mm", "thickness_mm", "length_mm", "elastic_gpa", "pins_radius_mm", "at_mm",
    "spot_s_per_day", "swing_deg",
)  # fmt: skip
FROM_SHEET = ("inertia_mg_cm2", "mass_mg", "pivot_mm", "quality_factor")


def known_from(sheet: CalibreSheet) -> dict[str, Any]:
    """Return what a calibre sheet tells of its balance, by the names of `KnownOfBalance`."""
    balance = sheet.balance
    told: dict[str, Any] = {"beats_per_hour": sheet.beats_per_hour}
    if sheet.nominal is not None:
        told["lying_deg"] = sheet.nominal.lying_full_deg
    if balance is not None:
        told |= {name: getattr(balance, name) for name in FROM_SHEET}
        told |= {
            "rim": metal_in(balance.rim, RIMS),
            "spring": metal_in(balance.spring, SPRINGS),
        }
    return {name: value for name, value in told.items() if value}
