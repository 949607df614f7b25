"""The front of a watch: dial, numerals, small dials, window, hands and glass."""

import math
from random import Random

from sideshake.demo.drawn.case import bezel, dial_radius, outside
from sideshake.demo.drawn.ink import (
    MIDDLE,
    Point,
    Stroke,
    around,
    blot,
    box,
    circle,
    line,
    path,
    polygon,
    ring,
    turned,
)
from sideshake.demo.drawn.letters import writing
from sideshake.demo.shapes import Looks, Watch

DIALS = {
    "cream": ("#f6ecd2", "#e3d0a3", "#2b2118"),
    "white": ("#fbfaf5", "#e6e3d9", "#22242a"),
    "enamel": ("#ffffff", "#f1f0ea", "#15161a"),
    "silver": ("#eeeeea", "#bfc0bc", "#23252b"),
    "black": ("#34332f", "#131311", "#e9d9ae"),
    "blue": ("#345a94", "#152c56", "#eef0f2"),
    "salmon": ("#f3c4a2", "#d89a72", "#3b2318"),
    "champagne": ("#f1e2b4", "#d2b777", "#3a2c14"),
    "grey": ("#b9bab6", "#80827f", "#1d1e20"),
}
ROMAN = ("XII", "I", "II", "III", "IIII", "V", "VI", "VII", "VIII", "IX", "X", "XI")
DARK = ("black", "blue")
LUME = "#c9b98a"
SMALL_SHARE = 0.27
"""Radius of a small dial, of the dial's."""


def front(watch: Watch, random: Random) -> str:
    """Return the watch from the front."""
    looks = watch.looks
    return (
        outside(looks)
        + bezel(looks)
        + face(watch, random)
        + hands(looks, random)
        + glass(dial_radius(looks))
        + glass_crack(looks, dial_radius(looks), random)
    )


def face(watch: Watch, random: Random) -> str:
    """Return the dial without hands."""
    looks, r = watch.looks, dial_radius(watch.looks)
    light, deep, ink = DIALS[looks.dial]
    ground = (
        f'<defs><radialGradient id="ground" cx="0.38" cy="0.32" r="0.85"><stop offset="0" '
        f'stop-color="{light}"/><stop offset="1" stop-color="{deep}"/></radialGradient></defs>'
    )
    metal_hands = "gold" if looks.dial == "champagne" or looks.metal == "gold" else "steel"
    return (
        ground
        + circle(MIDDLE, r, "url(#ground)")
        + sunburst(looks, r, random)
        + ageing(looks, r, random)
        + track(r, ink)
        + numerals(looks, r, ink, metal_hands)
        + name(watch, r, ink)
        + "".join(small_dial(at, looks, r, random) for at in small_places(looks, r))
        + window(looks, r, random)
    )


def sunburst(looks: Looks, r: float, random: Random) -> str:
    """Return fine rays of brushing; enamel and lacquer have none."""
    if looks.dial in ("enamel", "cream", "white", "black"):
        return ""
    rays = ""
    for k in range(90):
        start = 4.0 * k + random.uniform(-1, 1)
        bright = 0.5 + 0.5 * math.cos(math.radians(2 * (start + 35)))
        tips = [MIDDLE, around(MIDDLE, r, start), around(MIDDLE, r, start + 3.2)]
        rays += path(
            polygon(tips), "#fff", f'fill-opacity="{0.02 + 0.08 * bright * random.random():.3f}"'
        )
    return rays


def ageing(looks: Looks, r: float, random: Random) -> str:
    """Return the marks of age: a darker rim, spots, hair lines in enamel."""
    if looks.dial == "enamel":
        cracks = (hair_crack(r, random) for _ in range(round(4 * looks.age)))
        return "".join(cracks) + stain(looks, r, random)
    made = circle(MIDDLE, r, "url(#rim)", f'opacity="{looks.age:.2f}"')
    for _ in range(round(26 * looks.age)):
        at = around(MIDDLE, r * math.sqrt(random.random()) * 0.94, random.uniform(0, 360))
        made += blot(at, random.uniform(2, 9), random, fill="#5f3e16", opacity=0.7 * looks.age)
    if looks.stain_at is not None:
        return made + stain(looks, r, random)
    if looks.age > 0.5:
        at = around(MIDDLE, 0.72 * r, random.uniform(90, 250))
        made += blot(at, r * 0.22, random, fill="url(#stain)", opacity=0.7 * looks.age)
        made += blot(at, r * 0.12, random, fill="url(#stain)", opacity=0.8 * looks.age)
    return made


def stain(looks: Looks, r: float, random: Random) -> str:
    """Return the stain that is told of a dial, at its hour; nothing where none is told."""
    if looks.stain_at is None:
        return ""
    at = around(MIDDLE, 0.6 * r, 30 * looks.stain_at)
    return "".join(
        blot(at, share * r, random, fill=looks.stain, opacity=0.4) for share in (0.13, 0.09)
    )


def glass_crack(looks: Looks, r: float, random: Random) -> str:
    """Return a crack through the glass, bright beside dark; nothing where it is whole."""
    if looks.glass_cracked is None:
        return ""
    first, last = (around(MIDDLE, r, 30.0 * hour) for hour in looks.glass_cracked)
    points = [
        (first[0] + (last[0] - first[0]) * k / 9 + (0 < k < 9) * random.uniform(-14, 14),
         first[1] + (last[1] - first[1]) * k / 9 + (0 < k < 9) * random.uniform(-14, 14))
        for k in range(10)
    ]  # fmt: skip
    data = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    dark = path(data, "none", 'stroke="#20262c" stroke-width="3" stroke-opacity="0.55"')
    bright = 'stroke="#fff" stroke-width="2.4" stroke-opacity="0.9" transform="translate(3 2)"'
    return dark + path(data, "none", bright)


def hair_crack(r: float, random: Random) -> str:
    """Return a hair crack in enamel."""
    at, angle = around(MIDDLE, r * 0.97, random.uniform(0, 360)), random.uniform(0, 360)
    points = [at]
    for _ in range(5):
        angle += random.uniform(-30, 30)
        points.append(around(points[-1], r * 0.12, angle))
    data = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points if math.dist((x, y), MIDDLE) < r)
    return path(data, "none", 'stroke="#4b4438" stroke-width="1.6" stroke-opacity="0.6"')


def track(r: float, ink: str) -> str:
    """Return the minute track."""
    marks = "".join(
        line(
            around(MIDDLE, 0.955 * r, 6 * k),
            around(MIDDLE, (0.905 if k % 5 == 0 else 0.925) * r, 6 * k),
            Stroke(colour=ink, width=4 if k % 5 == 0 else 1.8, opacity=0.9),
        )
        for k in range(60)
    )
    fine = Stroke(colour=ink, width=1.6, opacity=0.75)
    return marks + ring(MIDDLE, 0.955 * r, fine) + ring(MIDDLE, 0.925 * r, fine)


def numerals(looks: Looks, r: float, ink: str, metal: str) -> str:
    """Return the hours, left out where a small dial or a window stands."""
    taken = taken_hours(looks)
    return "".join(
        hour_mark(looks, hour, r, ink=ink, metal=metal) for hour in range(12) if hour not in taken
    )


def taken_hours(looks: Looks) -> tuple[int, ...]:
    """Return the hours that have no room."""
    small = {0: (), 1: (6,), 2: (3, 9), 3: (3, 6, 9)}[looks.counters]
    return (*small, *((3,) if looks.window != "none" else ()))


def hour_mark(looks: Looks, hour: int, r: float, *, ink: str, metal: str) -> str:
    """Return one hour's numeral, baton or dot."""
    at, angle = around(MIDDLE, 0.765 * r, 30 * hour), 30.0 * hour
    figures = looks.numerals == "arabic" or (looks.numerals == "twelve-six" and hour % 6 == 0)
    lit = LUME if looks.lume else ink
    if figures:
        return writing(str(hour or 12), at, height=0.155 * r, colour=lit, weight=1.55)
    if looks.numerals == "roman":
        turn = angle if hour not in (4, 5, 6, 7, 8) else angle + 180
        letters = writing(ROMAN[hour], at, height=0.15 * r, colour=ink, weight=1.3)
        return turned(letters, turn, at)
    if looks.numerals == "dots":
        return circle(at, 0.052 * r, lit) + circle(
            (at[0] - 4, at[1] - 4), 0.018 * r, "#fff", 'fill-opacity="0.5"'
        )
    return baton(angle, r, metal, wide=hour == 0, lume=looks.lume)


def baton(angle: float, r: float, metal: str, *, wide: bool, lume: bool) -> str:
    """Return an applied baton with its shadow."""
    half, top, low = 0.02 * r * (1.7 if wide else 1.0), 0.87 * r, 0.68 * r
    x, y = MIDDLE
    shape = box(
        (x - half, y - top),
        (2 * half, top - low),
        f"url(#{metal})",
        'rx="2" stroke="#221c12" stroke-opacity="0.55"',
    )
    dark = box(
        (x - half + 4, y - top + 4), (2 * half, top - low), "#000", 'fill-opacity="0.25" rx="2"'
    )
    light = box((x - half * 0.4, y - top + 8), (half * 0.8, top - low - 16), LUME) if lume else ""
    return turned(dark + shape + light, angle, MIDDLE)


def name(watch: Watch, r: float, ink: str) -> str:
    """Return the name on the dial."""
    if watch.dial_name in ("", "no name"):
        return ""
    first, _, second = (
        watch.dial_name.partition(" ") if len(watch.dial_name) > 11 else (watch.dial_name, "", "")
    )
    if first.upper() == "PELL":
        first, second = watch.dial_name.partition(",")[0], ""
    x, y = MIDDLE
    high = y - 0.42 * r
    made = writing(first, (x, high), height=0.062 * r, colour=ink, weight=1.15)
    return made + writing(second, (x, high + 0.1 * r), height=0.04 * r, colour=ink, weight=1.1)


def small_places(looks: Looks, r: float) -> list[Point]:
    """Return the middles of the small dials."""
    angles = {0: (), 1: (180,), 2: (90, 270), 3: (90, 180, 270)}[looks.counters]
    return [around(MIDDLE, 0.46 * r if looks.counters > 1 else 0.52 * r, a) for a in angles]


def small_dial(at: Point, looks: Looks, r: float, random: Random) -> str:
    """Return a small dial with its hand."""
    light, deep, ink = DIALS[looks.dial]
    size = SMALL_SHARE * r
    fine = Stroke(colour=ink, width=1.6, opacity=0.8)
    rings = "".join(
        ring(at, size * share, Stroke(colour=ink, width=0.9, opacity=0.10))
        for share in (0.3, 0.4, 0.5, 0.6, 0.7)
    )
    marks = "".join(
        line(
            around(at, 0.93 * size, 12 * k),
            around(at, (0.74 if k % 5 == 0 else 0.83) * size, 12 * k),
            fine,
        )
        for k in range(30)
    )
    figures = "".join(
        writing(
            str(k * 5 * (2 if looks.counters < 3 else 1)),
            around(at, 0.56 * size, 60 * k),
            height=0.17 * size,
            colour=ink,
        )
        for k in (2, 4, 6)
    )
    angle = random.uniform(0, 360) if looks.counters == 1 else random.choice((0.0, 24.0, 96.0, 0.0))
    tip, tail = around(at, 0.86 * size, angle), around(at, 0.25 * size, angle + 180)
    hand = line(
        (tail[0] + 4, tail[1] + 5),
        (tip[0] + 4, tip[1] + 5),
        Stroke(colour="#000", width=5, opacity=0.2),
    )
    hand += line(tail, tip, Stroke(colour=hand_colour(looks), width=5)) + circle(
        at, 9, hand_colour(looks)
    )
    sunk = circle(at, size, deep, 'fill-opacity="0.55"') + circle(
        (at[0] + 2, at[1] + 3), size - 3, light, 'fill-opacity="0.55"'
    )
    return (
        sunk
        + rings
        + ring(at, size, Stroke(colour=ink, width=2.2, opacity=0.55))
        + marks
        + figures
        + hand
    )


def window(looks: Looks, r: float, random: Random) -> str:
    """Return the date's window, and the day's."""
    if looks.window == "none":
        return ""
    x, y = around(MIDDLE, 0.72 * r, 90)
    day = random.choice(("MON", "TUE", "WED", "THU", "FRI"))
    width = 0.2 * r if looks.window == "date" else 0.42 * r
    left = x + 0.1 * r - width
    frame = box(
        (left - 5, y - 0.075 * r - 5),
        (width + 10, 0.15 * r + 10),
        "url(#steel)",
        'rx="5" stroke="#222" stroke-opacity="0.5"',
    )
    paper = box((left, y - 0.075 * r), (width, 0.15 * r), "#fbfaf4", 'rx="2"')
    shade = box((left, y - 0.075 * r), (width, 0.03 * r), "#000", 'fill-opacity="0.18"')
    date_at = (x, y)
    made = (
        frame
        + paper
        + shade
        + writing(
            str(random.randint(1, 31)), date_at, height=0.095 * r, colour="#1c1c1c", weight=1.3
        )
    )
    if looks.window == "day-date":
        made += writing(day, (x - 0.215 * r, y), height=0.085 * r, colour="#1c1c1c", weight=1.2)
    return made


def hand_colour(looks: Looks) -> str:
    """Return the fill of the hands."""
    if looks.dial in DARK:
        return "url(#steel)" if looks.dial == "blue" else "url(#gold)"
    if looks.hands in ("leaf", "spade"):
        return "url(#blued)"
    return "url(#gold)" if looks.metal in ("gold", "rose") else "#2c2a28"


def hands(looks: Looks, random: Random) -> str:
    """Return hour and minute hand, and the long seconds hand where there is one."""
    r = dial_radius(looks)
    hour, minute = random.choice(((10, 9), (1, 51), (8, 18), (10, 10), (7, 22)))
    fill = hand_colour(looks)
    made = with_shadow(hand_path(looks, 0.5 * r, 1.25), fill, 30 * hour + minute / 2, looks)
    made += with_shadow(hand_path(looks, 0.84 * r, 1.0), fill, 6 * minute, looks)
    if looks.counters != 1:
        angle = 0.0 if looks.counters > 1 else random.uniform(0, 360)
        made += sweep(
            angle, 0.88 * r, "#8c1f1a" if looks.counters == 0 and looks.dial not in DARK else fill
        )
    return (
        made
        + circle(MIDDLE, 19, fill)
        + circle((MIDDLE[0] - 3, MIDDLE[1] - 3), 9, "#fff", 'fill-opacity="0.35"')
    )


def hand_path(looks: Looks, length: float, broad: float) -> str:
    """Return the outline of a hand that points to 12."""
    (x, y), w = MIDDLE, 15 * broad
    tail, tip = y + 0.16 * length, y - length
    if looks.hands == "leaf":
        return f"M{x} {tip}C{x + 1.7 * w} {y - 0.55 * length} {x + 1.2 * w} {y - 0.3 * length} {x + 4} {y}V{tail}H{x - 4}V{y}C{x - 1.2 * w} {y - 0.3 * length} {x - 1.7 * w} {y - 0.55 * length} {x} {tip}Z"
    if looks.hands == "spade":
        neck = y - 0.66 * length
        return f"M{x} {tip}L{x + 4} {neck - 40}C{x + 46 * broad} {neck + 6} {x + 20} {neck + 26} {x + 5} {neck + 6}L{x + 6} {tail}H{x - 6}L{x - 5} {neck + 6}C{x - 20} {neck + 26} {x - 46 * broad} {neck + 6} {x - 4} {neck - 40}Z"
    if looks.hands == "syringe":
        return f"M{x} {tip}L{x + 3} {y - 0.72 * length}H{x + w}V{y - 0.22 * length}H{x + 5}V{tail}H{x - 5}V{y - 0.22 * length}H{x - w}V{y - 0.72 * length}H{x - 3}Z"
    if looks.hands == "dauphine":
        return f"M{x} {tip}L{x + 1.35 * w} {y - 0.12 * length}L{x} {tail}L{x - 1.35 * w} {y - 0.12 * length}Z"
    return f"M{x - 0.62 * w} {tip}H{x + 0.62 * w}V{tail}H{x - 0.62 * w}Z"


def with_shadow(data: str, fill: str, angle: float, looks: Looks) -> str:
    """Return a hand, its shadow on the dial, its ridge, and luminous paint."""
    dark = path(
        data,
        "#000",
        f'fill-opacity="0.24" transform="translate(7 10) rotate({angle:.1f} {MIDDLE[0]} {MIDDLE[1]})"',
    )
    made = path(data, fill, 'stroke="#15120c" stroke-opacity="0.55" stroke-width="1.5"')
    if looks.hands == "dauphine":
        made += path(
            data,
            "#fff",
            f'fill-opacity="0.28" clip-path="inset(0)" transform="translate({MIDDLE[0] * 0.5} 0) scale(0.5 1)"',
        )
    if looks.lume:
        y = MIDDLE[1]
        made += f'<path d="M{MIDDLE[0]} {y - 100}V{y - 205}" stroke="{LUME}" stroke-width="10" stroke-linecap="round"/>'
    return dark + turned(made, angle, MIDDLE)


def sweep(angle: float, length: float, fill: str) -> str:
    """Return a long thin seconds hand with a counterweight."""
    (x, y) = MIDDLE
    data = f"M{x - 2} {y - length}H{x + 2}L{x + 4} {y + 95}H{x - 4}Z"
    weight = circle((x, y + 78), 13, fill)
    dark = f'<g transform="translate(9 13) rotate({angle:.1f} {x} {y})" opacity="0.22">{path(data, "#000")}</g>'
    return dark + turned(path(data, fill) + weight, angle, MIDDLE)


def glass(r: float) -> str:
    """Return the light on the glass."""
    x, y = MIDDLE
    moon = (
        f"M{x - 0.9 * r} {y - 0.2 * r}A{0.93 * r} {0.93 * r} 0 0 1 {x + 0.35 * r} {y - 0.86 * r}"
        f"A{1.25 * r} {1.25 * r} 0 0 0 {x - 0.9 * r} {y - 0.2 * r}Z"
    )
    return circle(MIDDLE, r, "url(#dome)") + path(moon, "url(#gleam)", 'opacity="0.75"')
