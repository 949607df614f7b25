"""The torque of a mainspring while the watch runs, from fully wound to run down."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sideshake.movement.mainspring import TorqueCurve
from sideshake.pictures.shapes import (
    Anchor,
    Drawing,
    Fill,
    Line,
    Point,
    Polyline,
    Role,
    Shape,
    Text,
)
from sideshake.quantities import COVERAGE_FACTOR

WIDTH, HEIGHT = 180.0, 118.0
LEFT, RIGHT, BOTTOM, TOP = 22.0, 168.0, 26.0, 94.0
DAY_H = 24.0
NOTE = 3.0
STEPS = (0.5, 1.0, 2.0, 5.0, 10.0)
MOST_TICKS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """From turns and torque to the sheet; both axes begin at 0."""

    most_turns: float
    most_mnm: float

    def at(self, turns: float, mnm: float) -> Point:
        """Return the point on the sheet."""
        return (
            LEFT + turns / self.most_turns * (RIGHT - LEFT),
            BOTTOM + mnm / self.most_mnm * (TOP - BOTTOM),
        )


def torque_drawing(
    curve: TorqueCurve, *, title: str, hours_per_turn: float | None = None
) -> Drawing:
    """Return the torque drawn against the turns the barrel has made since it was fully wound.

    Parameters
    ----------
    curve : from run down to fully wound, as `torque_curve` gives it
    title : the calibre's name
    hours_per_turn : hours of one turn of the barrel; with it the hours and the first day are shown
    """
    run = curve.turns[-1] - curve.turns
    upper = curve.torque_mnm + COVERAGE_FACTOR * curve.u_mnm
    lower = np.maximum(0.0, curve.torque_mnm - COVERAGE_FACTOR * curve.u_mnm)
    frame = Frame(most_turns=math.ceil(float(run.max())), most_mnm=1.08 * float(upper.max()))
    band = [frame.at(x, y) for x, y in zip(run, upper, strict=True)]
    band += [frame.at(x, y) for x, y in zip(run[::-1], lower[::-1], strict=True)]
    line = tuple(frame.at(x, y) for x, y in zip(run, curve.torque_mnm, strict=True))
    shapes: list[Shape] = [
        Polyline(points=tuple(band), role=Role.NONE, closed=True, fill=Fill.BRASS),
        *axes(frame, hours_per_turn),
        Polyline(points=line),
        *day(curve, frame, hours_per_turn),
        Text(at=(LEFT - 10, HEIGHT - 11), words=f"{title}: torque", height=5.2, heading=True),
        Text(
            at=(LEFT - 10, HEIGHT - 17),
            words="Ideal torque of the strip without friction; the band is the 95 % uncertainty.",
            height=NOTE,
        ),
    ]
    return Drawing(
        title=f"Torque of the mainspring of {title}",
        width=WIDTH,
        height=HEIGHT,
        shapes=tuple(shapes),
        description=f"{curve.torque_mnm[-1]:.1f} mN m fully wound, {curve.torque_mnm[0]:.1f} mN m "
        f"run down after {curve.turns[-1]:.2f} turns",
    )


def tick_step(most: float) -> float:
    """Return a round distance between ticks that leaves few enough of them."""
    return next((step for step in STEPS if most / step <= MOST_TICKS), STEPS[-1])


def axes(frame: Frame, hours_per_turn: float | None) -> Iterator[Shape]:
    """Yield both axes with their ticks, figures and names."""
    yield Line(start=(LEFT, BOTTOM), end=(RIGHT, BOTTOM), role=Role.DIMENSION)
    yield Line(start=(LEFT, BOTTOM), end=(LEFT, TOP), role=Role.DIMENSION)
    for turns in range(int(frame.most_turns) + 1):
        x, y = frame.at(turns, 0.0)
        yield Line(start=(x, y), end=(x, y - 1.4), role=Role.DIMENSION)
        yield Text(at=(x, y - 5.2), words=str(turns), height=NOTE, anchor=Anchor.MIDDLE)
        if hours_per_turn is not None:
            hours = f"{turns * hours_per_turn:g}"
            yield Text(at=(x, y - 10), words=hours, height=NOTE, anchor=Anchor.MIDDLE)
    names = "turns of the barrel since fully wound (above), hours (below)"
    if hours_per_turn is None:
        names = "turns of the barrel since fully wound"
    yield Text(at=((LEFT + RIGHT) / 2, 8), words=names, height=NOTE, anchor=Anchor.MIDDLE)
    step = tick_step(frame.most_mnm)
    for count in range(int(frame.most_mnm / step) + 1):
        x, y = frame.at(0.0, count * step)
        yield Line(start=(x, y), end=(x - 1.4, y), role=Role.DIMENSION)
        yield Text(at=(x - 2.4, y - 1), words=f"{count * step:g}", height=NOTE, anchor=Anchor.END)
        if count:
            yield Line(start=(x, y), end=(RIGHT, y), role=Role.FINE)
    yield Text(at=(LEFT - 10, TOP + 1.6), words="mN·m", height=NOTE)


def day(curve: TorqueCurve, frame: Frame, hours_per_turn: float | None) -> Iterator[Shape]:
    """Yield the mark after 24 h of running, if the spring still runs then."""
    if hours_per_turn is None or DAY_H / hours_per_turn >= curve.turns[-1]:
        return
    run = DAY_H / hours_per_turn
    torque = float(np.interp(curve.turns[-1] - run, curve.turns, curve.torque_mnm))
    share = torque / float(curve.torque_mnm[-1])
    foot, head = frame.at(run, 0.0), frame.at(run, torque)
    yield Line(start=foot, end=head, role=Role.ACCENT)
    words = f"after 24 h: {100 * share:.0f} % is left"
    yield Text(at=(foot[0] + 2, foot[1] + 4), words=words, height=NOTE)
