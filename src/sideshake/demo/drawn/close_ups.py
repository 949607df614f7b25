"""Close-ups: a worn hole, a broken wheel, burn marks, an arc, scratches, rust, the parcel."""

from collections.abc import Callable
from random import Random

from sideshake.demo.drawn.burns import burn_marks
from sideshake.demo.drawn.ink import (
    MIDDLE,
    WHOLE_PAGE,
    Point,
    Stroke,
    around,
    blot,
    box,
    circle,
    ellipse,
    line,
    path,
    polygon,
    ring,
    turned,
    wheel,
)
from sideshake.demo.drawn.letters import writing
from sideshake.demo.drawn.movement import jewel, screw
from sideshake.demo.drawn.parcel import parcel
from sideshake.demo.drawn.scene import shadow_under
from sideshake.demo.shapes import Watch
from sideshake.demo.visit import Picture


def brushed(metal: str, random: Random, *, angle: float = 12.0) -> str:
    """Return a surface of metal that fills the picture, with the strokes of its finish."""
    strokes = "".join(
        line(
            (-300, y), (1900, y + random.uniform(-3, 3)),
            Stroke(colour=random.choice(("#fff", "#000")), width=random.uniform(0.8, 3), opacity=0.07),
        )
        for y in range(-300, 1500, 7)
    )  # fmt: skip
    return box(*WHOLE_PAGE, f"url(#{metal})") + turned(strokes, angle, MIDDLE)


PX_PER_MM = 480.0
"""Of the microscope's picture: its scale bar and the hole in it agree."""
WORN_MM = (0.936, 1.012)
"""How wide and long the worn hole is: as the findings say and the sizes are measured."""


def oval_hole(watch: Watch, random: Random) -> str:
    """Return the barrel bridge with its hole worn oval, seen through the microscope."""
    lean = random.uniform(-14, 14)
    polished = circle(MIDDLE, 330, "url(#brass-back)") + ring(
        MIDDLE, 330, Stroke(colour="#6b4f1e", width=3, opacity=0.5)
    )
    rings = "".join(
        ring(MIDDLE, 205 + 9 * k, Stroke(colour="#fff3cf", width=3, opacity=0.14))
        for k in range(13)
    )
    hole = (WORN_MM[0] * PX_PER_MM / 2, WORN_MM[1] * PX_PER_MM / 2)
    worn = ellipse(MIDDLE, hole, "url(#gold)") + ellipse((800, 588), (208, 230), "#3a2a10")
    crescent = path(
        "M668 500C680 400 750 350 800 350C850 350 920 400 932 500C910 430 860 390 800 390C740 390 690 430 668 500Z",
        "#fff6d8", 'fill-opacity="0.85"',
    )  # fmt: skip
    dark = ellipse((800, 604), (200, 216), "#120d07") + ellipse(
        (770, 640), (90, 110), "#4b3718", 'fill-opacity="0.35"'
    )
    scores = "".join(
        f'<path d="M{640 + 3 * k} {470 - 9 * k}Q800 {310 - 6 * k} {960 - 3 * k} {470 - 9 * k}" '
        f"{Stroke(colour='#5c3f10', width=2, opacity=0.35).text}/>"
        for k in range(9)
    )
    oil = "".join(
        blot(
            around(MIDDLE, 250, random.uniform(90, 270)),
            random.uniform(14, 46),
            random,
            fill="#2c1c08",
            opacity=0.5,
        )
        for _ in range(9)
    )
    parts = screw((250, 930), 92, 30) + screw((1380, 210), 80, 80)
    return (
        brushed("brass", random, angle=24)
        + polished
        + rings
        + turned(worn + wider(scores + crescent) + dark, lean, MIDDLE)
        + oil
        + parts
        + scale_bar("0.5 MM", PX_PER_MM / 2)
    )


def wider(drawn: str) -> str:
    """Return what lies in the hole, as wide as the hole is drawn."""
    x, y = MIDDLE
    return f'<g transform="translate({x} {y}) scale(1.19 1.07) translate({-x} {-y})">{drawn}</g>'


def scale_bar(text: str, length: float) -> str:
    """Return the microscope's scale."""
    stroke = Stroke(colour="#1f1a12", width=5)
    x, y = 1270.0, 1090.0
    return (
        box((x - 40, y - 60), (length + 80, 110), "#f6efdd", 'fill-opacity="0.8" rx="10"')
        + line((x, y), (x + length, y), stroke) + line((x, y - 14), (x, y + 14), stroke)
        + line((x + length, y - 14), (x + length, y + 14), stroke)
        + writing(text, (x + length / 2, y - 32), height=26, colour="#1f1a12", weight=1.3)
    )  # fmt: skip


def broken_tooth(watch: Watch, random: Random) -> str:
    """Return the white polymer corrector, its hub split and two teeth gone."""
    yellow = watch.calibre == "brisenthal-28"
    light, deep, edge = (
        ("#f3e2ac", "#cfae62", "#8a6a28") if yellow else ("#fbfaf3", "#d5d1c2", "#8f8a7a")
    )
    ground = (
        f'<defs><radialGradient id="poly" cx="0.36" cy="0.3" r="0.9"><stop offset="0" stop-color="{light}"/>'
        f'<stop offset="1" stop-color="{deep}"/></radialGradient></defs>'
    )
    gap = random.uniform(-20, 40)
    hub = (800.0, 620.0)
    body = wheel(hub, 380, 20, depth=84)
    cut = circle(around(hub, 372, gap), 66, "url(#steel-back)") + circle(
        around(hub, 376, gap + 18), 62, "url(#steel-back)"
    )
    rough = "".join(
        path(
            polygon(
                [
                    around(hub, 306, gap + a),
                    around(hub, 322 + random.uniform(0, 16), gap + a + 3),
                    around(hub, 304, gap + a + 6),
                ]
            ),
            "url(#poly)",
        )
        for a in range(-10, 28, 6)
    )
    crack = "M" + "L".join(
        f"{x:.1f} {y:.1f}"
        for x, y in (
            around((hub[0] + random.uniform(-9, 9), hub[1]), q, 158 + 3 * (k % 2))
            for k, q in enumerate(range(86, 310, 26))
        )
    )
    split = f'<path d="{crack}" {Stroke(colour="#3b2d14", width=7, opacity=0.85).text}/><path d="{crack}" transform="translate(4 0)" {Stroke(colour="#fff", width=2.5, opacity=0.7).text}/>'
    recess = ring(hub, 230, Stroke(colour=edge, width=5, opacity=0.5)) + ring(
        hub, 236, Stroke(colour="#fff", width=4, opacity=0.6)
    )
    post = (
        circle(hub, 104, "#2a2217", 'fill-opacity="0.35"')
        + circle(hub, 88, "url(#steel)")
        + circle(hub, 60, "url(#steel-back)")
        + circle((hub[0] - 20, hub[1] - 24), 18, "#fff", 'fill-opacity="0.7"')
    )
    crumbs = "".join(
        path(
            polygon([around(at, random.uniform(8, 20), a) for a in (10, 130, 220, 300)]),
            "url(#poly)",
            f'stroke="{edge}" stroke-opacity="0.6"',
        )
        for at in ((1330.0, 300.0), (1290.0, 380.0), (1400.0, 420.0))
    )
    shadow = path(body, "#000", 'fill-opacity="0.35" transform="translate(16 24)"')
    return (
        brushed("steel", random)
        + ground
        + shadow
        + path(body, "url(#poly)", f'stroke="{edge}" stroke-opacity="0.7" stroke-width="3"')
        + cut
        + rough
        + recess
        + split
        + post
        + crumbs
        + screw((190, 210), 84, 40)
    )


def rotor_arc(watch: Watch, random: Random) -> str:
    """Return the inside of a case back with the bright arc that a rotor has ground."""
    r = 520.0
    disc = (
        shadow_under(MIDDLE, r)
        + circle(MIDDLE, r + 22, "url(#steel)")
        + circle(MIDDLE, r - 16, "url(#steel-back)")
    )
    rings = "".join(
        ring(MIDDLE, 60 + 12 * k, Stroke(colour="#fff" if k % 2 else "#000", width=2, opacity=0.06))
        for k in range(36)
    )
    start = random.uniform(150, 210)
    arcs = ""
    for k in range(26):
        q, a, b = (
            random.uniform(392, 428),
            start + random.uniform(-6, 30),
            start + random.uniform(90, 150),
        )
        (x0, y0), (x1, y1) = around(MIDDLE, q, a), around(MIDDLE, q, b)
        arcs += f'<path d="M{x0} {y0}A{q:.1f} {q:.1f} 0 0 1 {x1} {y1}" {Stroke(colour="#fff" if k % 3 else "#4a463e", width=random.uniform(1.5, 6), opacity=random.uniform(0.3, 0.85)).text}/>'
    filings = "".join(
        circle(
            around(MIDDLE, random.uniform(360, 470), start + random.uniform(60, 170)),
            random.uniform(1.2, 3.6),
            "#3b3a38",
            'fill-opacity="0.8"',
        )
        for _ in range(110)
    )
    stamp = writing(
        watch.case_serial.partition(",")[0].replace("none", ""),
        MIDDLE,
        height=64,
        colour="#4b4a47",
        weight=0.9,
    )
    marks = writing(
        "".join(c for c in watch.repairers_marks if c.isascii())[:12],
        (800, 720),
        height=26,
        colour="#5c5a55",
        weight=0.6,
    )
    return disc + rings + arcs + filings + stamp + marks


def scratches(watch: Watch, random: Random) -> str:
    """Return a screw that a wrong screwdriver has slipped off."""
    metal = "brass" if watch.looks.metal in ("gold", "rose") else "nickel"
    at = (780.0, 600.0)
    made = brushed(metal, random, angle=40)
    edge = polygon([(0, 980), (560, 900), (900, 1010), (1600, 860), (1600, 1200), (0, 1200)])
    made += (
        path(edge, "#1a140b", 'fill-opacity="0.75"')
        + f'<path d="M0 980L560 900L900 1010L1600 860" {Stroke(colour="#fff6d5", width=8, opacity=0.7).text}/>'
    )
    made += circle(at, 262, f"url(#{metal}-back)") + screw(at, 222, 38)
    for _ in range(16):
        start = around(
            at, random.uniform(60, 210), random.choice((128, 308)) + random.uniform(-24, 24)
        )
        end = around(start, random.uniform(80, 420), 128 + random.uniform(-26, 26))
        made += line(
            start,
            end,
            Stroke(
                colour=random.choice(("#fff", "#2a2010")),
                width=random.uniform(1.5, 5.5),
                opacity=random.uniform(0.4, 0.8),
            ),
        )
    burrs = "".join(
        path(
            polygon([around(at, 205, a), around(at, 232, a + 4), around(at, 200, a + 9)]),
            "#c7d0e6",
            'fill-opacity="0.9"',
        )
        for a in (118, 124, 133, 300, 309, 315)
    )
    return made + burrs + jewel((1250, 330), 92) + scale_bar("0.5 MM", 220)


def rust(watch: Watch, random: Random) -> str:
    """Return the setting work with rust on the steel."""
    made = brushed("nickel", random, angle=8)
    for data in (
        "M300 260C520 220 640 380 700 560C740 690 660 820 540 830C470 832 500 700 520 610C520 480 420 380 280 360Z",
        "M880 300L1330 360L1350 470L980 450C930 560 1010 700 1130 760L1080 860C880 800 780 600 880 300Z",
    ):
        made += path(data, "#000", 'fill-opacity="0.35" transform="translate(12 18)"') + path(
            data, "url(#steel)", 'stroke="#333" stroke-opacity="0.6" stroke-width="3"'
        )
    made += (
        path(wheel((820, 960), 190, 22, depth=40), "url(#steel)", 'stroke="#333" stroke-width="3"')
        + screw((820, 960), 70, 15, "steel")
        + screw((420, 330), 74, 60, "steel")
        + screw((1130, 400), 66, 10, "steel")
    )
    centres: list[Point] = [
        (560, 640),
        (480, 420),
        (980, 560),
        (1180, 420),
        (820, 960),
        (640, 780),
        (430, 330),
    ]
    for _ in range(120):
        at = around(random.choice(centres), random.uniform(0, 120), random.uniform(0, 360))
        made += blot(
            at,
            random.uniform(8, 38),
            random,
            fill=random.choice(("#8a3d12", "#a9571d", "#5b270c", "#c4772f")),
            opacity=0.62,
        )
    crystals = "".join(
        circle(
            (random.uniform(100, 1500), random.uniform(100, 1100)),
            random.uniform(2, 7),
            "#fff",
            'fill-opacity="0.75"',
        )
        for _ in range(90)
    )
    return made + crystals


CLOSE_UPS: dict[Picture, Callable[[Watch, Random], str]] = {
    "oval-hole": oval_hole,
    "broken-tooth": broken_tooth,
    "burn-marks": burn_marks,
    "rotor-arc": rotor_arc,
    "scratches": scratches,
    "rust": rust,
    "parcel": parcel,
}
