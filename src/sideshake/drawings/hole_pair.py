"""One hole before and after the work beside each other, on one scale, its play enlarged."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.drawings.hole_plan import ellipse
from sideshake.drawings.narrow import EDGE, NOTE, SMALL, WIDTH, heading
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    within,
)
from sideshake.wording import figures
from sideshake.wording import gettext as _

HEIGHT = 92.0
MIDDLE_Y = 51.0
LEFT_X, RIGHT_X = 27.0, 73.0
PIVOT, LARGEST = 12.0, 20.0
"""Radius of the drawn pivot, and of the largest hole, mm of paper."""
MOST_TIMES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDrawn:
    """A hole by one diameter, or by both axes and the direction of the long one."""

    long_mm: Measured
    short_mm: Measured | None = None
    long_axis_deg: float = 0.0

    @property
    def words(self) -> tuple[str, ...]:
        """Return its sizes in one or two lines."""
        if self.short_mm is None:
            return (_("round: {size} mm").format(size=figures(self.long_mm.text())),)
        return (
            _("oval: {long}").format(long=figures(self.long_mm.text())),
            _("by {short} mm").format(short=figures(self.short_mm.text())),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePair:
    """A hole before and after, and the pivot that turns in it."""

    name: str
    pivot_mm: Measured
    before: HoleDrawn
    after: HoleDrawn

    def __post_init__(self) -> None:
        least = min((each.short_mm or each.long_mm).value for each in (self.before, self.after))
        if not 0 < self.pivot_mm.value <= least:
            raise InputError(
                f"the pivot {self.pivot_mm.value:g} mm is not smaller than the hole {least:g} mm"
            )

    @property
    def times(self) -> int:
        """Return how many times larger than the rest the play is drawn."""
        play = max(self.before.long_mm.value, self.after.long_mm.value) - self.pivot_mm.value
        drawn = PIVOT / self.pivot_mm.value * play
        return max(1, min(MOST_TIMES, int((LARGEST - PIVOT) / drawn))) if drawn > 0 else 1

    def radius(self, size_mm: float) -> float:
        """Return how large half a size is drawn."""
        play = size_mm - self.pivot_mm.value
        return PIVOT + self.times * PIVOT / self.pivot_mm.value * play


def hole_pair_drawing(pair: HolePair) -> Drawing:
    """Return the hole before at the left and after at the right, the pivot grey in the middle."""
    said = _("{hole}. Before: {before}. After: {after}.").format(
        hole=pair.name, before=" ".join(pair.before.words), after=" ".join(pair.after.words)
    )
    title = within(heading(pair.name, HEIGHT), WIDTH - 2 * EDGE, least=SMALL)
    foot = (
        _("Grey: the pivot, {size} mm.").format(size=figures(pair.pivot_mm.text())),
        _("Play drawn {times} times larger.").format(times=pair.times),
    )
    return Drawing(
        title=pair.name,
        width=WIDTH,
        height=HEIGHT,
        shapes=(
            title,
            *one_hole(pair, pair.before, LEFT_X, _("before")),
            *one_hole(pair, pair.after, RIGHT_X, _("after")),
            *(
                Text(at=(EDGE, EDGE + y), words=words, height=NOTE)
                for y, words in zip((1.4 * NOTE, 0.0), foot, strict=True)
            ),
        ),
        description=said,
    )


def one_hole(pair: HolePair, hole: HoleDrawn, x: float, when: str) -> Iterator[Shape]:
    """Yield a hole with its pivot, when it was so, and its sizes."""
    centre: Point = (x, MIDDLE_Y)
    long_way = pair.radius(hole.long_mm.value)
    short_way = pair.radius((hole.short_mm or hole.long_mm).value)
    outline = ellipse(centre, long_way, short_way, hole.long_axis_deg)
    over = MIDDLE_Y + LARGEST + 2.5
    yield Text(at=(x, over), words=when, height=NOTE, anchor=Anchor.MIDDLE, heading=True)
    yield Polyline(points=outline, closed=True)
    yield Circle(centre=centre, radius=PIVOT, fill=Fill.STEEL)
    yield DrawnLine(start=(x - 2, MIDDLE_Y), end=(x + 2, MIDDLE_Y), role=ShapeRole.FINE)
    yield DrawnLine(start=(x, MIDDLE_Y - 2), end=(x, MIDDLE_Y + 2), role=ShapeRole.FINE)
    for row, words in enumerate(hole.words):
        y = MIDDLE_Y - LARGEST - 2.0 - SMALL * (1 + 1.3 * row)
        line = Text(at=(x, y), words=words, height=SMALL, anchor=Anchor.MIDDLE)
        yield within(line, WIDTH / 2 - 1.0, least=SMALL)
