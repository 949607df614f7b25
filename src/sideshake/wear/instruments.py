"""What a size of the barrel is measured with, how well, and how long that takes.

All of it is common practice, no source: minutes are those of a practised hand with the part in
front of it, taking the watch apart not counted. Millimetres.
"""

import math
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.repeats import PooledScatter


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """An instrument, the standard uncertainty of one reading with it, and the minutes it takes."""

    name: str
    u_mm: float
    minutes: float

    def __post_init__(self) -> None:
        if not (self.u_mm > 0 and self.minutes > 0):
            raise InputError(f"{self.name}: uncertainty and minutes must be above 0")


PIN_GAUGES = Instrument(name="pin gauges", u_mm=0.012, minutes=4.0)
"""Steps of 0.01 mm; in an oval hole they stop at the narrow way, hence not 0.003."""
MICROSCOPE = Instrument(name="a microscope with a scale", u_mm=0.006, minutes=8.0)
"""Long and short axis."""
MICROMETER = Instrument(name="a micrometer", u_mm=0.003, minutes=2.0)
FEELER = Instrument(name="feeler strips", u_mm=0.012, minutes=5.0)
DEPTH_GAUGE = Instrument(name="a depth gauge", u_mm=0.006, minutes=6.0)
PEGWOOD = Instrument(name="pegwood and feeler strips", u_mm=0.015, minutes=3.0)
"""Bridge and arbor in place: it tries the gap that is left itself, but not which hole is worn."""
DIAL = Instrument(name="a dial indicator", u_mm=0.004, minutes=5.0)
"""A finger on the arbor, pressed to one side and to the other, or up and down."""

BY_KIND = (
    ("side play", (DIAL, MICROSCOPE)),
    ("hole", (PIN_GAUGES, MICROSCOPE)),
    ("pivot", (MICROMETER,)),
    ("gap to", (FEELER, DEPTH_GAUGE)),
    ("endshake", (DEPTH_GAUGE,)),
    ("span", (DEPTH_GAUGE,)),
)
BY_NAME = {
    each.name: each
    for each in (PIN_GAUGES, MICROSCOPE, MICROMETER, FEELER, DEPTH_GAUGE, PEGWOOD, DIAL)
}
SHARED_SHARE = math.sqrt(0.5)
"""What all readings with an instrument share (its zero, its steps, the hand's way) makes half of
the variance of one, until its scatter was learnt (common practice, no source)."""
LEAST_FREEDOM = 4
"""So many repeats more than sizes must there be before a scatter counts as learnt."""
NOT_TYPED_IN = ("barrel's own span", "radius")
"""Sizes that the measurements have no line for."""


def instruments_for(name: str) -> tuple[Instrument, ...]:
    """Return what a size can be measured with, by its name in the values; empty if with nothing.

    Examples
    --------
    >>> [each.name for each in instruments_for("upper pivot")]
    ['a micrometer']
    """
    if name.startswith(NOT_TYPED_IN) or name.endswith("short axis"):
        return ()
    return next((found for kind, found in BY_KIND if kind in name), ())


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentKnown:
    """An instrument and how its readings scatter, learnt from repeats; None as long as few are."""

    instrument: Instrument
    scatter: PooledScatter | None = None

    @property
    def is_learnt(self) -> bool:
        """Return whether enough repeats tell how it scatters."""
        return self.scatter is not None and self.scatter.freedom >= LEAST_FREEDOM

    @property
    def shared_u_mm(self) -> float:
        """Return what all its readings share: repeating does not lessen it."""
        return SHARED_SHARE * self.instrument.u_mm

    @property
    def one_u_mm(self) -> float:
        """Return the standard uncertainty of one reading.

        Examples
        --------
        >>> few = InstrumentKnown(instrument=MICROMETER)
        >>> learnt = PooledScatter(deviation=0.001, freedom=10)
        >>> many = InstrumentKnown(instrument=MICROMETER, scatter=learnt)
        >>> f"{few.one_u_mm:.4f} {many.one_u_mm:.4f}"
        '0.0030 0.0024'
        """
        if self.scatter is None or not self.is_learnt:
            return self.instrument.u_mm
        return math.hypot(self.shared_u_mm, self.scatter.u)
