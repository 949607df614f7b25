"""What rims and hairsprings are made of: how they grow, and soften, with warmth."""

from collections.abc import Iterable
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainRim:
    """A plain rim: its linear expansion, 1/°C."""

    per_c: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringMetal:
    """A hairspring's metal: modulus, its change and the metal's expansion, 1/°C.

    `compensated_s_per_day` : what is left for one degree on the balance it is made for, if it is
        self-compensating; then the rest does not count
    """

    elastic_gpa: Measured
    per_c: Measured
    elastic_per_c: Measured
    compensated_s_per_day: Measured | None = None


RIMS = {
    "brass": PlainRim(per_c=Measured(19e-6, 0.5e-6)),
    "steel": PlainRim(per_c=Measured(11e-6, 0.5e-6)),
    "nickel silver": PlainRim(per_c=Measured(17e-6, 1e-6)),
    "beryllium bronze": PlainRim(per_c=Measured(17e-6, 0.5e-6)),
}
"""Brass and steel: secondary trade page (trade-facts 4.3.7, 7.5.7); the others from memory."""
SPRINGS = {
    "carbon steel": SpringMetal(
        elastic_gpa=Measured(205.0, 5.0),
        per_c=Measured(11.5e-6, 0.5e-6),
        elastic_per_c=Measured(-240e-6, 15e-6),
    ),
    "self-compensating alloy": SpringMetal(
        elastic_gpa=Measured(180.0, 10.0),
        per_c=Measured(8e-6, 1e-6),
        elastic_per_c=Measured(0.0, 10e-6),
        compensated_s_per_day=Measured(0.0, 0.2),
    ),
}
"""From memory (trade-facts 4.3.8, 6.16 and 4.3.13: good ones within 0.1 to 0.3 s a day and °C)."""


def metal_named(what: str, name: str, metals: Iterable[str]) -> str:
    """Return the name if it is one of the metals, or empty.

    Raises
    ------
    InputError : it is another; the message lists those that are
    """
    if name and name not in metals:
        raise InputError(f"{what}: there is no metal {name!r} here; there are {', '.join(metals)}")
    return name


def metal_in(text: str | None, metals: Iterable[str]) -> str:
    """Return the metal that a sheet's words name, "" if none or more than one.

    Examples
    --------
    >>> metal_in("monometallic, brass", RIMS), metal_in("with screws", RIMS)
    ('brass', '')
    >>> metal_in("bimetallic, brass on steel", RIMS)
    ''
    """
    found = [each for each in metals if text and each in text.lower()]
    return found[0] if len(found) == 1 else ""
