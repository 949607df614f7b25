"""The back of a watch: screwed or pressed in, its number, its scratches."""

import math
from random import Random

from sideshake.demo.drawn.case import RADIUS, body_path, outside
from sideshake.demo.drawn.ink import (
    MIDDLE,
    Stroke,
    around,
    box,
    circle,
    path,
    polygon,
    ring,
    turned,
)
from sideshake.demo.drawn.letters import writing
from sideshake.demo.drawn.movement import curved
from sideshake.demo.shapes import Watch


def back(watch: Watch, random: Random) -> str:
    """Return the watch from behind, closed."""
    looks, r = watch.looks, 0.8 * RADIUS[watch.looks.case]
    screwed = "screw" in watch.case_seen
    case = outside(looks, mirrored=True) + path(
        body_path(looks, 0.93 * RADIUS[looks.case]), f"url(#{looks.metal})", 'opacity="0.8"'
    )
    disc = (
        circle((MIDDLE[0] + 3, MIDDLE[1] + 5), r + 8, "#000", 'fill-opacity="0.3"')
        + circle(MIDDLE, r + 4, f"url(#{looks.metal}-back)")
        + circle(MIDDLE, r - 8, f"url(#{looks.metal})")
    )
    notches = "".join(notch(60.0 * k, r) for k in range(6)) if screwed else ring(
        MIDDLE, 0.9 * r, Stroke(colour="#3a3024", width=2, opacity=0.35)
    )  # fmt: skip
    return (
        case + disc + brushing(r) + notches + engraving(watch, r) + wear(r, random, watch.looks.age)
    )


def brushing(r: float) -> str:
    """Return the cross of light on a turned surface."""
    made = ""
    for k in range(72):
        bright = math.cos(math.radians(2 * (5 * k - 40)))
        tips = [MIDDLE, around(MIDDLE, 0.88 * r, 5 * k), around(MIDDLE, 0.88 * r, 5 * k + 5.2)]
        colour = "#fff" if bright > 0 else "#000"
        made += path(polygon(tips), colour, f'fill-opacity="{abs(bright) * 0.13:.3f}"')
    rings = "".join(
        ring(
            MIDDLE,
            r * (0.1 + 0.026 * k),
            Stroke(colour="#fff" if k % 2 else "#000", width=1.2, opacity=0.07),
        )
        for k in range(30)
    )
    return made + rings


def notch(angle: float, r: float) -> str:
    """Return a notch for the case key."""
    x, y = MIDDLE
    return turned(
        box((x - 22, y - r - 2), (44, 26), "#2b261d", 'rx="4" fill-opacity="0.75"'), angle, MIDDLE
    )


def engraving(watch: Watch, r: float) -> str:
    """Return the name round the rim and the number in the middle."""
    maker = watch.dial_name.partition(",")[0]
    named = curved(maker.replace("no name", ""), 0.74 * r, 0.0, 0.06 * r)
    number = watch.case_serial.partition(",")[0]
    shown = number if any(c.isdigit() for c in number) else ""
    dark = writing(shown, MIDDLE, height=0.1 * r, colour="#2f281d", weight=0.9)
    light = writing(
        shown, (MIDDLE[0] + 2, MIDDLE[1] + 3), height=0.1 * r, colour="#ffffff", weight=0.7
    )
    return named + light + dark


def wear(r: float, random: Random, age: float) -> str:
    """Return scratches from a life on tables."""
    made = ""
    for _ in range(round(14 + 60 * age)):
        at = around(MIDDLE, r * math.sqrt(random.random()) * 0.86, random.uniform(0, 360))
        end = around(at, random.uniform(12, 110), random.uniform(0, 360))
        if math.dist(end, MIDDLE) > 0.9 * r:
            continue
        bend = around(at, 0.5 * math.dist(at, end), random.uniform(0, 360))
        data = f"M{at[0]} {at[1]}Q{(bend[0] + 3 * end[0]) / 4:.1f} {(bend[1] + 3 * end[1]) / 4:.1f} {end[0]} {end[1]}"
        light = random.random() < 0.6
        made += f'<path d="{data}" {Stroke(colour="#fff" if light else "#2b2418", width=random.uniform(0.8, 2.0), opacity=random.uniform(0.15, 0.5)).text}/>'
    return made
