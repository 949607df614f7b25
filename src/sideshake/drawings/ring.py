"""The ring: lateness round one turn of the escape wheel, a stem for each beat of it.

The circle is the even beat. A stem outward is late, inward early; a thick stem with a full head is
a tick, a thin one with an open head a tock. Time runs clockwise from the top. The brass band is
what does not come back with each turn. Sheet in millimetres of paper.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from sideshake.core.quantities import COVERAGE_FACTOR, Measured
from sideshake.drawings.narrow import (
    EDGE,
    FILLS,
    HEAD,
    HEADING,
    NOTE,
    SMALL,
    STEMS,
    WIDTH,
    heading,
    set_lines,
    sides_key,
    text_height,
    text_lines,
)
from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Named,
    Point,
    Shape,
    ShapeRole,
    Text,
    on_circle,
    sector,
    within,
)
from sideshake.timing.turn.fold import WheelTurn
from sideshake.timing.turn.words import SIDES, repeats
from sideshake.wording import Language, figures, spoken
from sideshake.wording import gettext as _

RADIUS, REACH = 27.0, 16.0
"""Of the even beat, and how far from it the longest stem may reach."""
PAIR_RADIUS, PAIR_REACH = 13.0, 8.0
NUMBERED, BESIDE = 5, 4.0
"""Every fifth beat has its number, so far beyond the longest stem."""
LEAST_BAR_MM = 5.0
LEAST_S = 5e-6
"""No stem is drawn longer than as if the farthest beat were so late: below stands only noise."""
SEAM_DEG = 0.3
"""How far the halves of the band lie over each other, so that no seam is seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """Where a ring lies on the sheet, and how many mm a second of lateness is."""

    centre: Point
    radius: float
    mm_per_s: float

    def at(self, place: float, places: int, radius: float) -> Point:
        """Return the point of a place, clockwise from the top, at a radius."""
        return on_circle(self.centre, radius, angle_deg(place, places))

    def out(self, late_s: float) -> float:
        """Return the radius of a lateness."""
        return self.radius + late_s * self.mm_per_s


def angle_deg(place: float, places: int) -> float:
    """Return where a place stands, counter-clockwise from 3 o'clock.

    Examples
    --------
    >>> angle_deg(0, 30), angle_deg(10, 40)
    (90.0, 0.0)
    """
    return 90.0 - 360.0 * place / places


def farthest_s(turn: WheelTurn) -> float:
    """Return the largest lateness that the ring must hold: stems with their ends, and the band."""
    stems = np.abs(turn.late_s) + COVERAGE_FACTOR * turn.u_s
    return max(float(stems.max()), COVERAGE_FACTOR * turn.scatter_s, LEAST_S)


def ring_drawing(turn: WheelTurn, notes: tuple[str, ...] = ()) -> Drawing:
    """Return the ring of one reading, with `notes` under what the picture says of itself."""
    scale = REACH / farthest_s(turn)
    said = [*repeats(turn), *ring_captions(turn), *notes]
    lines = text_lines(said)
    top = HEADING + 2 * EDGE
    ring = 2 * (RADIUS + REACH + BESIDE) + SMALL
    height = top + ring + 8.0 + text_height(lines) + EDGE
    dial = Dial(centre=(WIDTH / 2, height - top - ring / 2), radius=RADIUS, mm_per_s=scale)
    below = height - top - ring
    title = "Lateness, one turn of the escape wheel"
    return Drawing(
        title=title,
        width=WIDTH,
        height=height,
        shapes=(
            heading(title, height),
            *ring_shapes(turn, dial),
            *place_numbers(turn, dial),
            *scale_bar(scale, below - 5.0),
            *sides_key(below - 5.0),
            *set_lines(lines, below - 8.0),
        ),
        description=" ".join(said),
    )


def rings_drawing(before: WheelTurn, after: WheelTurn, *, place: str = "") -> Drawing:
    """Return two rings on one scale, before the work and after it, as heard at `place`."""
    most_s = max(farthest_s(before), farthest_s(after))
    scale = PAIR_REACH / most_s
    said = pair_captions(before, after)
    lines = text_lines(said)
    top, ring = HEADING + 2 * EDGE, 2 * (PAIR_RADIUS + PAIR_REACH) + 2.0
    height = top + ring + 14.0 + text_height(lines) + EDGE
    title = _("Lateness before and after") + (f", {place}" if place else "")
    middle = height - top - ring / 2
    shapes: list[Shape] = [within(heading(title, height), WIDTH - 2 * EDGE, least=SMALL)]
    for turn, x, word in ((before, 26.0, _("before")), (after, 74.0, _("after"))):
        dial = Dial(centre=(x, middle), radius=PAIR_RADIUS, mm_per_s=scale)
        shapes += ring_shapes(turn, dial)
        under = (x, height - top - ring - 3.0)
        shapes.append(Text(at=under, words=word, height=NOTE, anchor=Anchor.MIDDLE, heading=True))
    bottom = height - top - ring - 6.0
    shapes += [
        *scale_bar(scale, bottom - 5.0),
        *sides_key(bottom - 5.0),
        *set_lines(lines, bottom - 8.0),
    ]
    return Drawing(
        title=title, width=WIDTH, height=height, shapes=tuple(shapes), description=" ".join(said)
    )


def ring_shapes(turn: WheelTurn, dial: Dial) -> Iterator[Shape]:
    """Yield the band, the even beat and the stems."""
    half = COVERAGE_FACTOR * turn.scatter_s * dial.mm_per_s
    yield from band(dial, half)
    yield Circle(centre=dial.centre, radius=dial.radius, role=ShapeRole.DIMENSION)
    for place in range(turn.places):
        yield stem(turn, dial, place)


def band(dial: Dial, half: float) -> Iterator[Shape]:
    """Yield the band about the even beat, in two halves."""
    for start in (0.0, 180.0):
        arc = Arc(
            centre=dial.centre, radius=dial.radius + half, start_deg=start,
            end_deg=start + 180 + SEAM_DEG,
            role=ShapeRole.NONE,
        )  # fmt: skip
        yield sector(arc, dial.radius - half, fill=Fill.BRASS)


def stem(turn: WheelTurn, dial: Dial, place: int) -> Named:
    """Return one stem: from the even beat to the mean lateness, with its 95 % interval beyond."""
    side = place % 2
    late_s, wide_s = float(turn.late_s[place]), COVERAGE_FACTOR * float(turn.u_s[place])
    head = HEAD * dial.radius / RADIUS if dial.radius < RADIUS else HEAD
    ends = [dial.out(late_s - wide_s), dial.out(late_s + wide_s)]
    tip, foot = dial.out(late_s), dial.radius
    shapes: list[DrawnLine | Circle] = []
    if abs(tip - foot) > head:
        end = dial.at(place, turn.places, tip - math.copysign(head, tip - foot))
        shapes.append(DrawnLine(start=dial.at(place, turn.places, foot), end=end, role=STEMS[side]))
    shapes += [
        DrawnLine(
            start=dial.at(place, turn.places, ends[0]),
            end=dial.at(place, turn.places, ends[1]),
            role=ShapeRole.FINE,
        ),
        Circle(
            centre=dial.at(place, turn.places, tip), radius=head, role=ShapeRole.DIMENSION,
            fill=FILLS[side],
        ),
    ]  # fmt: skip
    return Named(words=stem_words(turn, place), shapes=tuple(shapes))


def stem_words(turn: WheelTurn, place: int) -> str:
    """Return what a stem says."""
    return _("beat {beat} of {of}, {side}: {late} ms, mean of {count}").format(
        beat=place + 1,
        of=turn.places,
        side=_(SIDES[place % 2]),
        late=figures(late_words(turn, place)),
        count=turn.beats[place],
    )


def late_words(turn: WheelTurn, place: int) -> str:
    """Return the lateness of a place in milliseconds, with its 95 % interval."""
    late = Measured(float(turn.late_s[place]) * 1e3, float(turn.u_s[place]) * 1e3)
    return late.text(sign=True)


def place_numbers(turn: WheelTurn, dial: Dial) -> Iterator[Shape]:
    """Yield the numbers of every fifth beat, and of those that stand out."""
    radius, few = dial.radius + REACH + BESIDE, turn.stands_out.sum() <= NUMBERED
    for place in range(turn.places):
        out = few and bool(turn.stands_out[place])
        if out or place % NUMBERED == 0:
            x, y = dial.at(place, turn.places, radius)
            yield Text(
                at=(x, y - 0.36 * SMALL), words=str(place + 1), height=SMALL, anchor=Anchor.MIDDLE,
                heading=out,
            )  # fmt: skip


def scale_bar(mm_per_s: float, y: float) -> Iterator[Shape]:
    """Yield a bar as long as a round time."""
    bar_s = round_bar_s(mm_per_s)
    end, middle = EDGE + bar_s * mm_per_s, y + 0.36 * NOTE
    yield DrawnLine(start=(EDGE, middle), end=(end, middle), role=ShapeRole.OUTLINE)
    for x in (EDGE, end):
        yield DrawnLine(start=(x, middle - 1.1), end=(x, middle + 1.1), role=ShapeRole.OUTLINE)
    yield Text(at=(end + 2.0, y), words=scale_words(bar_s), height=NOTE)


def round_bar_s(mm_per_s: float) -> float:
    """Return a round time for a bar at least 5 mm long.

    Examples
    --------
    >>> round_bar_s(4e4), round_bar_s(1.6e6)
    (0.0002, 5e-06)
    """
    least_s = LEAST_BAR_MM / mm_per_s
    power = 10.0 ** math.floor(math.log10(least_s))
    return float(
        f"{next(n * power for n in (1, 2, 5, 10) if n * power >= least_s * (1 - 1e-9)):.0e}"
    )


def scale_words(late_s: float) -> str:
    """Return a round time in words.

    Examples
    --------
    >>> scale_words(2e-4), scale_words(5e-5)
    ('0.2 ms', '0.05 ms')
    """
    return figures(f"{late_s * 1e3:.10g} ms")


def whole_ms(turn: WheelTurn) -> str:
    """Return the half width of the band; no line ends between value and unit."""
    return figures(f"±\u00a0{COVERAGE_FACTOR * turn.scatter_s * 1e3:.2g}\u00a0ms")


def ring_captions(turn: WheelTurn) -> list[str]:
    """Return what the picture says of itself."""
    lines = [
        f"The mean of {turn.turns} turns, clockwise. Circle: the even beat; outward is late, "
        f"inward early. Band: what does not come back, {whole_ms(turn)} for 19 of 20 beats."
    ]
    if turn.slow_s > turn.scatter_s:
        lines.append(
            f"Slow changes of some {turn.slow_s * 1e3:.2g} ms are taken out; unrolled along time "
            "they are seen."
        )
    if not turn.in_beat_known:
        lines.append("The beat error is not known: tick and tock each stand about their own beat.")
    return lines


def pair_captions(before: WheelTurn, after: WheelTurn) -> list[str]:
    """Return what the two rings say."""
    lines = [
        _(
            "Both on one scale. Circle: the even beat; outward is late, inward early. Band: what "
            "does not come back with each turn, {before} before and {after} after for 19 of 20 "
            "beats."
        ).format(before=whole_ms(before), after=whole_ms(after))
    ]
    lines += [_("Before: {said}").format(said=inside(words)) for words in repeats(before)]
    lines += [_("After: {said}").format(said=inside(words)) for words in repeats(after)]
    if not (before.in_beat_known and after.in_beat_known):
        lines.append(
            _("Where the beat error is not known, tick and tock stand about their own beat.")
        )
    return lines


def inside(words: str) -> str:
    """Return a sentence as it stands after a colon: in English without its capital.

    Examples
    --------
    >>> inside("With each turn")
    'with each turn'
    """
    return f"{words[0].lower()}{words[1:]}" if spoken() is Language.ENGLISH else words
