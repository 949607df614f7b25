"""Every size of a barrel, how it is known: what was measured, else the sheet, else assumed."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet, SheetBearing
from sideshake.wear.assumed import (
    OWN_SPAN_SHARE,
    SizeLines,
    Spot,
    bearing_known,
    endshake_known,
    gap_known,
    span_known,
)
from sideshake.wear.barrel_size import ENDSHAKE_PARTS, BarrelSize, SizeSource, measured
from sideshake.wear.known import ratchet_radius

if TYPE_CHECKING:
    from sideshake.wear.measurements import MeasuredBearing, Measurements

PURPOSE = "the barrel's lean"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotName:
    """A bearing's names: in the values, its tables in measurements and sheet, in words."""

    name: str
    table: str
    line: str
    hole: str
    pivot: str


BELOW = SpotName(name="lower", table="below", line="below", hole="hole below", pivot="pivot below")
ABOVE = SpotName(name="upper", table="above", line="above", hole="hole above", pivot="pivot above")
FLOOR = SpotName(
    name="barrel's own lower",
    table="floor",
    line="on_arbor_below",
    hole="hole in the floor",
    pivot="arbor in the floor",
)
LID = SpotName(
    name="barrel's own upper",
    table="lid",
    line="on_arbor_above",
    hole="hole in the lid",
    pivot="arbor in the lid",
)
SPOTS = (BELOW, ABOVE, FLOOR, LID)
ENDSHAKES = tuple(zip(ENDSHAKE_PARTS, ("endshake_mm", "barrel_endshake_mm"), strict=True))
OPTIONAL = (
    ("upper shoulder", "shoulder above", "shoulder_above_mm"),
    ("lower shoulder", "shoulder below", "shoulder_below_mm"),
    ("ratchet plane", "ratchet plane", "ratchet_plane_mm"),
)
"""Lengths that need not be known: name in the values, in words, line."""
GAPS = (("plate", "gap_plate_mm"), ("bridge", "gap_bridge_mm"), ("neighbour", "gap_neighbour_mm"))

Sizes = dict[str, BarrelSize]
"""How each size is known, by its name in the values."""


def sizes_of(sheet: CalibreSheet, found: "Measurements") -> Sizes:
    """Return how each size of a barrel is known.

    Raises
    ------
    InputError : the span or the rim radius is in neither sheet nor measurements
    """
    made = [
        *bearing_sizes(sheet, found),
        *span_sizes(sheet, found),
        *endshake_sizes(sheet, found),
        *gap_sizes(sheet, found),
        *optional_sizes(sheet, found),
    ]
    return {each.name: each for each in made}


def bearing_sizes(sheet: CalibreSheet, found: "Measurements") -> list[BarrelSize]:
    """Return the holes and pivots of the arbor and of the barrel on it."""
    made: list[BarrelSize] = []
    for place in SPOTS:
        at: MeasuredBearing = getattr(found, place.table)
        said: SheetBearing | None = getattr(sheet.barrel, place.line, None)
        spot = Spot(
            name=place.name,
            hole=place.hole,
            pivot=place.pivot,
            jewelled=bool(said and said.jewelled),
        )
        long, u_mm = at.hole_long_mm or at.hole_mm, found.u_mm
        made += bearing_known(
            spot,
            hole=written(long, said.hole_mm if said else None, u_mm),
            pivot=written(at.pivot_mm, said.pivot_mm if said else None, u_mm),
        )
        if at.hole_short_mm:
            short = with_default(at.hole_short_mm, u_mm)
            made.append(
                measured(f"{place.name} hole, short axis", f"{place.hole}, short axis", short)
            )
    return made


def span_sizes(sheet: CalibreSheet, found: "Measurements") -> list[BarrelSize]:
    """Return the arbor's span and that of the barrel's own holes."""
    said = found.barrel.span_mm
    line = None if said else sheet.measured("barrel.span_mm", PURPOSE)
    span = span_known("span", "span", written(said, line, found.u_mm))
    assert span is not None
    own = Measured(OWN_SPAN_SHARE.value * span.value.value, OWN_SPAN_SHARE.u * span.value.value)
    line = sheet.barrel.lid_to_floor_mm if sheet.barrel else None
    inner = span_known("barrel's own span", "lid to floor", written(None, line, found.u_mm), own)
    return [each for each in (span, inner) if each]


def endshake_sizes(sheet: CalibreSheet, found: "Measurements") -> list[BarrelSize]:
    """Return the endshakes of the arbor and of the barrel on it."""
    return [endshake_known(name, name, barrel_lines(sheet, found, key)) for name, key in ENDSHAKES]


def gap_sizes(sheet: CalibreSheet, found: "Measurements") -> list[BarrelSize]:
    """Return the gaps and the radii at them; a neighbour only where one is known."""
    radius = sheet.measured("barrel.rim_radius_mm", PURPOSE)
    made: list[BarrelSize] = []
    for name, key in GAPS:
        lines = barrel_lines(sheet, found, key)
        if name == "neighbour" and lines.source is SizeSource.ASSUMED:
            continue
        named = part_name(sheet, name)
        made.append(gap_known(f"gap to the {named}", f"gap to the {named}", lines))
        made.append(
            BarrelSize(
                name=f"radius at the {named}",
                words="rim radius",
                source=SizeSource.SHEET,
                new=radius,
            )
        )
    return made


def optional_sizes(sheet: CalibreSheet, found: "Measurements") -> list[BarrelSize]:
    """Return the lengths that need not be known, those that are: they are not assumed."""
    lines = {
        (f"{place.name} thickness", f"thickness {place.table}"): written(
            getattr(found, place.table).thickness_mm,
            getattr(getattr(sheet.barrel, place.line, None), "thickness_mm", None),
            found.u_mm,
        )
        for place in SPOTS
    }
    lines |= {(name, words): barrel_lines(sheet, found, key) for name, words, key in OPTIONAL}
    radius = written(found.barrel.ratchet_radius_mm, ratchet_radius(sheet), found.u_mm)
    lines["ratchet radius", "ratchet radius"] = radius
    return [
        BarrelSize(name=name, words=words, source=each.source, new=known)
        for (name, words), each in lines.items()
        if (known := each.measured or each.sheet)
    ]


def part_name(sheet: CalibreSheet, name: str) -> str:
    """Return what a part round the barrel is called; the sheet may name the neighbour."""
    named = sheet.barrel.neighbour if sheet.barrel and name == "neighbour" else None
    return named or name


def barrel_lines(sheet: CalibreSheet, found: "Measurements", key: str) -> SizeLines:
    """Return what is written of a length of the barrel."""
    return written(getattr(found.barrel, key), getattr(sheet.barrel, key, None), found.u_mm)


def written(said: Measured | None, line: Measured | None, u_mm: float) -> SizeLines:
    """Return what is written of a size; each has the default uncertainty where it has none."""
    return SizeLines(
        measured=with_default(said, u_mm) if said else None,
        sheet=with_default(line, u_mm) if line else None,
    )


def with_default(value: Measured, u_mm: float) -> Measured:
    """Return the value with the file's uncertainty if it carries none."""
    return value if value.u else replace(value, u=u_mm)


def from_source(known: tuple[BarrelSize, ...], source: SizeSource) -> tuple[str, ...]:
    """Return the words of the sizes that come from a source, each once, in their order."""
    return tuple(dict.fromkeys(each.words for each in known if each.source is source))
