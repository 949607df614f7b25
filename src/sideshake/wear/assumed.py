"""What stands in for a size that nobody measured on this watch: the sheet's, else common practice.

Each default below is common practice without a source. Millimetres.
"""

import math
from dataclasses import dataclass

from sideshake.core.correlated import widened
from sideshake.core.quantities import Measured
from sideshake.wear.barrel_size import BarrelSize, SizeSource, measured
from sideshake.wear.bearing import NormalPlay, play_by_pivot

PIVOT_SHARE = 0.2
"""A steel pivot thins by this share of what its brass hole grows."""
JEWEL_SHARE = 0.1
"""A jewelled hole grows by this share of what one in brass does."""
ENDSHAKE_WEAR_MM = 0.010
"""Shoulders wear slower than holes; in place of a sound play."""
GAP_U_MM = 0.03
"""Bridges are bent, dressed and exchanged, barrels are not always the first: either way."""
LENGTH_SHARE = 0.01
"""Spans from a sheet: either way."""
SOUND_GAP = Measured(0.20, 0.06)
SOUND_ENDSHAKE = Measured(0.04, 0.015)
"""Of a gap, of an endshake, that not even the sheet gives."""
PIVOT_GUESS_MM = 0.90
"""Of a pivot that nothing is known of; only its play counts, which hardly goes with its size."""
OWN_SPAN_SHARE = Measured(2 / 3, 0.06)
"""Lid to floor as a share of the span."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One bearing by its names: in the values, in words, and whether its hole is a jewel."""

    name: str
    hole: str
    pivot: str
    jewelled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLines:
    """What is written of a hole or of a pivot: on the bench, in the sheet, or nowhere."""

    measured: Measured | None = None
    sheet: Measured | None = None

    @property
    def source(self) -> SizeSource:
        """Return where it comes from."""
        if self.measured:
            return SizeSource.MEASURED
        return SizeSource.SHEET if self.sheet else SizeSource.ASSUMED


def bearing_known(spot: Spot, hole: SizeLines, pivot: SizeLines) -> tuple[BarrelSize, BarrelSize]:
    """Return how a hole and its pivot are known.

    What neither was measured nor stands in the sheet follows from its partner and a sound play.
    """
    play = sound_play(hole, pivot)
    middle = Measured(play.middle_mm, play.u_mm)
    wear = middle.value * (JEWEL_SHARE if spot.jewelled else 1.0)
    shaft = pivot.measured or pivot.sheet
    if shaft is None:
        shaft = between(hole.measured or hole.sheet, middle) or Measured(PIVOT_GUESS_MM)
    bore = hole.measured or hole.sheet or Measured(shaft.value + middle.value, middle.u)
    if pivot.measured and not hole.measured and bore.value <= shaft.value:
        bore = Measured(shaft.value + middle.value, middle.u)
    thins = wear + PIVOT_SHARE * middle.value if orphan(hole, pivot) else PIVOT_SHARE * middle.value
    return (
        known_as(f"{spot.name} hole", spot.hole, hole.source, bore, wear),
        known_as(f"{spot.name} pivot", spot.pivot, pivot.source, shaft, -thins),
    )


def orphan(hole: SizeLines, pivot: SizeLines) -> bool:
    """Return whether a pivot is known only through its measured, perhaps worn, hole."""
    return hole.measured is not None and pivot.source is SizeSource.ASSUMED


def between(hole: Measured | None, play: Measured) -> Measured | None:
    """Return the pivot that leaves a sound play in a hole; None without a hole."""
    return Measured(hole.value - play.value, play.u) if hole else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Play:
    """A sound bearing's play."""

    middle_mm: float
    u_mm: float


def sound_play(hole: SizeLines, pivot: SizeLines) -> Play:
    """Return the play of the sheet's sound bearing, else of the trade's table for its size."""
    if hole.sheet and pivot.sheet and hole.sheet.value > pivot.sheet.value:
        return Play(middle_mm=hole.sheet.value - pivot.sheet.value, u_mm=0.0)
    size = pivot.measured or pivot.sheet or hole.measured or hole.sheet
    table: NormalPlay = play_by_pivot(size.value if size else PIVOT_GUESS_MM)
    middle = (table.low_mm + table.high_mm) / 2
    return Play(middle_mm=middle, u_mm=(table.high_mm - table.low_mm) / math.sqrt(12.0))


def known_as(
    name: str, words: str, source: SizeSource, new: Measured, wear_mm: float
) -> BarrelSize:
    """Return how a size is known; one that was measured has no wear added."""
    if source is SizeSource.MEASURED:
        return measured(name, words, new)
    return BarrelSize(name=name, words=words, source=source, new=new, wear_mm=wear_mm)


def gap_known(name: str, words: str, lines: SizeLines) -> BarrelSize:
    """Return how a gap is known: one of the sheet may be off by `GAP_U_MM` either way."""
    if lines.source is SizeSource.ASSUMED:
        return BarrelSize(name=name, words=words, source=SizeSource.ASSUMED, new=SOUND_GAP)
    found = lines.measured or lines.sheet or SOUND_GAP
    new = found if lines.measured else widened(found, GAP_U_MM)
    return BarrelSize(name=name, words=words, source=lines.source, new=new)


def endshake_known(name: str, words: str, lines: SizeLines) -> BarrelSize:
    """Return how an endshake is known: unmeasured, it may have grown."""
    new = lines.measured or lines.sheet or SOUND_ENDSHAKE
    return known_as(name, words, lines.source, new, ENDSHAKE_WEAR_MM)


def span_known(
    name: str, words: str, lines: SizeLines, guess: Measured | None = None
) -> BarrelSize | None:
    """Return how a length is known; None when it is in neither and there is no guess."""
    found = lines.measured or lines.sheet or guess
    if found is None:
        return None
    by_sheet = lines.source is SizeSource.SHEET
    new = widened(found, LENGTH_SHARE * found.value) if by_sheet else found
    return BarrelSize(name=name, words=words, source=lines.source, new=new)
