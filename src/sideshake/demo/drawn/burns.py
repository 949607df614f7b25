"""A dial burnt by the radium in its hands' paint, from near."""

from random import Random

from sideshake.demo.drawn.dial import DIALS, LUME, hour_mark
from sideshake.demo.drawn.ink import (
    MIDDLE,
    WHOLE_PAGE,
    Stroke,
    around,
    box,
    circle,
    ellipse,
    line,
    path,
    polygon,
    turned,
)
from sideshake.demo.shapes import Watch


def burn_marks(watch: Watch, random: Random) -> str:
    """Return the middle of a dial with brown shadows where luminous hands rested for years."""
    light, deep, ink = DIALS[watch.looks.dial]
    ground = (
        f'<defs><radialGradient id="near" cx="0.4" cy="0.3" r="0.9"><stop offset="0" stop-color="{light}"/>'
        f'<stop offset="1" stop-color="{deep}"/></radialGradient></defs>'
        + box(*WHOLE_PAGE, "url(#near)")
    )
    brown = "#8a5a22" if watch.looks.dial in ("black", "blue") else "#5d3a12"
    burns = "".join(
        turned(
            ellipse(
                (800, 600 - long / 2),
                (w * grow, long / 2 * (0.9 + 0.1 * grow)),
                brown,
                f'fill-opacity="{0.13:.2f}"',
            ),
            angle,
            MIDDLE,
        )
        for angle, long, w in ((25, 480, 60), (172, 700, 46))
        for grow in (1.0, 0.85, 0.7, 0.55)
    )
    marks = turned(
        "".join(hour_mark(watch.looks, hour, 760, ink=ink, metal="steel") for hour in range(12)),
        0,
        MIDDLE,
    )
    lacquer = "".join(
        f'<path d="M{x} {y}q{random.uniform(-60, 60):.0f} {random.uniform(20, 60):.0f} {random.uniform(-90, 90):.0f} {random.uniform(60, 160):.0f}" {Stroke(colour=ink, width=1.4, opacity=0.28).text}/>'
        for x, y in ((random.uniform(0, 1600), random.uniform(0, 1100)) for _ in range(46))
    )
    hands = near_hand(-62, 520, 34) + near_hand(88, 760, 26)
    hub = circle(MIDDLE, 54, "url(#steel)") + circle((790, 588), 22, "#fff", 'fill-opacity="0.6"')
    dust = "".join(
        circle(
            around(
                around(MIDDLE, random.uniform(150, 600), random.choice((-62, 88))),
                random.uniform(20, 75),
                random.uniform(0, 360),
            ),
            random.uniform(1.2, 3.8),
            LUME,
        )
        for _ in range(26)
    )
    return ground + lacquer + marks + burns + dust + hands + hub


def near_hand(angle: float, length: float, half: float) -> str:
    """Return a steel hand filled with cracked luminous paint."""
    x, y = MIDDLE
    shape = polygon(
        [
            (x - 10, y + 120),
            (x - half, y - 0.25 * length),
            (x - half, y - 0.8 * length),
            (x, y - length),
            (x + half, y - 0.8 * length),
            (x + half, y - 0.25 * length),
            (x + 10, y + 120),
        ]
    )
    paint = polygon(
        [
            (x - half + 10, y - 0.28 * length),
            (x - half + 10, y - 0.77 * length),
            (x + half - 10, y - 0.77 * length),
            (x + half - 10, y - 0.28 * length),
        ]
    )
    cracks = "".join(
        line(
            (x - half + 10, y - q * length),
            (x + half - 10, y - (q + 0.03) * length),
            Stroke(colour="#4c3a1a", width=2.5, opacity=0.8),
        )
        for q in (0.34, 0.43, 0.55, 0.61, 0.71)
    )
    made = (
        path(shape, "url(#steel)", 'stroke="#222" stroke-opacity="0.6" stroke-width="2"')
        + path(paint, "#a58a4e")
        + cracks
    )
    dark = f'<g transform="translate(14 20)" opacity="0.28">{turned(path(shape, "#000"), angle, MIDDLE)}</g>'
    return dark + turned(made, angle, MIDDLE)
