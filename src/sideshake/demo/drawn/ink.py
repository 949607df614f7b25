"""Small pieces of SVG: shapes as text, gradients, and places on a circle. Pixels, y downwards."""

import math
from dataclasses import dataclass
from random import Random

WIDTH, HEIGHT = 1600, 1200
MIDDLE = (WIDTH / 2, HEIGHT / 2)
WHOLE_PAGE = ((0.0, 0.0), (float(WIDTH), float(HEIGHT)))
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How a line is drawn."""

    colour: str
    width: float
    opacity: float = 1.0

    @property
    def text(self) -> str:
        """Return the attributes."""
        return (
            f'fill="none" stroke="{self.colour}" stroke-width="{self.width:.1f}" '
            f'stroke-opacity="{self.opacity:.2f}" stroke-linecap="round" stroke-linejoin="round"'
        )


def around(centre: Point, radius: float, clock_deg: float) -> Point:
    """Return the point at that angle from 12 o'clock, clockwise.

    Examples
    --------
    >>> around((0.0, 0.0), 2.0, 90.0)
    (2.0, 0.0)
    """
    angle = math.radians(clock_deg)
    x, y = centre[0] + radius * math.sin(angle), centre[1] - radius * math.cos(angle)
    return (round(x, 2) + 0.0, round(y, 2) + 0.0)


def circle(centre: Point, radius: float, fill: str, more: str = "") -> str:
    """Return a filled circle."""
    return (
        f'<circle cx="{centre[0]:.1f}" cy="{centre[1]:.1f}" r="{radius:.1f}" fill="{fill}" {more}/>'
    )


def ring(centre: Point, radius: float, stroke: Stroke) -> str:
    """Return a circle's line."""
    return f'<circle cx="{centre[0]:.1f}" cy="{centre[1]:.1f}" r="{radius:.1f}" {stroke.text}/>'


def ellipse(centre: Point, radii: Point, fill: str, more: str = "") -> str:
    """Return a filled ellipse."""
    return (
        f'<ellipse cx="{centre[0]:.1f}" cy="{centre[1]:.1f}" rx="{radii[0]:.1f}" '
        f'ry="{radii[1]:.1f}" fill="{fill}" {more}/>'
    )


def line(start: Point, end: Point, stroke: Stroke) -> str:
    """Return a straight line."""
    return f'<path d="M{start[0]:.1f} {start[1]:.1f}L{end[0]:.1f} {end[1]:.1f}" {stroke.text}/>'


def path(data: str, fill: str, more: str = "") -> str:
    """Return a filled path."""
    return f'<path d="{data}" fill="{fill}" {more}/>'


def box(corner: Point, size: Point, fill: str, more: str = "") -> str:
    """Return a rectangle."""
    return (
        f'<rect x="{corner[0]:.1f}" y="{corner[1]:.1f}" width="{size[0]:.1f}" '
        f'height="{size[1]:.1f}" fill="{fill}" {more}/>'
    )


def polygon(points: list[Point]) -> str:
    """Return the path data of a closed chain of points."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"


def turned(shape: str, degrees: float, centre: Point) -> str:
    """Return a shape turned clockwise about a point."""
    return f'<g transform="rotate({degrees:.2f} {centre[0]:.1f} {centre[1]:.1f})">{shape}</g>'


def moved(shape: str, by: Point, *, opacity: float = 1.0) -> str:
    """Return a shape moved."""
    return f'<g transform="translate({by[0]:.1f} {by[1]:.1f})" opacity="{opacity:.2f}">{shape}</g>'


def sheen(name: str, colours: tuple[str, ...], *, turn_deg: float = 35.0) -> str:
    """Return a linear gradient of evenly spaced colours, as light on metal."""
    steps = len(colours) - 1
    stops = "".join(
        f'<stop offset="{place / steps:.3f}" stop-color="{colour}"/>'
        for place, colour in enumerate(colours)
    )
    return (
        f'<linearGradient id="{name}" x1="0" y1="0" x2="1" y2="1" '
        f'gradientTransform="rotate({turn_deg - 45:.0f} 0.5 0.5)">{stops}</linearGradient>'
    )


def glow(name: str, stops: tuple[tuple[float, str, float], ...], at: Point = (0.5, 0.5)) -> str:
    """Return a radial gradient; each stop has its place, colour and opacity."""
    made = "".join(
        f'<stop offset="{place}" stop-color="{colour}" stop-opacity="{opacity}"/>'
        for place, colour, opacity in stops
    )
    return f'<radialGradient id="{name}" cx="{at[0]}" cy="{at[1]}" r="0.5">{made}</radialGradient>'


def blot(centre: Point, size: float, random: Random, *, fill: str, opacity: float) -> str:
    """Return a soft irregular spot of some circles."""
    return "".join(
        ellipse(
            around(centre, size * 0.5 * random.random(), random.uniform(0, 360)),
            (size * random.uniform(0.3, 0.8), size * random.uniform(0.25, 0.7)),
            fill,
            f'fill-opacity="{opacity * random.uniform(0.3, 0.8):.3f}"',
        )
        for _ in range(4)
    )


def wheel(centre: Point, radius: float, teeth: int, *, depth: float) -> str:
    """Return the path data of a toothed rim."""
    points = []
    for tooth in range(teeth):
        start = 360 / teeth * tooth
        step = 360 / teeth
        for share, r in (
            (0.0, radius - depth),
            (0.2, radius),
            (0.5, radius),
            (0.7, radius - depth),
        ):
            points.append(around(centre, r, start + share * step))
    return polygon(points)
