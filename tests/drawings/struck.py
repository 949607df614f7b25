"""Find words on a drawing that a line strikes through, that lie on each other or are too small."""

import math
from itertools import pairwise

from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Dimension,
    DrawnLine,
    Fill,
    Polyline,
    Text,
    dimension_parts,
    on_circle,
    parts_of,
)

EIGHT_POINTS_MM = 8 * 25.4 / 72
LETTER = 0.47
"""A letter's width in its height: the figures of the font we set with (0.465 em)."""


def single(drawing):
    for shape in drawing.shapes:
        for part in parts_of(shape):
            yield from dimension_parts(part) if isinstance(part, Dimension) else (part,)


def chains(shape):
    match shape:
        case DrawnLine():
            yield [shape.start, shape.end]
        case Polyline():
            yield [*shape.points, shape.points[0]] if shape.closed else list(shape.points)
        case Circle():
            yield [on_circle(shape.centre, shape.radius, 5.0 * step) for step in range(73)]
        case Arc():
            turn = (shape.end_deg - shape.start_deg) / 24
            yield [
                on_circle(shape.centre, shape.radius, shape.start_deg + turn * step)
                for step in range(25)
            ]


def box(text: Text):
    """The words' box around their own point: left, right, bottom, top."""
    wide = LETTER * text.height * len(text.words)
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -wide / 2, Anchor.END: -wide}[text.anchor]
    return left, left + wide, -0.2 * text.height, 0.68 * text.height


def seen_from(text: Text, point):
    turn = math.radians(-text.turn_deg)
    x, y = point[0] - text.at[0], point[1] - text.at[1]
    return x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)


def crosses(start, end, edges) -> bool:
    """Whether a line has a part inside a box (Liang and Barsky, 1984)."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        low, high = edges[2 * axis], edges[2 * axis + 1]
        step = end[axis] - start[axis]
        if step == 0:
            if not low < start[axis] < high:
                return False
            continue
        enter, leave = sorted(((low - start[axis]) / step, (high - start[axis]) / step))
        first, last = max(first, enter), min(last, leave)
    return first < last


def struck(drawing) -> list[str]:
    """Return the words that a line of the drawing goes through."""
    shapes = list(single(drawing))
    words = [each for each in shapes if isinstance(each, Text)]
    lines = [chain for each in shapes if not isinstance(each, Text) for chain in chains(each)]
    return [
        text.words
        for text in words
        if any(
            crosses(seen_from(text, a), seen_from(text, b), box(text))
            for chain in lines
            for a, b in pairwise(chain)
        )
    ]


def on_each_other(drawing) -> list[tuple[str, str]]:
    """Return the pairs of words whose boxes overlap."""
    words = [each for each in single(drawing) if isinstance(each, Text)]
    return [
        (one.words, other.words)
        for place, one in enumerate(words)
        for other in words[place + 1 :]
        if any(crosses(seen_from(one, a), seen_from(one, b), box(one)) for a, b in outline(other))
    ]


def outline(text: Text):
    left, right, bottom, top = box(text)
    turn = math.radians(text.turn_deg)
    corners = [
        (
            text.at[0] + x * math.cos(turn) - y * math.sin(turn),
            text.at[1] + x * math.sin(turn) + y * math.cos(turn),
        )
        for x, y in ((left, bottom), (right, bottom), (right, top), (left, top))
    ]
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))


def hatched_over(drawing) -> list[str]:
    """Return the words that begin or end on a filled shape."""
    shapes = list(single(drawing))
    filled = [
        each.points for each in shapes if isinstance(each, Polyline) and each.fill is not Fill.NONE
    ]
    words = [each for each in shapes if isinstance(each, Text)]
    return [
        text.words
        for text in words
        if any(inside(corner, points) for corner, _next in outline(text) for points in filled)
    ]


def inside(point, points) -> bool:
    x, y = point
    hits = 0
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            hits += 1
    return hits % 2 == 1


def too_small(drawing) -> list[str]:
    """Return the words in letters below 8 pt (a point is 1/72 of an inch)."""
    return [
        each.words
        for each in single(drawing)
        if isinstance(each, Text) and each.height < EIGHT_POINTS_MM - 1e-9
    ]


def beyond(drawing, margins) -> list[str]:
    """Return the words that leave the frame: left, other margins."""
    filing, other = margins
    return [
        each.words
        for each in single(drawing)
        if isinstance(each, Text)
        and any(
            not (filing <= x <= drawing.width - other and other <= y <= drawing.height - other)
            for (x, y), _next in outline(each)
        )
    ]
