"""A bearing in section and seen from above, each length that can be measured a thing of its own.

No scale: the plays are drawn wide enough to point at. A sheet is 100 mm wide, so that its letters
are 12 px high on a telephone of 390 px.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sideshake.drawings.hole_plan import ellipse
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Dimension,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    arrow_head,
    on_circle,
    rectangle,
)

WIDTH, SECTION_HIGH, PLAN_HIGH = 100.0, 76.0, 62.0
LETTERS = 3.6
PLATE = (28.0, 46.0)
HOLE = (34.0, 58.0)
PIVOT = (34.0, 50.0)
"""The pivot lies against the left side of its hole, so that the play is all on the right."""
EDGES = (8.0, 84.0)
SHOULDER = ((26.0, 4.0), (58.0, 23.0))
MIDDLE = (50.0, 31.0)
LONG_WAY, SHORT_WAY, PIN, ROOM = 20.0, 14.0, 12.0, 27.0
TURN_DEG = 0.0
ARROW = 2.6


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthDrawn:
    """A length in the drawing: which size it is, how it is drawn, and where it can be pressed."""

    size: str
    words: str
    shapes: tuple[Shape, ...]
    low: Point
    high: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthsSheet:
    """A sheet with a part and the lengths on it."""

    height: float
    part: tuple[Shape, ...]
    lengths: tuple[LengthDrawn, ...]


def bearing_section(words: Mapping[str, str]) -> LengthsSheet:
    """Return the section through a bearing.

    Parameters
    ----------
    words : what each length is called, by its size; a length without words is not drawn
    """
    made = (
        length(words, "hole_mm", flat(HOLE, PLATE[1], 65.0, words), (30.0, 62.5), (86.0, 76.0)),
        length(words, "pivot_mm", flat_pivot(words), (34.0, 8.0), (50.0, 62.0)),
        length(words, "play_mm", play_shapes(words), (50.5, 46.0), (90.0, 62.0)),
        length(words, "endshake_mm", endshake_shapes(words), (58.5, 11.0), (87.0, 27.5)),
        length(words, "thickness_mm", upright_left(words), (0.0, 26.0), (13.0, 48.0)),
        length(words, "span_mm", upright_right(words), (87.5, 0.0), (100.0, 45.0)),
    )
    return LengthsSheet(
        height=SECTION_HIGH, part=section_part(), lengths=tuple(each for each in made if each)
    )


def bearing_plan(words: Mapping[str, str]) -> LengthsSheet:
    """Return the hole as it is seen from above, oval; as `bearing_section`."""
    made = (
        length(words, "hole_long_mm", axis(words, "hole_long_mm"), (29.0, 24.5), (77.0, 37.5)),
        length(words, "hole_short_mm", axis(words, "hole_short_mm"), (78.0, 16.0), (100.0, 46.0)),
        length(words, "room_mm", room_shapes(words), (0.0, 48.0), (48.0, 62.0)),
    )
    part: tuple[Shape, ...] = (
        Polyline(points=ellipse(MIDDLE, LONG_WAY, SHORT_WAY, TURN_DEG), closed=True),
        Circle(centre=(MIDDLE[0] - 4.0, MIDDLE[1]), radius=PIN, fill=Fill.STEEL),
    )
    return LengthsSheet(height=PLAN_HIGH, part=part, lengths=tuple(each for each in made if each))


def length(
    words: Mapping[str, str], size: str, shapes: tuple[Shape, ...], low: Point, high: Point
) -> LengthDrawn | None:
    """Return a length that has words."""
    if size not in words:
        return None
    return LengthDrawn(size=size, words=words[size], shapes=shapes, low=low, high=high)


def section_part() -> tuple[Shape, ...]:
    """Return plate or bridge in two halves, the pivot in its hole, and the arbor's shoulder."""
    return (
        rectangle((EDGES[0], PLATE[0]), (HOLE[0], PLATE[1]), fill=Fill.PLATE),
        rectangle((HOLE[1], PLATE[0]), (EDGES[1], PLATE[1]), fill=Fill.PLATE),
        rectangle(*SHOULDER, fill=Fill.STEEL),
        rectangle((PIVOT[0], SHOULDER[1][1]), (PIVOT[1], 51.0), fill=Fill.STEEL),
        DrawnLine(start=(42.0, 1.0), end=(42.0, 55.0), role=ShapeRole.CENTRE),
    )


def flat(
    ends: tuple[float, float], foot: float, at: float, words: Mapping[str, str]
) -> tuple[Shape, ...]:
    """Return a level measure with the hole's words over it."""
    return (
        Dimension(
            start=(ends[0], foot),
            end=(ends[1], foot),
            words=words.get("hole_mm", ""),
            offset=at - foot,
            height=LETTERS,
        ),
    )


def flat_pivot(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the pivot's measure over its end, its words to the left."""
    y = 55.5
    return (
        *extensions((PIVOT[0], 51.0), (PIVOT[1], 51.0), y + 1.2),
        DrawnLine(start=(PIVOT[0], y), end=(PIVOT[1], y), role=ShapeRole.DIMENSION),
        arrow_head((PIVOT[0], y), (1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
        arrow_head((PIVOT[1], y), (-1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
        Text(
            at=(PIVOT[0] - 1.5, y - 1.2),
            words=words.get("pivot_mm", ""),
            height=LETTERS,
            anchor=Anchor.END,
        ),
    )


def extensions(first: Point, second: Point, top: float) -> tuple[Shape, ...]:
    """Return fine lines upwards from two points."""
    return tuple(
        DrawnLine(start=each, end=(each[0], top), role=ShapeRole.FINE) for each in (first, second)
    )


def play_shapes(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the play's measure: arrows from outside, its words to the right."""
    y, (left, right) = 51.5, (PIVOT[1], HOLE[1])
    return (
        *extensions((right, PLATE[1]), (right, PLATE[1]), y + 1.2)[:1],
        DrawnLine(start=(left, y), end=(right, y), role=ShapeRole.DIMENSION),
        arrow_head((left, y), (1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
        arrow_head((right, y), (-1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
        Text(at=(right + 2.0, y - 1.2), words=words.get("play_mm", ""), height=LETTERS),
    )


def endshake_shapes(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the endshake's measure between shoulder and plate, its words to the right."""
    x, low, high = 64.0, SHOULDER[1][1], PLATE[0]
    return (
        DrawnLine(start=(SHOULDER[1][0], low), end=(x + 1.5, low), role=ShapeRole.FINE),
        DrawnLine(start=(x, low - 5.0), end=(x, high), role=ShapeRole.DIMENSION),
        arrow_head((x, high), (0.0, -1.0), 2.2, role=ShapeRole.DIMENSION),
        arrow_head((x, low), (0.0, -1.0), 2.2, role=ShapeRole.DIMENSION),
        Text(at=(x + 2.5, low - 5.0), words=words.get("endshake_mm", ""), height=LETTERS),
    )


def upright_left(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the measure of the plate's thickness."""
    return (
        Dimension(
            start=(EDGES[0], PLATE[0]),
            end=(EDGES[0], PLATE[1]),
            words=words.get("thickness_mm", ""),
            offset=2.5,
            height=3.2,
        ),
    )


def upright_right(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the measure down to the arbor's other bearing, which lies out of the drawing."""
    middle = sum(PLATE) / 2
    return (
        DrawnLine(start=(EDGES[1], middle), end=(95.5, middle), role=ShapeRole.FINE),
        DrawnLine(start=(94.0, 1.0), end=(94.0, middle), role=ShapeRole.DIMENSION),
        arrow_head((94.0, middle), (0.0, -1.0), ARROW, role=ShapeRole.DIMENSION),
        Text(at=(92.5, 2.0), words=words.get("span_mm", ""), height=LETTERS, turn_deg=90.0),
    )


def axis(words: Mapping[str, str], size: str) -> tuple[Shape, ...]:
    """Return the long way across the hole, or the short one beside it."""
    x, y = MIDDLE
    if size == "hole_long_mm":
        return (
            DrawnLine(start=(x - LONG_WAY, y), end=(x + LONG_WAY, y), role=ShapeRole.DIMENSION),
            arrow_head((x - LONG_WAY, y), (1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
            arrow_head((x + LONG_WAY, y), (-1.0, 0.0), ARROW, role=ShapeRole.DIMENSION),
            Text(at=(x - 4.0, y + 1.2), words=words.get(size, ""), height=LETTERS,
                 anchor=Anchor.MIDDLE),
        )  # fmt: skip
    at = x + ROOM + 2.5
    return (
        DrawnLine(start=(x, y + SHORT_WAY), end=(at + 1.5, y + SHORT_WAY), role=ShapeRole.FINE),
        DrawnLine(start=(x, y - SHORT_WAY), end=(at + 1.5, y - SHORT_WAY), role=ShapeRole.FINE),
        DrawnLine(start=(at, y - SHORT_WAY), end=(at, y + SHORT_WAY), role=ShapeRole.DIMENSION),
        arrow_head((at, y + SHORT_WAY), (0.0, -1.0), ARROW, role=ShapeRole.DIMENSION),
        arrow_head((at, y - SHORT_WAY), (0.0, 1.0), ARROW, role=ShapeRole.DIMENSION),
        Text(at=(at + 2.0, y - 1.2), words=words.get(size, ""), height=LETTERS),
    )


def room_shapes(words: Mapping[str, str]) -> tuple[Shape, ...]:
    """Return the widest new piece as a broken circle, with a leader to its words."""
    foot = on_circle(MIDDLE, ROOM, 135.0)
    return (
        Circle(centre=MIDDLE, radius=ROOM, role=ShapeRole.HIDDEN),
        DrawnLine(start=foot, end=(26.0, 55.0), role=ShapeRole.FINE),
        Text(at=(25.0, 54.5), words=words.get("room_mm", ""), height=LETTERS, anchor=Anchor.END),
    )
