"""One list of shapes, drawn for a person (SVG) and for a machine (DXF).

A drawing is a sheet of paper: millimetres of paper, origin at the lower left, y upwards, angles in
degrees counter-clockwise from 3 o'clock. Shapes say what they mean (a `ShapeRole`, a `Fill`),
never how they look; the two writers decide the look.
"""

import math
import textwrap
import unicodedata
from dataclasses import dataclass, field, replace
from enum import StrEnum

from sideshake.core.errors import InputError

Point = tuple[float, float]


class ShapeRole(StrEnum):
    """What a line or a piece of text means."""

    OUTLINE = "outline"
    FINE = "fine"
    CENTRE = "centre"
    HIDDEN = "hidden"
    DIMENSION = "dimension"
    ACCENT = "accent"
    DANGER = "danger"
    FRAME = "frame"
    NONE = "none"


class Fill(StrEnum):
    """What a closed shape is made of, or what it tells."""

    NONE = "none"
    PLATE = "plate"
    BRASS = "brass"
    STEEL = "steel"
    JEWEL = "jewel"
    JEWEL_CUT = "jewel-cut"
    BRASS_CUT = "brass-cut"
    SAFE = "safe"
    DANGER = "danger"
    INK = "ink"


class Anchor(StrEnum):
    """Which end of the words sits at the point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


def require_finite(*points: Point) -> None:
    """Return nothing; refuse a point that is not two finite numbers."""
    for point in points:
        if len(point) != 2 or not all(math.isfinite(each) for each in point):
            raise InputError(f"a point of a drawing is two finite numbers, got {point}")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """A straight line."""

    start: Point
    end: Point
    role: ShapeRole = ShapeRole.OUTLINE

    def __post_init__(self) -> None:
        require_finite(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """A chain of straight lines; closed, it may be filled."""

    points: tuple[Point, ...]
    role: ShapeRole = ShapeRole.OUTLINE
    closed: bool = False
    fill: Fill = Fill.NONE

    def __post_init__(self) -> None:
        require_finite(*self.points)
        if len(self.points) < 2:
            raise InputError(f"a polyline needs at least 2 points, got {len(self.points)}")
        if self.fill is not Fill.NONE and not self.closed:
            raise InputError("only a closed polyline can be filled")


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A full circle."""

    centre: Point
    radius: float
    role: ShapeRole = ShapeRole.OUTLINE
    fill: Fill = Fill.NONE

    def __post_init__(self) -> None:
        require_finite(self.centre, (self.radius, 0.0))
        if self.radius <= 0:
            raise InputError(f"a circle needs a radius above 0, got {self.radius}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A part of a circle, counter-clockwise from `start_deg` to `end_deg`."""

    centre: Point
    radius: float
    start_deg: float
    end_deg: float
    role: ShapeRole = ShapeRole.OUTLINE

    def __post_init__(self) -> None:
        require_finite(self.centre, (self.start_deg, self.end_deg))
        if not self.radius > 0:
            raise InputError(f"an arc needs a radius above 0, got {self.radius}")
        if not 0 < self.end_deg - self.start_deg < 360:
            raise InputError(
                f"an arc runs from {self.start_deg} to {self.end_deg} degrees: "
                "the end must lie after the start by less than 360"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of words; `height` is the size of the letters' body in mm of paper."""

    at: Point
    words: str
    height: float = 3.2
    anchor: Anchor = Anchor.START
    role: ShapeRole = ShapeRole.OUTLINE
    heading: bool = False
    turn_deg: float = 0.0

    def __post_init__(self) -> None:
        require_finite(self.at, (self.height, self.turn_deg))
        if self.height <= 0:
            raise InputError(f"text needs a height above 0, got {self.height}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A measure between two points, drawn `offset` to the left of the way from start to end."""

    start: Point
    end: Point
    words: str
    offset: float = 6.0
    height: float = 3.0
    role: ShapeRole = ShapeRole.DIMENSION

    def __post_init__(self) -> None:
        require_finite(self.start, self.end)
        if self.start == self.end:
            raise InputError(f"dimension {self.words!r} has no length: both ends at {self.start}")


Single = DrawnLine | Polyline | Circle | Arc | Text | Dimension


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """Shapes that are one thing; a screen tells its name when it is pointed at."""

    words: str
    shapes: tuple[Single, ...]


Shape = Single | Named


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A sheet of paper with shapes; `scale` is drawn size over real size (20 for 20:1)."""

    title: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    scale: float = 1.0
    description: str = ""
    fills: frozenset[Fill] = field(init=False)

    def __post_init__(self) -> None:
        for name in ("width", "height", "scale"):
            if not getattr(self, name) > 0:
                raise InputError(f"drawing {name} must be above 0, got {getattr(self, name)}")
        single = [part for each in self.shapes for part in parts_of(each)]
        used = {each.fill for each in single if isinstance(each, Polyline | Circle)}
        object.__setattr__(self, "fills", frozenset(used - {Fill.NONE}))


def parts_of(shape: Shape) -> tuple[Single, ...]:
    """Return the shapes that have one name, or the single shape."""
    return shape.shapes if isinstance(shape, Named) else (shape,)


def rectangle(
    corner: Point, opposite: Point, *, role: ShapeRole = ShapeRole.OUTLINE, fill: Fill = Fill.NONE
) -> Polyline:
    """Return the upright rectangle between two opposite corners."""
    (x0, y0), (x1, y1) = corner, opposite
    return Polyline(
        points=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), role=role, closed=True, fill=fill
    )


def on_circle(centre: Point, radius: float, angle_deg: float) -> Point:
    """Return the point of a circle at an angle.

    Examples
    --------
    >>> on_circle((1.0, 1.0), 2.0, 0.0)
    (3.0, 1.0)
    """
    angle = math.radians(angle_deg)
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


def sector(
    arc: Arc, inner_radius: float, *, fill: Fill = Fill.NONE, step_deg: float = 2.0
) -> Polyline:
    """Return the band between an arc and the same arc at `inner_radius`, as a closed polygon."""
    count = max(2, math.ceil((arc.end_deg - arc.start_deg) / step_deg) + 1)
    step = (arc.end_deg - arc.start_deg) / (count - 1)
    angles = [arc.start_deg + index * step for index in range(count)]
    outer = [on_circle(arc.centre, arc.radius, angle) for angle in angles]
    inner = [on_circle(arc.centre, inner_radius, angle) for angle in reversed(angles)]
    return Polyline(points=(*outer, *inner), role=arc.role, closed=True, fill=fill)


def paragraph(text: Text, width: float, *, leading: float = 1.4) -> tuple[Text, ...]:
    """Return the words broken into lines that fit `width` (a letter is about half its height)."""
    letters = max(8, int(width / (0.5 * text.height)))
    lines = textwrap.wrap(text.words, letters) or [""]
    x, y = text.at
    return tuple(
        replace(text, words=line, at=(x, y - index * leading * text.height))
        for index, line in enumerate(lines)
    )


LEAST_LETTER = 2.83
"""The smallest letters that can be read on paper, mm: 8 pt."""


ROUNDING = 1e-9
"""What a width may differ by from being reckoned, mm."""


def within(text: Text, width: float, *, least: float = LEAST_LETTER) -> Text:
    """Return a line of words that fits `width`: in letters down to `least`, then cut."""
    if line_width(text.words, text.height) <= width:
        return text
    height = max(least, text.height * width / line_width(text.words, text.height))
    words = text.words
    while line_width(words, height) > width + ROUNDING:
        words = words[:-2] + "…"
    return replace(text, words=words, height=min(text.height, height))


def line_width(words: str, height: float) -> float:
    """Return how wide a line of words may become: capitals and letters of Asia are wider."""
    return height * sum(letter_width(letter) for letter in words)


def letter_width(letter: str) -> float:
    """Return the width of a letter as a share of its height, rather too wide than too narrow."""
    if letter in "WM@—…" or unicodedata.east_asian_width(letter) in "WF":
        return 1.0
    return 0.75 if letter.isupper() else LETTER_WIDTH


LETTER_WIDTH = 0.55
"""A letter's width as a share of its height: what a line of words needs, about."""


def dimension_parts(dimension: Dimension) -> tuple[Single, ...]:
    """Return the lines, arrow heads and words that a dimension is drawn with.

    A short measure has its arrows outside; words longer than it stand beyond its end.
    """
    (x0, y0), (x1, y1) = dimension.start, dimension.end
    length = math.hypot(x1 - x0, y1 - y0)
    along = ((x1 - x0) / length, (y1 - y0) / length)
    left = (-along[1], along[0])
    role, arrow = dimension.role, 0.8 * dimension.height
    short = length < 3.2 * arrow
    start, end = (
        shifted(each, left, dimension.offset) for each in (dimension.start, dimension.end)
    )
    wordy = LETTER_WIDTH * dimension.height * len(dimension.words) > length
    reach = 2.5 * arrow if short else (arrow if wordy else 0.0)
    tail = reach if short else 0.0
    over = math.copysign(1.2, dimension.offset)
    return (
        DrawnLine(start=dimension.start, end=shifted(start, left, over), role=ShapeRole.FINE),
        DrawnLine(start=dimension.end, end=shifted(end, left, over), role=ShapeRole.FINE),
        DrawnLine(start=shifted(start, along, -tail), end=shifted(end, along, reach), role=role),
        arrow_head(start, along, arrow if not short else -arrow, role=role),
        arrow_head(end, along, -arrow if not short else arrow, role=role),
        dimension_words(dimension, (start, end), along, reach=reach),
    )


def dimension_words(
    dimension: Dimension, line: tuple[Point, Point], along: Point, *, reach: float
) -> Text:
    """Return the words of a dimension: above the middle of its line, or beyond its end if short."""
    turn = math.degrees(math.atan2(along[1], along[0]))
    upside_down = not -90.1 < turn <= 90.0
    turn = turn - math.copysign(180.0, turn) if upside_down else turn
    turn = 90.0 if abs(turn + 90.0) < 0.2 else turn
    up = (-math.sin(math.radians(turn)), math.cos(math.radians(turn)))
    (x0, y0), (x1, y1) = line
    if not reach:
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        return _words(dimension, shifted(middle, up, 0.35 * dimension.height), Anchor.MIDDLE, turn)
    beyond = shifted(shifted(line[1], along, reach + 0.8), up, -0.35 * dimension.height)
    forwards = along[0] * up[1] - along[1] * up[0] > 0
    return _words(dimension, beyond, Anchor.START if forwards else Anchor.END, turn)


def _words(dimension: Dimension, at: Point, anchor: Anchor, turn_deg: float) -> Text:
    return Text(
        at=at,
        words=dimension.words,
        height=dimension.height,
        anchor=anchor,
        role=dimension.role,
        turn_deg=turn_deg,
    )


def shifted(point: Point, direction: Point, distance: float) -> Point:
    """Return the point moved by `distance` along a unit direction."""
    return (point[0] + direction[0] * distance, point[1] + direction[1] * distance)


def arrow_head(tip: Point, along: Point, length: float, *, role: ShapeRole) -> Polyline:
    """Return a slim filled arrow whose body lies `length` along the direction from its tip."""
    foot = shifted(tip, along, length)
    left = (-along[1], along[0])
    half = abs(length) / 6
    points = (tip, shifted(foot, left, half), shifted(foot, left, -half))
    fill = Fill.DANGER if role is ShapeRole.DANGER else Fill.INK
    return Polyline(points=points, role=ShapeRole.NONE, closed=True, fill=fill)
