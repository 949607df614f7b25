"""The going train as a staircase seen from the side: each wheel drives the next arbor's pinion.

Across, the pitch circles are to scale when the sheet knows every size; upwards, only the order
counts.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from sideshake.core.errors import InputError
from sideshake.drawings.shapes import (
    Drawing,
    DrawnLine,
    Fill,
    Shape,
    ShapeRole,
    Text,
    paragraph,
    rectangle,
)
from sideshake.movement.sheet import Arbor, Train
from sideshake.movement.train import ESCAPE, Mesh, Turning, meshes, speeds

ONE_MODULE_MM = 0.12
"""Used for every mesh when a size is unknown; the drawing then says so."""
STEP = 26.0
LEFT = 14.0
BOTTOM = 24.0
TOP = 16.0
LABEL_WIDTH = 52.0
DRAWN_WIDTH = 125.0
SCALES = (2, 3, 4, 5, 6, 8, 10, 12)
STUB = 18.0
"""How far an arbor reaches over its pinion where a second wheel, above all others, drives it."""
WHEEL_HALF = 1.2
PINION_HALF = 2.6
ESCAPE_HALF_WIDTH = 9.0
NOTE = 2.7
NOTE_WIDTH = 62.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """An arbor on the sheet: where it stands, and the levels of its pinion and its wheel."""

    turning: Turning
    x: float
    pinion_y: float
    wheel_y: float

    @property
    def arbor(self) -> Arbor:
        """Return the arbor itself."""
        return self.turning.arbor


def train_diagram(train: Train, *, title: str) -> Drawing:
    """Return the train drawn as a staircase from the barrel up to the escape wheel.

    Raises
    ------
    InputError : a wheel or pinion lacks, or there is no mesh to draw
    """
    links = meshes(train)
    if not links:
        raise InputError("a train with one arbor has no mesh to draw")
    known = all(m.driven.pinion_module_mm is not None for m in links)
    scale = drawn_scale(links, known=known)
    placed = places(train, links, known=known, scale=scale)
    shapes: list[Shape] = []
    for link in links:
        shapes += mesh_shapes(link, placed, known=known, scale=scale)
    for each in placed.values():
        shapes += arbor_shapes(each)
    width = max(each.x for each in placed.values()) + LABEL_WIDTH
    height = max(each.wheel_y for each in placed.values()) + TOP
    said = (
        f"Drawn {scale} : 1 across, the escape wheel's size apart; heights only show the order."
        if known
        else "Some sizes are unknown: drawn with one module for all, not to scale."
    )
    shapes += [
        Text(at=(LEFT - 4, height - 11), words=f"{title}: the train", height=5.2, heading=True),
        *paragraph(Text(at=(LEFT - 4, height - 17), words=said, height=NOTE), NOTE_WIDTH),
    ]
    return Drawing(
        title=f"Train of {title}",
        width=width,
        height=height,
        shapes=tuple(shapes),
        scale=float(scale),
        description="; ".join(turn_words(each.turning) for each in placed.values()),
    )


def module_mm(mesh: Mesh, *, known: bool) -> float:
    """Return the module a mesh is drawn with."""
    own = mesh.driven.pinion_module_mm
    return own.value if known and own is not None else ONE_MODULE_MM


def drawn_scale(links: tuple[Mesh, ...], *, known: bool) -> int:
    """Return the largest usual scale at which the train fits the sheet."""
    across = sum(module_mm(m, known=known) * (m.wheel + m.pinion) / 2 for m in links)
    across += module_mm(links[0], known=known) * links[0].wheel / 2
    fitting = [scale for scale in SCALES if scale * across <= DRAWN_WIDTH]
    return fitting[-1] if fitting else SCALES[0]


def places(
    train: Train, links: tuple[Mesh, ...], *, known: bool, scale: float
) -> dict[str, Placed]:
    """Return where every arbor stands: each one step up and one centre distance to the right."""
    turns = {each.arbor.name: each for each in speeds(train)}
    first = train.arbors[0]
    radius = module_mm(links[0], known=known) * links[0].wheel / 2 * scale
    placed = {
        first.name: Placed(
            turning=turns[first.name], x=LEFT + radius, pinion_y=BOTTOM - 9, wheel_y=BOTTOM
        )
    }
    for level, link in enumerate(links, start=1):
        driver = placed[link.driver.name]
        distance = module_mm(link, known=known) * (link.wheel + link.pinion) / 2 * scale
        own = BOTTOM + level * STEP
        second = link.driven.driver_wheel is not None
        placed[link.driven.name] = Placed(
            turning=turns[link.driven.name],
            x=driver.x + distance,
            pinion_y=own if second else driver.wheel_y,
            wheel_y=own + STUB if second else own,
        )
    return placed


def mesh_shapes(
    link: Mesh, placed: dict[str, Placed], *, known: bool, scale: float
) -> Iterator[Shape]:
    """Yield a wheel and the pinion it drives, touching at their pitch circles, and their labels."""
    driver, driven = placed[link.driver.name], placed[link.driven.name]
    y = driven.pinion_y
    if link.driven.driver_wheel is not None:
        yield DrawnLine(
            start=(driver.x, driver.wheel_y + 5), end=(driver.x, y + 5), role=ShapeRole.CENTRE
        )
    wheel = module_mm(link, known=known) * link.wheel / 2 * scale
    pinion = module_mm(link, known=known) * link.pinion / 2 * scale
    yield rectangle(
        (driver.x - wheel, y - WHEEL_HALF), (driver.x + wheel, y + WHEEL_HALF), fill=Fill.BRASS
    )
    yield rectangle(
        (driven.x - pinion, y - PINION_HALF), (driven.x + pinion, y + PINION_HALF), fill=Fill.STEEL
    )
    yield Text(at=(driver.x - wheel, y + 2.4), words=f"{link.wheel} teeth", height=NOTE)
    beside = driven.x + pinion + 1.6
    tooth = driver.turning.period_s / link.wheel
    yield Text(
        at=(beside, y + 0.4), words=f"{link.pinion} leaves, one in {time_words(tooth)}", height=NOTE
    )
    if known:
        yield Text(at=(beside, y - 3.2), words=size_words(link), height=NOTE)


def size_words(link: Mesh) -> str:
    """Return a mesh's module and centre distance in words."""
    module = module_mm(link, known=True)
    distance = module * (link.wheel + link.pinion) / 2
    return f"module {module:g}, centres {distance:.4g} mm"


def arbor_shapes(placed: Placed) -> Iterator[Shape]:
    """Yield an arbor, what it carries, its name and its time for one turn."""
    foot, head = placed.pinion_y - 5, placed.wheel_y + 5
    yield DrawnLine(start=(placed.x, foot), end=(placed.x, head), role=ShapeRole.CENTRE)
    if placed.arbor.name == ESCAPE:
        yield rectangle(
            (placed.x - ESCAPE_HALF_WIDTH, placed.wheel_y - WHEEL_HALF),
            (placed.x + ESCAPE_HALF_WIDTH, placed.wheel_y + WHEEL_HALF),
            role=ShapeRole.HIDDEN,
        )
        yield Text(
            at=(placed.x + ESCAPE_HALF_WIDTH + 1.6, placed.wheel_y - 1),
            words=f"{placed.arbor.wheel} teeth",
            height=NOTE,
        )
    beside = placed.x + 1.6
    yield Text(at=(beside, foot - 3.6), words=placed.arbor.name, height=3.6, heading=True)
    yield Text(at=(beside, foot - 7.8), words=turn_words(placed.turning, short=True), height=NOTE)


def turn_words(turning: Turning, *, short: bool = False) -> str:
    """Return an arbor's time for one turn, with what it carries."""
    carries = f", {turning.arbor.carries}" if turning.arbor.carries else ""
    name = "" if short else f"{turning.arbor.name}: "
    return f"{name}one turn in {time_words(turning.period_s)}{carries}"


def time_words(seconds: Fraction) -> str:
    """Return seconds as h, min or s, whichever reads best."""
    value = float(seconds)
    if value >= 3600:
        return f"{value / 3600:g} h"
    if value >= 120:
        return f"{value / 60:g} min"
    return f"{value:.4g} s"
