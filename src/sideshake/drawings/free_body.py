"""The arbor cut free: what pushes it under way and while it is wound, and what holds it.

At the left the heights at which each force acts, then one plan per stance, seen from the bridge.
Arrows are as long as the forces, in shares of what the mesh gives.
"""

import cmath
import math
from dataclasses import dataclass

from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Shape,
    ShapeRole,
    Text,
    arrow_head,
    paragraph,
    rectangle,
)
from sideshake.wear.arbor_pose import ArborPose, Push, bearing_loads, middle_spans, push_values
from sideshake.wear.barrel import Barrel
from sideshake.wear.tilt import towards

WIDTH, HEIGHT = 270.0, 150.0
PLANS = ((132.0, 76.0), (220.0, 76.0))
LONGEST = 34.0
"""The longest arrow, mm of paper."""
FOOT = 34.0
"""Height of the lower bearing's middle on the sheet."""
TALL = 64.0
"""Drawn height from the lower bearing to the ratchet wheel."""
AXIS_X = 46.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeBody:
    """What the drawing shows: the loads of each stance, with the words over its plan."""

    title: str
    barrel: Barrel
    stances: tuple[tuple[str, ArborPose], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForceArrow:
    """A force on the arbor, x + iy: what pushes it, or what a bearing gives back (`held`)."""

    name: str
    force: complex
    held: bool


def free_body_drawing(view: FreeBody) -> Drawing:
    """Return the sheet: heights at the left, a plan of the forces for each stance."""
    pushes = {each.name: each for _, stance in view.stances for each in stance.pushes}
    shapes: list[Shape] = [*heading(view), *elevation(view, tuple(pushes.values()))]
    for (words, stance), centre in zip(view.stances, PLANS, strict=False):
        shapes += plan(view, words, stance, centre)
    return Drawing(
        title=view.title,
        width=WIDTH,
        height=HEIGHT,
        shapes=(*shapes, *foot(view)),
        description="; ".join(balance_words(view.barrel, *each) for each in view.stances),
    )


def heading(view: FreeBody) -> tuple[Shape, ...]:
    """Return the title across the head of the sheet."""
    title = Text(at=(12.0, HEIGHT - 15.0), words=view.title, height=6.0, heading=True)
    rule = DrawnLine(
        start=(12.0, HEIGHT - 18.0), end=(WIDTH - 12.0, HEIGHT - 18.0), role=ShapeRole.ACCENT
    )
    return (title, rule)


def elevation(view: FreeBody, pushes: tuple[Push, ...]) -> tuple[Shape, ...]:
    """Return the arbor from the side, with the height of everything that acts on it."""
    span = view.barrel.arbor.span_mm.value
    heights = {each.name: each.height_mm.value for each in pushes}
    scale = TALL / max(span, *heights.values())
    teeth = heights.get("mesh", span / 3)
    shapes: list[Shape] = [
        rectangle((AXIS_X - 2.0, FOOT - 5.0), (AXIS_X + 2.0, FOOT + TALL + 5.0), fill=Fill.STEEL),
        rectangle(
            (AXIS_X - 20.0, FOOT + scale * teeth - 4.0),
            (AXIS_X + 20.0, FOOT + scale * teeth + 16.0),
            fill=Fill.BRASS,
        ),
    ]
    for height in (0.0, span):
        shapes += hole_walls(FOOT + scale * height)
    others = {round(height, 3) for name, height in heights.items() if name != "mesh"}
    for height in others:
        y = FOOT + scale * height
        shapes.append(
            rectangle((AXIS_X - 14.0, y - 1.5), (AXIS_X + 14.0, y + 1.5), fill=Fill.BRASS)
        )
    named = [("plate", 0.0), ("teeth", teeth), ("bridge", span)]
    named += [("ratchet wheel", height) for height in others]
    for words, height in named:
        y = FOOT + scale * height
        shapes.append(
            DrawnLine(start=(AXIS_X - 24.0, y), end=(AXIS_X + 26.0, y), role=ShapeRole.CENTRE)
        )
        shapes.append(Text(at=(AXIS_X + 28.0, y - 1.0), words=f"{words} {height:.2f}", height=2.8))
    low, high = (AXIS_X - 24.0, FOOT), (AXIS_X - 24.0, FOOT + scale * span)
    shapes.append(Dimension(start=low, end=high, words=f"span {span:.2f}", offset=6.0))
    return tuple(shapes)


def hole_walls(y: float) -> tuple[Shape, ...]:
    """Return plate or bridge beside the arbor at a height."""
    return tuple(
        rectangle((AXIS_X + side * 3.0, y - 3.0), (AXIS_X + side * 22.0, y + 3.0), fill=Fill.PLATE)
        for side in (-1.0, 1.0)
    )


def arrows(barrel: Barrel, stance: ArborPose) -> tuple[ForceArrow, ...]:
    """Return every force on the arbor in a stance, and what holds it, in shares of the mesh's."""
    values = {name: each.value for name, each in push_values(stance.pushes)}
    loads = bearing_loads(stance.pushes, values | middle_spans(barrel))
    unit = stance.pushes[0].force_n.value
    made = [
        ForceArrow(name=each.name, force=vector(each) / unit, held=False) for each in stance.pushes
    ]
    made += [
        ForceArrow(name=name, force=-complex(load) / unit, held=True)
        for name, load in (("from the bridge", loads.upper), ("from the plate", loads.lower))
    ]
    return tuple(made)


def vector(push: Push) -> complex:
    """Return a push as a complex number."""
    return cmath.rect(push.force_n.value, math.radians(push.direction_deg.value))


def plan(view: FreeBody, words: str, stance: ArborPose, centre: Point) -> tuple[Shape, ...]:
    """Return one stance seen from the bridge: every force on the arbor, from its axis outwards."""
    found = arrows(view.barrel, stance)
    scale = LONGEST / max(abs(each.force) for each in found)
    x, y = centre
    shapes: list[Shape] = [
        Text(at=(x, y + 42.0), words=words, height=3.8, anchor=Anchor.MIDDLE, heading=True),
        Circle(centre=centre, radius=1.2, fill=Fill.STEEL),
    ]
    for each in found:
        shapes += drawn_arrow(each, centre, scale)
    return tuple(shapes)


def drawn_arrow(arrow: ForceArrow, centre: Point, scale: float) -> tuple[Shape, ...]:
    """Return a force from the arbor outwards, with its name and size beyond its tip."""
    way = arrow.force / abs(arrow.force)
    tip = (centre[0] + scale * arrow.force.real, centre[1] + scale * arrow.force.imag)
    role = ShapeRole.DIMENSION if arrow.held else ShapeRole.ACCENT
    start = (centre[0] + 1.2 * way.real, centre[1] + 1.2 * way.imag)
    anchor = (
        Anchor.MIDDLE if abs(way.real) < 0.4 else (Anchor.START if way.real > 0 else Anchor.END)
    )
    at = (tip[0] + 2.5 * way.real, tip[1] + 3.5 * way.imag - 1.0)
    return (
        DrawnLine(start=start, end=tip, role=role),
        arrow_head(tip, (-way.real, -way.imag), 3.0, role=role),
        Text(
            at=at,
            words=f"{arrow.name} {abs(arrow.force):.2f}",
            height=2.8,
            anchor=anchor,
            role=role,
        ),
    )


def balance_words(barrel: Barrel, words: str, stance: ArborPose) -> str:
    """Return the forces of a stance in words, for those who cannot see the drawing."""
    forces = ", ".join(
        f"{each.name} {abs(each.force):.2f} towards {towards(each.force):.0f}°"
        for each in arrows(barrel, stance)
    )
    taken = f" (taken over {', '.join(stance.taken)})" if stance.taken else ""
    return f"{words}: {forces}{taken}"


def foot(view: FreeBody) -> tuple[Shape, ...]:
    """Return what the arrows mean, and what was taken at its worst."""
    taken = sorted({each for _, stance in view.stances for each in stance.taken})
    worst = f" Not known, so at the worst over {', '.join(taken)}." if taken else ""
    words = (
        "Forces on the arbor, seen from the bridge, as shares of the mesh's; without friction. "
        "Thick: what pushes it. Thin: what plate and bridge give back. Together they are nothing, "
        f"and so are their moments about either bearing.{worst} Heights in mm above the middle of "
        "the lower bearing."
    )
    return paragraph(Text(at=(12.0, 16.0), words=words, height=2.8), WIDTH - 26.0)
