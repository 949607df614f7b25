"""The balance with its heavy spot, seen from a stated side, and the hanging rates around it."""

from collections.abc import Iterator, Mapping
from enum import StrEnum

from sideshake.core.quantities import Measured
from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    on_circle,
    paragraph,
    sector,
)
from sideshake.timing.poise.heavy_spot import Poise
from sideshake.timing.poise.words import say_poise
from sideshake.timing.positions.harmonic import UP_DEG

WIDTH, HEIGHT = 150.0, 162.0
CENTRE: Point = (75.0, 80.0)
CASE, SCREWS, RIM, BORE, HUB = 42.0, 33.5, 31.5, 26.5, 4.0
SPOT, ARC, LABELS = 29.0, 37.5, 51.0
NOTE, SCREW_COUNT = 3.3, 14


class SeenFrom(StrEnum):
    """The side from which the balance is seen."""

    BACK = "from the back"
    DIAL = "from the dial side"


def poise_drawing(
    poise: Poise, rates: Mapping[str, Measured], *, seen: SeenFrom = SeenFrom.BACK
) -> Drawing:
    """Return the balance at rest, 12 o'clock up, with the heavy spot and its 95 % interval."""
    said = say_poise(poise)
    title = f"The heavy spot, seen {seen}"
    note = (
        "Filled: the heavy spot, balance at rest, 12 o'clock up. Brass arc: its 95 % interval. "
        "Each position stands at the hour that is up in it."
    )
    shapes: list[Shape] = [
        Text(at=(10, HEIGHT - 13), words=title, height=5.4, heading=True),
        *balance_wheel(),
        *case_and_crown(seen),
        *heavy_spot(paper_deg(poise.dial_deg.value, seen), poise.dial_deg.expanded),
        *labels(poise, rates, seen=seen),
        *paragraph(Text(at=(10, 13), words=note, height=NOTE), WIDTH - 20),
    ]
    return Drawing(title=title, width=WIDTH, height=HEIGHT, shapes=tuple(shapes), description=said)


def paper_deg(dial_deg: float, seen: SeenFrom) -> float:
    """Return a clock direction as an angle on paper; the back is the dial side in a mirror.

    Examples
    --------
    >>> paper_deg(90.0, SeenFrom.DIAL), paper_deg(90.0, SeenFrom.BACK)
    (0.0, 180.0)
    """
    return 90.0 - dial_deg if seen is SeenFrom.DIAL else 90.0 + dial_deg


def balance_wheel() -> Iterator[Shape]:
    """Yield rim with screws, arms and hub."""
    ring = Arc(centre=CENTRE, radius=RIM, start_deg=0.0, end_deg=359.999, role=ShapeRole.NONE)
    yield sector(ring, BORE, fill=Fill.BRASS)
    for number in range(SCREW_COUNT):
        middle = 360.0 / SCREW_COUNT * (number + 0.5)
        head = Arc(
            centre=CENTRE,
            radius=SCREWS,
            start_deg=middle - 3,
            end_deg=middle + 3,
            role=ShapeRole.FINE,
        )
        yield sector(head, RIM, fill=Fill.STEEL)
    for turn in (0.0, 180.0):
        yield arm(turn)
    yield Circle(centre=CENTRE, radius=RIM)
    yield Circle(centre=CENTRE, radius=BORE)
    yield Circle(centre=CENTRE, radius=HUB, fill=Fill.STEEL)
    yield Circle(centre=CENTRE, radius=0.6, fill=Fill.INK)


def arm(turn_deg: float) -> Polyline:
    """Return one arm of the balance, from hub to rim."""
    corners = (
        on_circle(CENTRE, radius, turn_deg + side)
        for radius, side in ((HUB, -24.0), (BORE, -3.5), (BORE, 3.5), (HUB, 24.0))
    )
    return Polyline(points=tuple(corners), closed=True, fill=Fill.BRASS)


def case_and_crown(seen: SeenFrom) -> Iterator[Shape]:
    """Yield the watch round the balance, with the crown at 3 o'clock to tell the side."""
    yield Circle(centre=CENTRE, radius=CASE, role=ShapeRole.CENTRE)
    out = 1.0 if seen is SeenFrom.DIAL else -1.0
    x, y = CENTRE
    near, far = x + out * CASE, x + out * (CASE + 4.0)
    points = ((near, y - 2.6), (far, y - 3.4), (far, y + 3.4), (near, y + 2.6))
    yield Polyline(points=points, closed=True, fill=Fill.STEEL)


def heavy_spot(angle_deg: float, open_deg: float) -> Iterator[Shape]:
    """Yield the spot on the rim, the line to it and the arc of its interval."""
    yield DrawnLine(
        start=on_circle(CENTRE, HUB, angle_deg), end=on_circle(CENTRE, ARC, angle_deg),
        role=ShapeRole.ACCENT,
    )  # fmt: skip
    open_deg = min(max(open_deg, 0.5), 179.0)
    yield Arc(
        centre=CENTRE, radius=ARC, start_deg=angle_deg - open_deg, end_deg=angle_deg + open_deg,
        role=ShapeRole.ACCENT,
    )  # fmt: skip
    yield Circle(centre=on_circle(CENTRE, SPOT, angle_deg), radius=2.3, fill=Fill.INK)


def labels(poise: Poise, rates: Mapping[str, Measured], *, seen: SeenFrom) -> Iterator[Shape]:
    """Yield each hanging position at the hour that is up in it, with its rate."""
    for position, up_deg in UP_DEG.items():
        angle = paper_deg(up_deg, seen)
        lowest = position == poise.lowest_in
        role = ShapeRole.ACCENT if lowest else ShapeRole.OUTLINE
        words = [position, f"{rates[position].text(sign=True)} s/day"]
        if lowest:
            words += ["this way up", "spot lowest"]
        x, y = on_circle(CENTRE, LABELS - 3.0, angle)
        up = round(y - CENTRE[1])
        top = y + (6.0 if up > 0 else 0.0 if up < 0 else 4.0)
        side = round(x - CENTRE[0])
        anchor = Anchor.MIDDLE if side == 0 else Anchor.START if side > 0 else Anchor.END
        for number, line in enumerate(words):
            at = (x, top - 4.6 * number)
            yield Text(
                at=at, words=line, height=4.0 if number == 0 else NOTE, anchor=anchor, role=role,
                heading=number == 0,
            )  # fmt: skip
