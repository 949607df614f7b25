"""A wheel and a pivot as they were seen: over the photograph, teeth numbered, edges drawn."""

import math
from html import escape

import numpy as np

from sideshake.drawings.photo_crop import Crop, Points, crop_round, page
from sideshake.drawings.style import BRASS, FIGURES, INK, PAPER, RUBY
from sideshake.photo.light import LightPhotograph
from sideshake.photo.pivot import Pivot
from sideshake.photo.tooth import Tooth, ToothState
from sideshake.photo.wheel import CountedWheel

SHOWN_PX = 900
"""Longest side of what is shown of the photograph."""
ROOM = 1.25
CLOSE = 18.0
"""Numbers stand no nearer than so to each other; then only every fifth tooth has one."""


def teeth_picture(photo: LightPhotograph, found: CountedWheel) -> str:
    """Return the photograph of the wheel with its teeth numbered (SVG).

    Whole teeth have a dot; the others a ruby ring, their number and what they are.
    """
    reach = 0.5 * found.tip_px.value if not found.inside else found.root_px
    middle = (found.oval.x, found.oval.y)
    crop = crop_round(photo, middle, ROOM * reach, to_px=SHOWN_PX, whole=False)
    room = math.pi * found.tip_px.value / found.teeth * crop.zoom
    numbered = numbers_told(found, every=1 if room > CLOSE else 5)
    body = [crop.image(), *outline(crop, found)]
    for tooth in found.each:
        body += tooth_marks(crop, found, tooth, numbered=tooth.number in numbered)
    return page(body, crop.wide, crop.high, f"{found.teeth} teeth, numbered clockwise")


def numbers_told(wheel: CountedWheel, *, every: int) -> set[int]:
    """Return which teeth have their number: the first, those that are not whole, every so many.

    Where not every tooth has one, those too near to the first or to one that is not whole go bare.
    """
    harmed = [tooth.number for tooth in wheel.each if tooth.state is not ToothState.WHOLE]
    first = {1, *harmed}
    return first | {
        number
        for number in range(every, wheel.teeth + 1, every)
        if every == 1 or min(apart(number, each, wheel.teeth) for each in first) > every // 2
    }


def apart(one: int, other: int, teeth: int) -> int:
    """Return how many teeth lie from one to the other, the shorter way round."""
    return min((one - other) % teeth, (other - one) % teeth)


def pivot_picture(photo: LightPhotograph, found: Pivot) -> str:
    """Return the photograph of the pivot with the edges that were measured (SVG)."""
    reach = 0.75 * max(found.length_px, 2 * found.diameter_px.value)
    crop = crop_round(photo, found.middle, reach, to_px=SHOWN_PX, whole=False)
    body = [crop.image()]
    for edge in edges(found):
        (x1, y1), (x2, y2) = crop.shown(edge).tolist()
        body.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{BRASS}" '
            'stroke-width="1.5"/>'
        )
    return page(body, crop.wide, crop.high, "The edges that were measured")


def edges(found: Pivot) -> tuple[Points, Points]:
    """Return both edges that were measured, each from end to end: pixels, shape (2, 2)."""
    axis = math.radians(found.axis_deg)
    along = np.array([-0.5, 0.5]) * found.length_px
    middle = np.array(found.middle) + np.outer(along, [math.cos(axis), -math.sin(axis)])
    thick = found.diameter_px.value + found.taper.value * along
    off = np.outer(0.5 * thick, [math.sin(axis), math.cos(axis)])
    return middle + off, middle - off


def place(found: CountedWheel, angle_deg: float, radius: float) -> tuple[float, float]:
    """Return the pixel at an angle and radius in the wheel's plane."""
    ((x, y),) = found.oval.circle(radius, np.array([math.radians(angle_deg)])).tolist()
    return x, y


def tips(found: CountedWheel) -> Points:
    """Return places round the circle through the tips, near enough to be drawn as a line."""
    angles = np.linspace(0, 2 * math.pi, 181)
    return found.oval.circle(0.5 * found.tip_px.value, angles)


def outline(crop: Crop, found: CountedWheel) -> list[str]:
    """Return the circle through the tips as the camera saw it."""
    shown = crop.shown(tips(found)).tolist()
    places = " ".join(f"{across:.1f},{down:.1f}" for across, down in shown)
    return [f'<polygon points="{places}" fill="none" stroke="{BRASS}" stroke-width="1.2"/>']


def tooth_marks(crop: Crop, found: CountedWheel, tooth: Tooth, *, numbered: bool) -> list[str]:
    """Return a tooth's mark, and its number where there is room or it is not whole."""
    sign = -1 if found.inside else 1
    tip = 0.5 * found.tip_px.value
    height = sign * (tip - found.root_px)
    x, y = crop.shown_at(*place(found, tooth.angle_deg, 0.5 * (tip + found.root_px)))
    out = crop.shown_at(
        *place(found, tooth.angle_deg, tip + sign * max(0.5 * height, 16 / crop.zoom))
    )
    if tooth.state is ToothState.WHOLE:
        marks = [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.5" fill="{BRASS}"/>']
        return [*marks, *([label(out, str(tooth.number), INK)] if numbered else [])]
    size = max(0.6 * height * crop.zoom, 7)
    ring = (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size:.1f}" fill="none" stroke="{RUBY}" '
        'stroke-width="2.5"/>'
    )
    return [ring, label(out, f"{tooth.number} {tooth.state}", RUBY)]


def label(at: tuple[float, float], words: str, colour: str) -> str:
    """Return words in the middle of a place, with paper round the letters."""
    x, y = at
    return (
        f'<text x="{x:.1f}" y="{y + 5:.1f}" text-anchor="middle" font-family="{FIGURES}" '
        f'font-size="14" fill="{colour}" stroke="{PAPER}" stroke-width="4" paint-order="stroke">'
        f"{escape(words)}</text>"
    )
