"""The inside of a watch: bridges, wheels, jewels, balance; with chronograph work or a rotor."""

import re
from random import Random

from sideshake.demo.drawn.case import RADIUS, body_path, outside
from sideshake.demo.drawn.ink import (
    MIDDLE,
    Point,
    Stroke,
    around,
    box,
    circle,
    line,
    path,
    polygon,
    ring,
    turned,
    wheel,
)
from sideshake.demo.drawn.letters import writing
from sideshake.demo.shapes import Watch

SHADE = 'fill-opacity="0.30" transform="translate(5 7)"'
EDGE = 'stroke="#2c2415" stroke-opacity="0.55" stroke-width="2"'
BEVEL = Stroke(colour="#fff8e0", width=2.5, opacity=0.55)


def inside(watch: Watch, random: Random) -> str:
    """Return the watch with its back off."""
    looks = watch.looks
    r = 0.8 * RADIUS[looks.case]
    plate = plate_metal(watch)
    open_case = outside(looks, mirrored=True) + path(
        body_path(looks, 0.9 * RADIUS[looks.case]), f"url(#{looks.metal})"
    )
    ground = circle(MIDDLE, r + 14, "#1b1712") + circle(MIDDLE, r, f"url(#{plate}-back)")
    layers = (
        open_case + ground + perlage(r)
        + barrel_bridge(watch, r, plate) + train_bridge(r, plate, random)
        + balance(r, plate)
        + (chronograph(r) if looks.counters > 1 else ratchet(r))
    )  # fmt: skip
    return layers + (rotor(watch, r) if looks.rotor else "")


def plate_metal(watch: Watch) -> str:
    """Return what the bridges are made of: old ones are gilt brass, later ones nickel coloured."""
    if watch.looks.case == "pocket":
        return "nickel" if watch.calibre else "brass"
    return "brass" if (watch.year_from or 1950) < 1953 or watch.looks.metal == "gold" else "nickel"


def perlage(r: float) -> str:
    """Return overlapping rings ground into the plate."""
    dots = ""
    for row in range(-9, 10):
        for column in range(-9, 10):
            x, y = MIDDLE[0] + column * r / 9.5, MIDDLE[1] + row * r / 9.5
            if (x - MIDDLE[0]) ** 2 + (y - MIDDLE[1]) ** 2 < (0.95 * r) ** 2:
                dots += ring((x, y), r / 14, Stroke(colour="#fff", width=3, opacity=0.10))
                dots += ring((x + 2, y + 2), r / 14, Stroke(colour="#000", width=2, opacity=0.06))
    return dots


def bridge(data: str, plate: str) -> str:
    """Return a bridge with its shadow, bevel and stripes."""
    return (
        path(data, "#000", SHADE) + path(data, f"url(#{plate})", EDGE)
        + f'<path d="{data}" {BEVEL.text}/>'
    )  # fmt: skip


def sector_path(r: float, inner: float, start: float, end: float) -> str:
    """Return a thick part of a ring, clock angles."""
    steps = max(3, int((end - start) / 6))
    angles = [start + (end - start) * k / steps for k in range(steps + 1)]
    points = [around(MIDDLE, r, a) for a in angles]
    points += [around(MIDDLE, inner, a) for a in reversed(angles)]
    return polygon(points)


def barrel_bridge(watch: Watch, r: float, plate: str) -> str:
    """Return the barrel's bridge at the top with its writing."""
    data = sector_path(0.95 * r, 0.12 * r, -62, 76)
    number = watch.movement_serial if any(c.isdigit() for c in watch.movement_serial) else ""
    texts = "".join(
        slanted(words, share * r, angle, height=0.046 * r)
        for words, share, angle in (
            (engraved(watch.calibre_seen), 0.72, 48),
            (number.partition(",")[0], 0.86, 40),
        )
    )
    screws = "".join(screw(around(MIDDLE, 0.86 * r, a), 0.045 * r, a * 3) for a in (-55, 6, 70))
    return bridge(data, plate) + texts + screws


def engraved(seen: str) -> str:
    """Return the part of the marks seen that is engraved: jewels, or the calibre's number."""
    found = re.search(r"\d+ JEWELS|^Q?\d+", seen)
    return found.group() if found else ""


def train_bridge(r: float, plate: str, random: Random) -> str:
    """Return the train's bridge with jewels, and the wheels that show beneath."""
    gear = toothed(around(MIDDLE, 0.42 * r, 150), 0.27 * r, 64, "brass", spokes=5)
    gear += toothed(around(MIDDLE, 0.66 * r, 112), 0.19 * r, 48, "brass", spokes=4)
    data = sector_path(0.95 * r, 0.3 * r, 88, 128) + polygon(
        [around(MIDDLE, 0.34 * r, 90), around(MIDDLE, 0.55 * r, 150), around(MIDDLE, 0.62 * r, 172),
         around(MIDDLE, 0.42 * r, 178), around(MIDDLE, 0.2 * r, 140)]
    )  # fmt: skip
    jewels = "".join(
        jewel(around(MIDDLE, q * r, a), 0.035 * r)
        for q, a in ((0.42, 150), (0.66, 112), (0.53, 168))
    )
    screws = "".join(
        screw(around(MIDDLE, 0.87 * r, a), 0.04 * r, random.uniform(0, 180)) for a in (93, 123)
    )
    return gear + bridge(data, plate) + jewels + screws


def balance(r: float, plate: str) -> str:
    """Return balance, hairspring and cock."""
    at, size = around(MIDDLE, 0.56 * r, 228), 0.34 * r
    well = circle(at, size + 12, "#15110c", 'fill-opacity="0.75"')
    rim = ring(at, size, Stroke(colour="url(#brass)", width=0.05 * r))
    weights = "".join(
        circle(around(at, size + 0.035 * r, 360 / 14 * k), 0.016 * r, "url(#gold)", EDGE)
        for k in range(14)
    )
    arms = "".join(
        line(at, around(at, size, a), Stroke(colour="#c3a25b", width=0.035 * r)) for a in (30, 210)
    )
    spring = spiral(at, 0.03 * r, 0.2 * r, 11)
    foot = around(MIDDLE, 0.9 * r, 228)
    cock = polygon([
        around(foot, 0.2 * r, 318), around(foot, 0.2 * r, 138), around(at, 0.085 * r, 130),
        around(at, 0.1 * r, 48), around(at, 0.085 * r, 326),
    ])  # fmt: skip
    top = jewel(at, 0.055 * r) + screw(around(MIDDLE, 0.84 * r, 222), 0.042 * r, 20)
    regulator = line(at, around(at, 0.22 * r, 285), Stroke(colour="#d9dcde", width=7)) + ring(
        at, 0.08 * r, Stroke(colour="#c9cdd0", width=7)
    )
    return well + spring + arms + rim + weights + bridge(cock, plate) + regulator + top


def spiral(at: Point, inner: float, outer: float, turns: int) -> str:
    """Return a hairspring."""
    count = turns * 24
    points = [around(at, inner + (outer - inner) * k / count, 15 * k) for k in range(count + 1)]
    data = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    return f'<path d="{data}" {Stroke(colour="#31436e", width=2.2).text}/>'


def toothed(at: Point, radius: float, teeth: int, metal: str, *, spokes: int) -> str:
    """Return a wheel with arms, its shadow and its pinion."""
    data = wheel(at, radius, teeth, depth=radius * 0.07)
    holes = "".join(
        path(opening(at, radius, 360 / spokes * k, 360 / spokes), "#17120b", 'fill-opacity="0.7"')
        for k in range(spokes)
    )
    return (
        path(data, "#000", SHADE)
        + path(data, f"url(#{metal})", EDGE)
        + holes
        + circle(at, radius * 0.13, "url(#steel)")
    )


def opening(at: Point, radius: float, start: float, span: float) -> str:
    """Return one gap between the arms of a wheel."""
    angles = [start + 9 + (span - 18) * k / 6 for k in range(7)]
    points = [around(at, 0.78 * radius, a) for a in angles]
    points += [around(at, 0.3 * radius, a) for a in (angles[-1] - 6, angles[0] + 6)]
    return polygon(points)


def ratchet(r: float) -> str:
    """Return the polished ratchet and crown wheels on the barrel bridge."""
    made = ""
    for at, size, teeth in (
        (around(MIDDLE, 0.5 * r, -14), 0.26 * r, 56),
        (around(MIDDLE, 0.55 * r, 44), 0.17 * r, 36),
    ):
        data = wheel(at, size, teeth, depth=size * 0.09)
        made += path(data, "#000", SHADE) + path(data, "url(#steel)", EDGE)
        made += "".join(
            ring(at, size * k / 14, Stroke(colour="#fff", width=1.6, opacity=0.22))
            for k in range(4, 12)
        )
        made += screw(at, size * 0.27, 35)
    return made


def chronograph(r: float) -> str:
    """Return the chronograph work: wheels, levers, column wheel."""
    middle = MIDDLE
    counter, column = around(middle, 0.5 * r, 300), around(middle, 0.62 * r, 62)
    made = ratchet_small(around(middle, 0.62 * r, 6), 0.19 * r)
    for points, width in (
        ((around(middle, 0.86 * r, 74), column, around(middle, 0.3 * r, 30)), 22),
        (
            (
                around(middle, 0.85 * r, 318),
                around(middle, 0.42 * r, 345),
                around(middle, 0.2 * r, 20),
            ),
            20,
        ),
        (
            (
                around(middle, 0.88 * r, 150),
                around(middle, 0.5 * r, 118),
                around(middle, 0.22 * r, 100),
            ),
            16,
        ),
        ((around(middle, 0.88 * r, 96), around(middle, 0.66 * r, 82), column), 18),
    ):
        made += lever(points, width)
    made += toothed(middle, 0.29 * r, 120, "gold", spokes=6)
    made += toothed(counter, 0.17 * r, 60, "gold", spokes=4)
    made += toothed(around(middle, 0.47 * r, 182), 0.14 * r, 72, "gold", spokes=4)
    made += column_wheel(column, 0.1 * r)
    made += "".join(
        screw(around(middle, q * r, a), 0.034 * r, a)
        for q, a in ((0.86, 74), (0.85, 318), (0.88, 150), (0.88, 96))
    )
    return made + jewel(middle, 0.035 * r) + jewel(counter, 0.03 * r)


def ratchet_small(at: Point, size: float) -> str:
    """Return the ratchet wheel of a chronograph."""
    data = wheel(at, size, 44, depth=size * 0.1)
    return path(data, "#000", SHADE) + path(data, "url(#steel)", EDGE) + screw(at, size * 0.3, 70)


def lever(points: tuple[Point, Point, Point], width: float) -> str:
    """Return a steel lever or spring."""
    (a, b, c) = points
    data = f"M{a[0]:.1f} {a[1]:.1f}Q{b[0]:.1f} {b[1]:.1f} {c[0]:.1f} {c[1]:.1f}"
    common = 'fill="none" stroke-linecap="round"'
    return (
        f'<path d="{data}" {common} stroke="#000" stroke-opacity="0.3" stroke-width="{width}" '
        'transform="translate(5 7)"/>'
        f'<path d="{data}" {common} stroke="#6b7176" stroke-width="{width}"/>'
        f'<path d="{data}" {common} stroke="#d8dcde" stroke-width="{width - 5}"/>'
        f'<path d="{data}" {common} stroke="#fff" stroke-opacity="0.6" stroke-width="{width / 4}"/>'
    )


def column_wheel(at: Point, size: float) -> str:
    """Return the column wheel, six columns standing on ratchet teeth."""
    base = path(wheel(at, size, 12, depth=size * 0.18), "url(#steel)", EDGE)
    columns = "".join(
        circle(around(at, 0.6 * size, 60 * k), 0.2 * size, "url(#blued)", EDGE) for k in range(6)
    )
    return base + columns + screw(at, 0.26 * size, 10)


def screw(at: Point, size: float, angle: float, metal: str = "blued") -> str:
    """Return a screw's head with its slot."""
    slot = box((at[0] - size, at[1] - size * 0.13), (2 * size, size * 0.26), "#0b0f1c")
    return (
        circle((at[0] + 2, at[1] + 3), size * 1.12, "#000", 'fill-opacity="0.4"')
        + circle(at, size, f"url(#{metal})", 'stroke="#0d1020" stroke-opacity="0.6"')
        + turned(slot, angle, at)
    )


def jewel(at: Point, size: float) -> str:
    """Return a ruby in a polished sink."""
    return (
        circle(at, 1.7 * size, "url(#gold-back)") + circle(at, 1.3 * size, "url(#gold)")
        + circle(at, size, "url(#ruby)") + circle(at, 0.22 * size, "#2a0610")
        + circle((at[0] - 0.35 * size, at[1] - 0.4 * size), 0.2 * size, "#fff", 'fill-opacity="0.8"')
    )  # fmt: skip


def rotor(watch: Watch, r: float) -> str:
    """Return the rotor, turned somewhere, with the name on it."""
    start = 40.0 + 17.0 * (len(watch.key) % 9)
    weight = sector_path(0.97 * r, 0.74 * r, start, start + 180)
    web = sector_path(0.76 * r, 0.0, start + 2, start + 178)
    plate = "gold" if watch.looks.metal == "gold" else "steel"
    shine = "".join(
        path(
            polygon(
                [
                    MIDDLE,
                    around(MIDDLE, 0.73 * r, start + a),
                    around(MIDDLE, 0.73 * r, start + a + 4),
                ]
            ),
            "#fff",
            'fill-opacity="0.08"',
        )
        for a in range(8, 172, 9)
    )
    maker = watch.dial_name.partition(" ")[0]
    text = "" if maker in ("", "no") else curved(maker, 0.855 * r, start + 90, 0.06 * r)
    hub = circle(MIDDLE, 0.13 * r, f"url(#{plate}-back)", EDGE) + screw(
        MIDDLE, 0.075 * r, 25, "steel"
    )
    return (
        path(web + weight, "#000", 'fill-opacity="0.3" transform="translate(9 14)"')
        + path(web, f"url(#{plate}-back)", EDGE) + shine + path(weight, f"url(#{plate})", EDGE) + text + hub
    )  # fmt: skip


def curved(text: str, radius: float, middle_deg: float, height: float) -> str:
    """Return letters along a circle."""
    step = 7.0
    first = middle_deg - step * (len(text) - 1) / 2
    return "".join(
        slanted(letter, radius, first + step * k, height=height)
        for k, letter in enumerate(text.upper())
    )


def slanted(text: str, radius: float, angle: float, *, height: float) -> str:
    """Return engraved letters at a place on a circle, their feet towards the middle."""
    at = around(MIDDLE, radius, angle)
    return turned(writing(text, at, height=height, colour="#3a3020"), angle, at)
