"""The outside of a watch: case, lugs, crown, pushers; seen from the front or from the back."""

from sideshake.demo.drawn.ink import MIDDLE, Point, Stroke, box, circle, path, polygon, ring, turned
from sideshake.demo.drawn.scene import shadow_under
from sideshake.demo.shapes import Looks

RADIUS = {"round": 400.0, "cushion": 400.0, "square": 380.0, "tonneau": 390.0, "pocket": 450.0}
REACH = {"round": 1.0, "cushion": 0.97, "square": 0.93, "tonneau": 0.875}
"""How far the case reaches at 3 o'clock, of its radius."""
DIAL_SHARE = 0.82
LEATHER = {
    "black": "#2c2724",
    "blue": "#27303c",
    "white": "#3a2a20",
    "grey": "#474a38",
    "champagne": "#6a2f22",
    "silver": "#3b2f2a",
    "salmon": "#7a4a28",
}
"""Colour of the strap that goes with a dial; else brown."""
BROWN = "#5b3a22"
EDGE = Stroke(colour="#2a241c", width=2, opacity=0.45)


def body_path(looks: Looks, radius: float) -> str:
    """Return the outline of the case at a size, about the picture's middle."""
    x, y = MIDDLE
    if looks.case in ("round", "pocket"):
        r = radius
        return f"M{x - r} {y}A{r} {r} 0 1 1 {x + r} {y}A{r} {r} 0 1 1 {x - r} {y}Z"
    if looks.case == "tonneau":
        w, h, bow = 0.9 * radius, 1.04 * radius, 0.2 * radius
        return (
            f"M{x - 0.72 * w} {y - h}Q{x} {y - h - 0.35 * bow} {x + 0.72 * w} {y - h}"
            f"Q{x + w + bow} {y} {x + 0.72 * w} {y + h}"
            f"Q{x} {y + h + 0.35 * bow} {x - 0.72 * w} {y + h}"
            f"Q{x - w - bow} {y} {x - 0.72 * w} {y - h}Z"
        )
    side, corner = (0.97 * radius, 0.62) if looks.case == "cushion" else (0.93 * radius, 0.16)
    c = corner * side
    return (
        f"M{x - side + c} {y - side}H{x + side - c}Q{x + side} {y - side} {x + side} {y - side + c}"
        f"V{y + side - c}Q{x + side} {y + side} {x + side - c} {y + side}H{x - side + c}"
        f"Q{x - side} {y + side} {x - side} {y + side - c}V{y - side + c}"
        f"Q{x - side} {y - side} {x - side + c} {y - side}Z"
    )


def dial_radius(looks: Looks) -> float:
    """Return the radius of the dial."""
    return DIAL_SHARE * RADIUS[looks.case]


def outside(looks: Looks, *, mirrored: bool = False) -> str:
    """Return shadow, lugs, crown and case; `mirrored` for the back."""
    radius, metal = RADIUS[looks.case], f"url(#{looks.metal})"
    side = -1 if mirrored else 1
    hung = bow(looks) if looks.case == "pocket" else lugs(looks) + crown(looks, side)
    return (
        shadow_under(MIDDLE, radius * (1.08 if looks.case == "pocket" else 1.16))
        + hung
        + path(body_path(looks, radius), metal, EDGE.text.replace('fill="none"', ""))
        + path(body_path(looks, 0.955 * radius), f"url(#{looks.metal}-back)")
    )


def bezel(looks: Looks) -> str:
    """Return the ring round the glass."""
    r = dial_radius(looks)
    return (
        circle(MIDDLE, r + 34, f"url(#{looks.metal})", 'stroke="#2a241c" stroke-opacity="0.35"')
        + circle(MIDDLE, r + 14, f"url(#{looks.metal}-back)")
        + circle(MIDDLE, r + 3, "#1d1912")
    )


def lugs(looks: Looks) -> str:
    """Return the four lugs and the ends of a strap between them."""
    (x, y), r = MIDDLE, RADIUS[looks.case]
    straps = "".join(strap_end(up, r, LEATHER.get(looks.dial, BROWN)) for up in (-1, 1))
    made = ""
    for up in (-1, 1):
        for side in (-1, 1):
            outer, inner = x + side * 0.66 * r, x + side * 0.42 * r
            data = polygon(
                [
                    (x + side * 0.86 * r, y + up * 0.45 * r),
                    (outer, y + up * 1.13 * r),
                    (outer - side * 0.05 * r, y + up * 1.16 * r),
                    (inner + side * 0.03 * r, y + up * 1.15 * r),
                    (inner, y + up * 0.8 * r),
                ]
            )
            made += path(data, f"url(#{looks.metal})", EDGE.text.replace('fill="none"', ""))
    return straps + made


def strap_end(up: int, r: float, colour: str) -> str:
    """Return the end of a leather strap."""
    x, y = MIDDLE
    half, top = 0.42 * r, y + up * 0.75 * r
    end = y + up * 660
    leather = polygon(
        [(x - half, top), (x + half, top), (x + 0.93 * half, end), (x - 0.93 * half, end)]
    )
    seams = "".join(
        f'<path d="M{x + s * 0.86 * half} {top}L{x + s * 0.8 * half} {end}" stroke="#e7d6b4" '
        'stroke-width="4" stroke-dasharray="16 9" stroke-opacity="0.75"/>'
        for s in (-1, 1)
    )
    return path(leather, colour) + path(leather, "url(#gleam)", 'opacity="0.35"') + seams


def crown(looks: Looks, side: int) -> str:
    """Return the crown, and pushers on a chronograph."""
    x, y = MIDDLE
    edge = side * (REACH[looks.case] * RADIUS[looks.case] - 3)
    made = knob((x + edge, y), (54, 88), looks, side)
    if looks.counters > 1:
        pusher = button((x + edge, y), looks, side)
        made += turned(pusher, 31, MIDDLE) + turned(pusher, -31, MIDDLE)
    return made


def knob(at: Point, size: Point, looks: Looks, side: int) -> str:
    """Return a fluted crown that sticks out to one side."""
    x = at[0] if side > 0 else at[0] - size[0]
    body = box(
        (x, at[1] - size[1] / 2),
        size,
        f"url(#{looks.metal})",
        'rx="11" stroke="#2a241c" stroke-opacity="0.5"',
    )
    flutes = "".join(
        f'<path d="M{x + 5} {at[1] - size[1] / 2 + 8 + k * 9}h{size[0] - 10}" stroke="#2a241c" '
        'stroke-width="2.4" stroke-opacity="0.4"/>'
        for k in range(int(size[1] / 9) - 1)
    )
    return body + flutes


def button(at: Point, looks: Looks, side: int) -> str:
    """Return a pusher: stem and cap."""
    stem, cap = (at[0], at[0] + 34) if side > 0 else (at[0] - 40, at[0] - 62)
    return box((stem, at[1] - 12), (40, 24), f"url(#{looks.metal}-back)") + box(
        (cap, at[1] - 30),
        (28, 60),
        f"url(#{looks.metal})",
        'rx="9" stroke="#2a241c" stroke-opacity="0.5"',
    )


def bow(looks: Looks) -> str:
    """Return a pocket watch's pendant, crown and bow."""
    (x, y), r = MIDDLE, RADIUS["pocket"]
    top = y - r
    metal = f"url(#{looks.metal})"
    loop = (
        f'<ellipse cx="{x}" cy="{top - 52}" rx="98" ry="74" fill="none" stroke="{metal}" '
        'stroke-width="22"/>'
    )
    neck = path(
        polygon([(x - 46, top + 20), (x - 30, top - 46), (x + 30, top - 46), (x + 46, top + 20)]),
        metal,
    )
    head = box(
        (x - 40, top - 92),
        (80, 52),
        f"url(#{looks.metal}-back)",
        'rx="12" stroke="#2a241c" stroke-opacity="0.5"',
    )
    flutes = "".join(
        f'<path d="M{x - 32 + k * 9} {top - 88}v44" stroke="#2a241c" stroke-width="2.4" '
        'stroke-opacity="0.4"/>'
        for k in range(8)
    )
    return loop + neck + head + flutes + ring((x, top - 66), 0.1, EDGE)
