"""What is drawn over a photograph of what was measured in it, in the photograph's pixels."""

import math
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.drawings.hole_seen import outline, path
from sideshake.drawings.wheel_seen import edges, numbers_told, place, tips
from sideshake.photo.hole import HoleSeen
from sideshake.photo.pivot import Pivot
from sideshake.photo.tooth import Tooth, ToothState
from sideshake.photo.wheel import CountedWheel
from sideshake.web.measuring.photo_forms import LookForm, ScaledForm
from sideshake.web.measuring.photo_part_forms import MarksPressed, PivotForm, WheelForm
from sideshake.web.measuring.photo_pivots import pivot_picture
from sideshake.web.measuring.photo_sizes import PhotoSeen, look_at, picture_of
from sideshake.web.measuring.photo_wheels import wheel_picture
from sideshake.web.models import Photograph

ROOM_FOR_NUMBERS = 0.055
"""Of the tip circle's diameter: teeth that stand closer have a number at every fifth only."""


def hole_picture(form: LookForm, *, kind: str) -> str:
    """Return the rim over the photograph, or how far it lies off its ellipse (SVG)."""
    return picture_of(look_at(form.photograph, form.pressed), kind)


DRAWN: dict[str, tuple[type[ScaledForm], Callable[[Any], str]]] = {
    "rim": (LookForm, partial(hole_picture, kind="rim")),
    "off": (LookForm, partial(hole_picture, kind="off")),
    "teeth": (WheelForm, wheel_picture),
    "edges": (PivotForm, pivot_picture),
}
"""The pictures: by which form it is told what was pressed, and what draws it."""


def look_picture(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Draw what was measured over the photograph at 1:1, or how far a rim lies off its ellipse."""
    row = get_object_or_404(Photograph.objects.select_related("visit__watch"), pk=pk)
    pair = DRAWN.get(kind)
    form = pair[0](row, request.GET) if pair else None
    if pair is None or form is None or not form.is_valid():
        raise InputError(_("press in the photograph first: without that there is no such picture"))
    return HttpResponse(pair[1](form), content_type="image/svg+xml")


def hole_drawn(found: PhotoSeen) -> dict[str, Any]:
    """Return the edge as it is drawn over the photograph, in its pixels."""
    hole = found.here
    ellipse = hole.rim.fit.ellipse
    points = hole.rim.points + 0.5
    believed = hole.rim.fit.weights > 0
    left_out = points[~believed & np.isfinite(points).all(axis=1)]
    return {
        "rim": path(outline(ellipse) + 0.5),
        "points": [(f"{x:.2f}", f"{y:.2f}") for x, y in points[believed].tolist()],
        "left_out": [(f"{x:.2f}", f"{y:.2f}") for x, y in left_out.tolist()],
        "axis": axis_of(hole),
        "dot": f"{max(0.6, ellipse.r / 120):.2f}",
    }


def axis_of(hole: HoleSeen) -> str:
    """Return the long axis as a line through the hole; empty where it is not told."""
    if hole.oval is None or not hole.oval.real:
        return ""
    ellipse, way = hole.rim.fit.ellipse, math.radians(hole.oval.picture_deg.value)
    x, y = ellipse.x + 0.5, ellipse.y + 0.5
    right, down = 1.25 * ellipse.r * math.cos(way), -1.25 * ellipse.r * math.sin(way)
    return f"M{x - right:.1f} {y - down:.1f}L{x + right:.1f} {y + down:.1f}"


def wheel_drawn(wheel: CountedWheel) -> dict[str, Any]:
    """Return the circle through the tips and every tooth with its number."""
    tip = wheel.tip_px.value
    pitch = math.pi * tip / wheel.teeth
    told = numbers_told(wheel, every=1 if pitch > ROOM_FOR_NUMBERS * tip else 5)
    return {
        "tips": path(tips(wheel) + 0.5),
        "teeth": [tooth_drawn(wheel, tooth, told=tooth.number in told) for tooth in wheel.each],
        "dot": f"{max(1.0, 0.08 * pitch):.1f}",
        "ring": f"{0.45 * pitch:.1f}",
        "letters": f"{min(max(0.5 * pitch, 0.045 * tip), 0.08 * tip):.1f}",
    }


def tooth_drawn(wheel: CountedWheel, tooth: Tooth, *, told: bool) -> dict[str, Any]:
    """Return where a tooth stands, where its number goes if it is told, and what became of it."""
    sign = -1 if wheel.inside else 1
    tip = 0.5 * wheel.tip_px.value
    x, y = place(wheel, tooth.angle_deg, 0.5 * (tip + wheel.root_px))
    away = sign * max(0.5 * abs(tip - wheel.root_px), 0.09 * tip)
    out, down = place(wheel, tooth.angle_deg, tip + away)
    return {
        "x": f"{x + 0.5:.1f}",
        "y": f"{y + 0.5:.1f}",
        "out": f"{out + 0.5:.1f}",
        "down": f"{down + 0.5:.1f}",
        "number": tooth.number if told else "",
        "state": "" if tooth.state is ToothState.WHOLE else tooth.state.value,
    }


def pivot_drawn(pivot: Pivot) -> dict[str, Any]:
    """Return both edges that were measured, as one path."""
    lines = ((edge + 0.5).ravel().tolist() for edge in edges(pivot))
    return {"edges": "".join("M{:.1f} {:.1f}L{:.1f} {:.1f}".format(*line) for line in lines)}


def marks_drawn(pressed: MarksPressed, longest_px: int) -> dict[str, Any]:
    """Return a line from the middle to each point, with its number beyond."""
    x, y = pressed.at_px
    rays = []
    for number, (across, down) in enumerate(pressed.marks_px, start=1):
        reach = max(math.dist((x, y), (across, down)), 1.0)
        beyond = 1 + 0.03 * longest_px / reach
        rays.append(
            {
                "line": f"M{x + 0.5:.1f} {y + 0.5:.1f}L{across + 0.5:.1f} {down + 0.5:.1f}",
                "out": f"{x + 0.5 + beyond * (across - x):.1f}",
                "down": f"{y + 0.5 + beyond * (down - y):.1f}",
                "number": number,
            }
        )
    return {"rays": rays, "letters": f"{longest_px / 28:.1f}"}
