"""The signs of a workshop drawing: texture, tolerance frame, datum, edges, projection.

Drawn from lines, since no font holds them all. Forms from memory of the standards named.
"""

import math
from collections.abc import Iterator
from itertools import pairwise

from sideshake.drawings.shapes import (
    LETTER_WIDTH,
    Anchor,
    Circle,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    arrow_head,
    rectangle,
    shifted,
)

LETTER = 3.0
"""Height of the letters in signs and notes: 8.5 pt."""
FRAME = 2 * LETTER
DOT = 0.5
SLOPE = math.tan(math.radians(60.0))
TICK_LOW, TICK_HIGH = 1.4 * LETTER, 2.8 * LETTER


def texture(foot: Point, words: str) -> Iterator[Shape]:
    """Yield the sign for a surface that is machined, with its roughness (ISO 21920-1).

    Its foot stands on the surface or on a line that leads there.
    """
    x, y = foot
    left, right = (x - TICK_LOW / SLOPE, y + TICK_LOW), (x + TICK_HIGH / SLOPE, y + TICK_HIGH)
    end = right[0] + texture_width(words) - TICK_HIGH / SLOPE
    yield Polyline(points=(left, foot, right, (end, right[1])), role=ShapeRole.DIMENSION)
    yield DrawnLine(start=left, end=(x + TICK_LOW / SLOPE, y + TICK_LOW), role=ShapeRole.DIMENSION)
    yield Text(at=(right[0] + 0.2, y + TICK_HIGH - LETTER), words=words, height=LETTER)


def texture_width(words: str) -> float:
    """Return how far a texture sign reaches to the right of its foot."""
    return TICK_HIGH / SLOPE + 0.6 + LETTER_WIDTH * LETTER * len(words)


def runout_frame(corner: Point, words: str, datum: str) -> Iterator[Shape]:
    """Yield the frame of a circular run-out: its sign, how much, against which datum (ISO 1101)."""
    x, y = corner
    yield from tolerance_frame(corner, words, datum)
    yield from pointing((x + 1.2, y + 1.2), (x + FRAME - 1.2, y + FRAME - 1.2))


def squareness_frame(corner: Point, words: str, datum: str) -> Iterator[Shape]:
    """Yield the frame of a perpendicularity: its sign, how much, to which datum (ISO 1101)."""
    x, y = corner
    yield from tolerance_frame(corner, words, datum)
    foot, middle = y + 1.5, x + FRAME / 2
    yield DrawnLine(start=(x + 1.2, foot), end=(x + FRAME - 1.2, foot), role=ShapeRole.DIMENSION)
    yield DrawnLine(start=(middle, foot), end=(middle, y + FRAME - 1.2), role=ShapeRole.DIMENSION)


def frame_wide(words: str) -> float:
    """Return how wide a tolerance frame with these words is."""
    return 2 * FRAME + 2.0 + LETTER_WIDTH * LETTER * len(words)


def tolerance_frame(corner: Point, words: str, datum: str) -> Iterator[Shape]:
    """Yield a tolerance frame without its sign: three cells, how much, against which datum."""
    x, y = corner
    wide = frame_wide(words) - 2 * FRAME
    edges = (x, x + FRAME, x + FRAME + wide, x + 2 * FRAME + wide)
    for left, right in pairwise(edges):
        yield rectangle((left, y), (right, y + FRAME), role=ShapeRole.DIMENSION)
    for middle, said in (((edges[1] + edges[2]) / 2, words), ((edges[2] + edges[3]) / 2, datum)):
        yield Text(at=(middle, y + 2.0), words=said, height=LETTER, anchor=Anchor.MIDDLE)


def datum_sign(at: Point, letter: str) -> Iterator[Shape]:
    """Yield a datum's triangle, hanging from a line, and its letter in a frame (ISO 5459)."""
    x, y = at
    points = ((x - 1.6, y), (x + 1.6, y), (x, y - 2.6))
    yield Polyline(points=points, role=ShapeRole.NONE, closed=True, fill=Fill.INK)
    yield DrawnLine(start=(x, y - 2.6), end=(x, y - 5.0), role=ShapeRole.DIMENSION)
    corner, opposite = (x - FRAME / 2, y - 5.0 - FRAME), (x + FRAME / 2, y - 5.0)
    yield rectangle(corner, opposite, role=ShapeRole.DIMENSION)
    yield Text(at=(x, y - 3.0 - FRAME), words=letter, height=LETTER, anchor=Anchor.MIDDLE)


def edge_sign(corner: Point, words: str) -> Iterator[Shape]:
    """Yield the sign for edges without one of their own; below 0 is taken off (ISO 13715)."""
    x, y = corner
    yield DrawnLine(start=(x - 2.5, y - 2.5), end=corner, role=ShapeRole.DIMENSION)
    yield Polyline(points=((x, y + 5.0), corner, (x + 5.0, y)), role=ShapeRole.DIMENSION)
    yield Text(at=(x + 1.0, y + 1.2), words=words, height=LETTER)


def first_angle_sign(middle: Point) -> Iterator[Shape]:
    """Yield the sign of first-angle projection (ISO 5456-2): seen from the left stands right.

    Both circles are seen only from a cone's small end, so that end is at the left.
    """
    x, y = middle
    cone = ((x - 8.0, y - 1.5), (x - 8.0, y + 1.5), (x - 1.0, y + 3.0), (x - 1.0, y - 3.0))
    yield Polyline(points=cone, closed=True, role=ShapeRole.DIMENSION)
    for radius in (1.5, 3.0):
        yield Circle(centre=(x + 5.0, y), radius=radius, role=ShapeRole.DIMENSION)
    yield DrawnLine(start=(x - 9.0, y), end=(x, y), role=ShapeRole.CENTRE)
    yield DrawnLine(start=(x + 1.2, y), end=(x + 8.8, y), role=ShapeRole.CENTRE)
    yield DrawnLine(start=(x + 5.0, y - 3.8), end=(x + 5.0, y + 3.8), role=ShapeRole.CENTRE)


def pointing(start: Point, tip: Point) -> Iterator[Shape]:
    """Yield a line with an arrow at its tip."""
    length = math.dist(start, tip)
    back = ((start[0] - tip[0]) / length, (start[1] - tip[1]) / length)
    head = min(2.4, 0.6 * length)
    yield DrawnLine(start=start, end=shifted(tip, back, head), role=ShapeRole.DIMENSION)
    yield arrow_head(tip, back, head, role=ShapeRole.DIMENSION)


def dotted(start: Point, area: Point) -> Iterator[Shape]:
    """Yield a line that ends in a dot: it means the surface that the dot lies on."""
    yield DrawnLine(start=start, end=area, role=ShapeRole.DIMENSION)
    yield Circle(centre=area, radius=DOT, role=ShapeRole.NONE, fill=Fill.INK)
