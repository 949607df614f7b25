"""The new part in its seat, to scale: cut through the metal, and the reamers from above.

For the bench: no limits and no list, only what goes where.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Shape,
    ShapeRole,
    Text,
    rectangle,
)
from sideshake.fit.jewel import Part, Seat
from sideshake.fit.materials import RUBY

WIDTH, HEIGHT = 66.0, 112.0
MIDDLE = WIDTH / 2
CUT_Y, ABOVE_Y = 86.0, 40.0
LARGEST_ACROSS, LARGEST_HIGH = 40.0, 22.0
METAL_BESIDE = 10.0
SCALES = (50.0, 20.0, 10.0, 5.0, 2.0)
"""Enlargements of ISO 5455."""
WORDS, SMALL = 3.0, 2.9
"""Heights of letters, mm: 8 pt and more, since the drawing is printed as large as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seated:
    """A part in its seat; the inner surface is the one towards the barrel."""

    name: str
    """What the metal is, such as bridge."""
    seat: Seat
    part: Part
    depth_mm: float
    """How far the part's inner face lies below the inner surface; negative: it stands out."""
    reamers_mm: tuple[float, ...]
    inner_is_up: bool

    @property
    def scale(self) -> float:
        """Return the largest scale at which part and metal have room."""
        across, high = self.part.outside_mm, self.seat.plate_thickness_mm
        fits = (s for s in SCALES if s * across <= LARGEST_ACROSS and s * high <= LARGEST_HIGH)
        return next(fits, SCALES[-1])


def seat_drawing(seated: Seated) -> Drawing:
    """Return the section with the part in place, and below it the reamers from above."""
    heading = Text(
        at=(MIDDLE, HEIGHT - 6.0),
        words=f"{seated.name.capitalize()}, {seated.scale:g}:1",
        height=4.0,
        heading=True,
        anchor=Anchor.MIDDLE,
    )
    return Drawing(
        title=f"The new part in the {seated.name}",
        width=WIDTH,
        height=HEIGHT,
        shapes=(heading, *cut_through(seated), *from_above(seated)),
        scale=seated.scale,
        description=(
            f"Section through the {seated.name} with the part of {seated.part.outside_mm:.2f} mm "
            f"in place, and from above the hole as it is and each reamer, {seated.scale:g}:1."
        ),
    )


def cut_through(seated: Seated) -> Iterator[Shape]:
    """Yield metal, part, pivot and old hole as cut through the middle."""
    scale, part = seated.scale, seated.part
    seat, hole = scale * part.outside_mm / 2, scale * part.hole_mm / 2
    half = scale * seated.seat.plate_thickness_mm / 2
    low, high = part_heights(seated)
    fill = Fill.JEWEL if part.material == RUBY else Fill.BRASS
    for side in (-1.0, 1.0):
        end = MIDDLE + side * (seat + METAL_BESIDE)
        metal = (MIDDLE + side * seat, CUT_Y - half), (end, CUT_Y + half)
        yield rectangle(*metal, fill=Fill.PLATE)
        yield rectangle((MIDDLE + side * hole, low), (MIDDLE + side * seat, high), fill=fill)
    yield from pivot(seated, half)
    yield from old_hole(seated, half)
    yield from cut_words(seated, half)


def part_heights(seated: Seated) -> tuple[float, float]:
    """Return the lower and the upper face of the part on paper."""
    up = 1.0 if seated.inner_is_up else -1.0
    scale = seated.scale
    inner = CUT_Y + up * scale * (seated.seat.plate_thickness_mm / 2 - seated.depth_mm)
    outer = inner - up * scale * seated.part.thickness_mm
    return min(inner, outer), max(inner, outer)


def pivot(seated: Seated, half: float) -> Iterator[Shape]:
    """Yield the pivot and its axis."""
    radius = seated.scale * seated.seat.pivot_mm.value / 2
    low, high = CUT_Y - half - 3.0, CUT_Y + half + 3.0
    yield rectangle((MIDDLE - radius, low), (MIDDLE + radius, high), fill=Fill.STEEL)
    yield DrawnLine(start=(MIDDLE, low - 2.0), end=(MIDDLE, high + 2.0), role=ShapeRole.CENTRE)


def old_hole(seated: Seated, half: float) -> Iterator[Shape]:
    """Yield where the worn hole was, along its long axis."""
    radius = seated.scale * seated.seat.old_hole_mm / 2
    for x in (MIDDLE - radius, MIDDLE + radius):
        yield DrawnLine(start=(x, CUT_Y - half), end=(x, CUT_Y + half), role=ShapeRole.HIDDEN)


def cut_words(seated: Seated, half: float) -> Iterator[Shape]:
    """Yield the sizes, and which surface looks at the barrel."""
    outside = seated.scale * seated.part.outside_mm / 2
    yield Dimension(
        start=(MIDDLE - outside, CUT_Y - half),
        end=(MIDDLE + outside, CUT_Y - half),
        words=f"Ø {seated.part.outside_mm:.3f}",
        offset=-9.0,
    )
    y = CUT_Y + half + 1.2 if seated.inner_is_up else CUT_Y - half - 3.8
    beside = (MIDDLE - outside - 1.0, y)  # clear of the line that carries the size
    yield Text(at=beside, words="barrel side", height=SMALL, anchor=Anchor.END)


def from_above(seated: Seated) -> Iterator[Shape]:
    """Yield the hole as it is, each reamer, the part and its hole."""
    centre, scale = (MIDDLE, ABOVE_Y), seated.scale
    fill = Fill.JEWEL if seated.part.material == RUBY else Fill.BRASS
    yield Circle(centre=centre, radius=scale * seated.part.outside_mm / 2, fill=fill)
    yield Circle(centre=centre, radius=scale * seated.seat.old_hole_mm / 2, role=ShapeRole.HIDDEN)
    for size in seated.reamers_mm:
        yield Circle(centre=centre, radius=scale * size / 2, role=ShapeRole.FINE)
    yield Circle(centre=centre, radius=scale * seated.part.hole_mm / 2)
    reach = scale * seated.part.outside_mm / 2 + 3.0
    yield DrawnLine(
        start=(MIDDLE - reach, ABOVE_Y), end=(MIDDLE + reach, ABOVE_Y), role=ShapeRole.CENTRE
    )
    yield DrawnLine(
        start=(MIDDLE, ABOVE_Y - reach), end=(MIDDLE, ABOVE_Y + reach), role=ShapeRole.CENTRE
    )
    hole = scale * seated.part.hole_mm / 2
    yield Dimension(
        start=(MIDDLE - hole, ABOVE_Y),
        end=(MIDDLE + hole, ABOVE_Y),
        words=f"Ø {seated.part.hole_mm:.3f}",
        offset=-(reach + 5.0),
        height=WORDS,
    )
    for y, words in ((7.0, "from above; fine: the reamers;"), (3.0, "broken: the old hole")):
        yield Text(at=(MIDDLE, y), words=words, height=SMALL, anchor=Anchor.MIDDLE)
