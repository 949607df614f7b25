"""The torque of a mainspring while the watch runs, from fully wound to run down."""

import math
from collections.abc import Iterator

import numpy as np

from sideshake.core.errors import Lacking, NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR
from sideshake.drawings.axes import NOTE, AxesFrame, round_step, x_axis, y_axis
from sideshake.drawings.shapes import (
    Anchor,
    Drawing,
    DrawnLine,
    Fill,
    Polyline,
    Shape,
    ShapeRole,
    Text,
)
from sideshake.movement.drive import hours_per_turn
from sideshake.movement.hand_times import DAY_H
from sideshake.movement.mainspring import (
    CURVE_POINTS,
    Spring,
    SpringRoom,
    TorqueCurve,
    room_of,
    spring_of,
    torque,
)
from sideshake.movement.running import Running
from sideshake.movement.sheet import CalibreSheet

WIDTH, HEIGHT = 180.0, 118.0
LEFT, RIGHT, BOTTOM, TOP = 22.0, 168.0, 26.0, 94.0


def used_torque(calibre: CalibreSheet, whole: Running) -> Drawing:
    """Return the torque that a calibre's spring gives from full wind to where the watch stops.

    `whole` is what the watch uses of it; the day is marked if the train is known.

    Raises
    ------
    InputError : a size of the spring or of its room lacks
    """
    try:
        hours: float | None = float(hours_per_turn(calibre))
    except (Lacking, NotEnough):
        hours = None
    curve = used_curve(room_of(calibre), spring_of(calibre), whole)
    return torque_drawing(curve, title=calibre.name, hours_per_turn=hours)


def used_curve(room: SpringRoom, right: Spring, whole: Running) -> TorqueCurve:
    """Return the torque from where the watch stops to where it is fully wound."""
    top = max(0.0, whole.spring_turns.value - whole.unwound.value)
    turns = np.linspace(max(0.0, top - whole.turns.value), top, CURVE_POINTS)
    points = [torque(room, right, float(each)) for each in turns]
    return TorqueCurve(
        turns=turns,
        torque_mnm=np.array([each.value for each in points]),
        u_mnm=np.array([each.u for each in points]),
    )


def torque_drawing(
    curve: TorqueCurve, *, title: str, hours_per_turn: float | None = None
) -> Drawing:
    """Return the torque drawn against the turns the barrel has made since it was fully wound.

    Parameters
    ----------
    curve : from where the watch stops, or run down, to fully wound
    title : the calibre's name
    hours_per_turn : hours of one turn of the barrel; with it the hours and the first day are shown
    """
    run = curve.turns[-1] - curve.turns
    upper = curve.torque_mnm + COVERAGE_FACTOR * curve.u_mnm
    lower = np.maximum(0.0, curve.torque_mnm - COVERAGE_FACTOR * curve.u_mnm)
    frame = AxesFrame(
        lower_left=(LEFT, BOTTOM),
        upper_right=(RIGHT, TOP),
        most_x=math.ceil(float(run.max())),
        most_y=1.08 * float(upper.max()),
    )
    band = [frame.at(x, y) for x, y in zip(run, upper, strict=True)]
    band += [frame.at(x, y) for x, y in zip(run[::-1], lower[::-1], strict=True)]
    line = tuple(frame.at(x, y) for x, y in zip(run, curve.torque_mnm, strict=True))
    shapes: list[Shape] = [
        Polyline(points=tuple(band), role=ShapeRole.NONE, closed=True, fill=Fill.BRASS),
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
        f"when it stops after {curve.turns[-1] - curve.turns[0]:.1f} turns",
    )


def axes(frame: AxesFrame, hours_per_turn: float | None) -> Iterator[Shape]:
    """Yield both axes with their ticks, figures and names."""
    yield from x_axis(frame, 1.0)
    yield from y_axis(frame, round_step(frame.most_y))
    yield Text(at=(LEFT - 10, TOP + 1.6), words="mN·m", height=NOTE)
    names = "turns of the barrel since fully wound"
    if hours_per_turn is not None:
        names += " (above), hours (below)"
        for turns in range(int(frame.most_x) + 1):
            x, y = frame.at(turns, 0.0)
            hours = f"{turns * hours_per_turn:g}"
            yield Text(at=(x, y - 10), words=hours, height=NOTE, anchor=Anchor.MIDDLE)
    yield Text(at=((LEFT + RIGHT) / 2, 8), words=names, height=NOTE, anchor=Anchor.MIDDLE)


def day(curve: TorqueCurve, frame: AxesFrame, hours_per_turn: float | None) -> Iterator[Shape]:
    """Yield the mark after 24 h of running, if the watch still runs then."""
    if hours_per_turn is None or DAY_H / hours_per_turn >= curve.turns[-1] - curve.turns[0]:
        return
    run = DAY_H / hours_per_turn
    torque = float(np.interp(curve.turns[-1] - run, curve.turns, curve.torque_mnm))
    share = torque / float(curve.torque_mnm[-1])
    foot, head = frame.at(run, 0.0), frame.at(run, torque)
    yield DrawnLine(start=foot, end=head, role=ShapeRole.ACCENT)
    words = f"after 24 h: {100 * share:.0f} % is left"
    yield Text(at=(foot[0] + 2, foot[1] + 4), words=words, height=NOTE)
