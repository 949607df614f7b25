"""A stretch of sound with its beats and their three noises marked, to be listened to slowly.

Above, the loudness of the whole stretch with each beat named; below, each beat enlarged, with
unlocking, impulse and drop marked where they are found. Sheet in millimetres of paper.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.drawings.shapes import (
    Anchor,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
)
from sideshake.sound.slow import LoudnessCourse
from sideshake.timing.noises import Beat

Floats = NDArray[np.float64]

WIDTH, EDGE = 200.0, 8.0
STRIP_TOP, STRIP_HEIGHT = 8.0, 30.0
PANELS_TOP, PANEL_HEIGHT, ROW = 58.0, 24.0, 40.0
IN_ROW, GAP = 4, 4.0
MOST_ENLARGED = 12
BEFORE_S, AFTER_S = 8.5e-3, 8e-3
"""What an enlarged beat shows before unlocking and after the drop; else about the moment timed."""
UNKNOWN_AFTER_S = 22e-3
STRIP_COLUMNS = 900
NOTE, SMALL = 3.2, 2.5
SIDES = ("tick", "tock")
LEAST_DB = 20.0
STEPS_S = (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pane:
    """A part of the picture along which time runs: from when to when, and where it lies (mm)."""

    start_s: float
    end_s: float
    left: float
    right: float
    top: float
    bottom: float

    def x(self, at_s: float) -> float:
        """Return where a time lies."""
        share = (at_s - self.start_s) / (self.end_s - self.start_s)
        return self.left + share * (self.right - self.left)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The stretch, its loudness, the beats in it, and the panes they are drawn in.

    `panes` : first the whole stretch, then an enlarged beat each, as many as there is room for
    """

    loudness: LoudnessCourse
    beats: tuple[Beat, ...]
    panes: tuple[Pane, ...]
    height: float


def scene_of(
    loudness: LoudnessCourse, beats: Sequence[Beat], *, start_s: float, end_s: float
) -> Scene:
    """Return the picture of the stretch from `start_s` to `end_s`, laid out."""
    inside = tuple(beat for beat in beats if start_s <= beat.begins_s < end_s)
    strip = Pane(
        start_s=start_s, end_s=end_s, left=EDGE, right=WIDTH - EDGE,
        top=STRIP_TOP, bottom=STRIP_TOP + STRIP_HEIGHT,
    )  # fmt: skip
    panels = tuple(panel(beat, number) for number, beat in enumerate(inside[:MOST_ENLARGED]))
    rows = -(-len(panels) // IN_ROW)
    return Scene(
        loudness=loudness,
        beats=inside,
        panes=(strip, *panels),
        height=PANELS_TOP + rows * ROW if rows else STRIP_TOP + STRIP_HEIGHT + 12.0,
    )


def panel(beat: Beat, number: int) -> Pane:
    """Return where the beat of that number is enlarged, and what of the sound stands there."""
    row, column = divmod(number, IN_ROW)
    width = (WIDTH - 2 * EDGE - (IN_ROW - 1) * GAP) / IN_ROW
    left, top = EDGE + column * (width + GAP), PANELS_TOP + row * ROW
    start_s, end_s = beat.at_s - BEFORE_S, beat.at_s + UNKNOWN_AFTER_S
    if beat.unlock_s is not None and beat.drop_s is not None:
        start_s, end_s = beat.unlock_s - BEFORE_S, beat.drop_s + AFTER_S
    return Pane(
        start_s=start_s, end_s=end_s, left=left, right=left + width,
        top=top, bottom=top + PANEL_HEIGHT,
    )  # fmt: skip


def slow_drawing(scene: Scene) -> Drawing:
    """Return the picture: the whole stretch above, each beat enlarged below."""
    strip, *panels = scene.panes
    most_db = max(LEAST_DB, float(scene.loudness.level_db.max(initial=0.0)))
    draw = SceneSheet(scene=scene, most_db=most_db)
    shapes = [*draw.course(strip, STRIP_COLUMNS), *draw.times(strip), *draw.names(strip)]
    for pane, beat in zip(panels, scene.beats, strict=False):
        shapes += [*draw.course(pane, None), *draw.enlarged(pane, beat)]
    left_out = len(scene.beats) - len(panels)
    if left_out:
        words = f"the first {len(panels)} of {len(scene.beats)} beats, enlarged"
        shapes.append(Text(at=draw.down(EDGE, PANELS_TOP - 8), words=words, height=NOTE))
    return Drawing(
        title="Slow sound",
        width=WIDTH,
        height=scene.height,
        shapes=tuple(shapes),
        description=described(scene),
    )


def described(scene: Scene) -> str:
    """Return the picture in words."""
    strip = scene.panes[0]
    found = sorted({name for beat in scene.beats for name, _ in beat.noises})
    marked = f"marked: {', '.join(found)}" if found else "no noise is marked"
    return (
        f"Loudness from {strip.start_s:.2f} s to {strip.end_s:.2f} s, {len(scene.beats)} beats; "
        f"{marked}"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneSheet:
    """The sheet the scene is drawn on; places count downwards from its top, as the panes do."""

    scene: Scene
    most_db: float

    def down(self, x: float, y: float) -> Point:
        """Return a point of the drawing, whose y runs upwards."""
        return x, self.scene.height - y

    def course(self, pane: Pane, columns: int | None) -> Iterator[Shape]:
        """Yield the loudness in a pane, the loudest of each column where there are too many."""
        at_s, level = within(self.scene, pane)
        if columns and level.size > columns:
            first = np.linspace(0, level.size, columns, endpoint=False).astype(np.intp)
            at_s, level = at_s[first], np.maximum.reduceat(level, first)
        height = pane.bottom - pane.top
        tops = pane.bottom - height * np.clip(level / self.most_db, 0, 1)
        line = [self.down(pane.x(t), y) for t, y in zip(at_s.tolist(), tops.tolist(), strict=True)]
        if len(line) > 1:
            ends = [self.down(line[-1][0], pane.bottom), self.down(line[0][0], pane.bottom)]
            body = (*line, *ends)
            yield Polyline(points=body, role=ShapeRole.NONE, closed=True, fill=Fill.BRASS)
            yield Polyline(points=tuple(line), role=ShapeRole.FINE)
        floor = (self.down(pane.left, pane.bottom), self.down(pane.right, pane.bottom))
        yield DrawnLine(start=floor[0], end=floor[1], role=ShapeRole.DIMENSION)

    def times(self, pane: Pane) -> Iterator[Shape]:
        """Yield the ticks of time under the whole stretch."""
        step = next(each for each in STEPS_S if (pane.end_s - pane.start_s) / each <= 10.5)
        for count in range(round(pane.start_s / step) - 1, round(pane.end_s / step) + 2):
            at_s = count * step
            if pane.start_s - 1e-9 <= at_s <= pane.end_s + 1e-9:
                x = pane.x(at_s)
                start, end = self.down(x, pane.bottom), self.down(x, pane.bottom + 1.4)
                yield DrawnLine(start=start, end=end, role=ShapeRole.DIMENSION)
                words = f"{at_s:.1f} s" if step >= 0.1 else f"{at_s:.2f} s"
                yield Text(
                    at=self.down(x, pane.bottom + 5), words=words, height=SMALL,
                    anchor=Anchor.MIDDLE,
                )  # fmt: skip

    def names(self, pane: Pane) -> Iterator[Shape]:
        """Yield the name of each beat above the whole stretch, and a short line for each noise."""
        for beat in self.scene.beats:
            for _, at_s in beat.noises:
                x = pane.x(at_s)
                start, end = self.down(x, pane.top - 1.6), self.down(x, pane.top)
                yield DrawnLine(start=start, end=end, role=ShapeRole.FINE)
            x = pane.x(beat.begins_s)
            yield Text(
                at=self.down(x, pane.top - 2.6), words=SIDES[beat.side], height=SMALL,
                anchor=Anchor.MIDDLE,
            )  # fmt: skip

    def enlarged(self, pane: Pane, beat: Beat) -> Iterator[Shape]:
        """Yield the marks of an enlarged beat: a line at each noise, its name and when it comes."""
        words = f"{SIDES[beat.side]}, {beat.begins_s:.3f} s"
        yield Text(at=self.down(pane.left, pane.bottom + 9.5), words=words, height=NOTE)
        for name, at_s in beat.noises:
            x = pane.x(at_s)
            end = self.down(x, pane.bottom + 1.4)
            yield DrawnLine(start=self.down(x, pane.top - 1), end=end, role=ShapeRole.DIMENSION)
            anchor = Anchor.END if name == "unlocking" else Anchor.START
            at = self.down(x, pane.bottom + 4.6)
            yield Text(at=at, words=name, height=SMALL, anchor=anchor)


def within(scene: Scene, pane: Pane) -> tuple[Floats, Floats]:
    """Return times and levels of the loudness that stand in a pane."""
    start_s, step_s = scene.panes[0].start_s, scene.loudness.step_s
    at_s = start_s + (np.arange(scene.loudness.level_db.size) + 0.5) * step_s
    some = (at_s >= pane.start_s) & (at_s <= pane.end_s)
    return np.asarray(at_s[some], np.float64), scene.loudness.level_db[some]
