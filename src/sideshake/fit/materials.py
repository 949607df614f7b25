"""What plates, bushes and jewels are made of: stiffness, strength, friction against a seat.

Megapascals. Values from general material tables (CRC Handbook and others); sources differ on ruby
(345 to 450 GPa), which moves a press-fit pressure by about 2 % only.
"""

from dataclasses import dataclass

from sideshake.core.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """An elastic material; `yield_mpa` is None for one that breaks before it yields."""

    name: str
    elastic_mpa: float
    poisson: float
    yield_mpa: float | None = None

    def __post_init__(self) -> None:
        if self.elastic_mpa <= 0 or not 0 <= self.poisson < 0.5:
            raise InputError(
                f"{self.name}: elasticity {self.elastic_mpa:g} MPa must be above 0 and Poisson's "
                f"ratio {self.poisson:g} between 0 and 0.5"
            )
        if self.yield_mpa is not None and self.yield_mpa <= 0:
            raise InputError(f"{self.name}: a yield stress is above 0, got {self.yield_mpa:g} MPa")


RUBY = Material(name="ruby", elastic_mpa=380e3, poisson=0.28)
BRASS_SOFT = Material(name="half-hard brass", elastic_mpa=97e3, poisson=0.31, yield_mpa=180.0)
BRASS = Material(name="hard brass", elastic_mpa=97e3, poisson=0.31, yield_mpa=330.0)
NICKEL_SILVER = Material(
    name="nickel silver", elastic_mpa=125e3, poisson=0.33, yield_mpa=400.0
)  # from memory
BRONZE = Material(
    name="phosphor bronze", elastic_mpa=110e3, poisson=0.34, yield_mpa=450.0
)  # from memory
STEEL = Material(name="steel", elastic_mpa=205e3, poisson=0.29, yield_mpa=600.0)  # from memory
MATERIALS = {each.name: each for each in (RUBY, BRASS_SOFT, BRASS, NICKEL_SILVER, BRONZE, STEEL)}


def material(name: str) -> Material:
    """Return the material of that name.

    Raises
    ------
    InputError : it is not known; the message lists those that are
    """
    if name not in MATERIALS:
        raise InputError(f"no material {name!r}; there are {', '.join(MATERIALS)}")
    return MATERIALS[name]
