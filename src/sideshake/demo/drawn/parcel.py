"""The parcel in which a watch came."""

from random import Random

from sideshake.demo.drawn.ink import (
    MIDDLE,
    Point,
    Stroke,
    box,
    ellipse,
    line,
    path,
    polygon,
    turned,
)
from sideshake.demo.drawn.letters import writing
from sideshake.demo.shapes import Watch


def parcel(watch: Watch, random: Random) -> str:
    """Return the parcel as it arrived: cardboard, tape, label, perhaps string."""
    turn, w, h = random.uniform(-9, 9), random.uniform(760, 960), random.uniform(560, 700)
    x, y = 800 - w / 2, 600 - h / 2
    colours = random.choice(
        (
            ("#cfa878", "#a97e4c"),
            ("#c6a27a", "#97713f"),
            ("#d8bb92", "#b08d5c"),
            ("#b7ad9c", "#8d8371"),
        )
    )
    card = (
        f'<defs><linearGradient id="card" x1="0" y1="0" x2="1" y2="1"><stop offset="0" stop-color="{colours[0]}"/>'
        f'<stop offset="1" stop-color="{colours[1]}"/></linearGradient></defs>'
    )
    shadow = box((x + 22, y + 34), (w, h), "#1c150c", 'fill-opacity="0.28" rx="12"') + box(
        (x + 10, y + 16), (w, h), "#1c150c", 'fill-opacity="0.3" rx="8"'
    )
    fibres = "".join(
        line(
            (x + random.uniform(0, w), yy),
            (x + random.uniform(0, w), yy),
            Stroke(colour="#5f4320", width=1.4, opacity=0.10),
        )
        for yy in (y + 4 + k * (h - 8) / 60 for k in range(60))
    )
    seam = line((x, 600), (x + w, 600), Stroke(colour="#5f4320", width=4, opacity=0.6))
    tape = box((x - 4, 600 - 46), (w + 8, 92), "#e9dcb6", 'fill-opacity="0.62"') + box(
        (x - 4, 600 - 46), (w + 8, 14), "#fff", 'fill-opacity="0.3"'
    )
    label = label_on(
        (x + random.uniform(0.08, 0.4) * w, y + random.uniform(0.06, 0.12) * h), random
    )
    string = string_round(x, y, w, h) if random.random() < 0.4 else ""
    dent = path(
        polygon(
            [
                (x + w, y + h),
                (x + w - random.uniform(40, 130), y + h),
                (x + w, y + h - random.uniform(30, 110)),
            ]
        ),
        "#6d4d25",
        'fill-opacity="0.55"',
    )
    return card + turned(
        shadow
        + box((x, y), (w, h), "url(#card)", 'rx="6" stroke="#5f4320" stroke-opacity="0.6"')
        + fibres
        + seam
        + tape
        + dent
        + label
        + string,
        turn,
        MIDDLE,
    )


def label_on(at: Point, random: Random) -> str:
    """Return an address label; what is written is ours, the sender's place is left to the records."""
    paper = box(at, (380, 190), "#fbf8ee", 'rx="4" stroke="#8b7a5a" stroke-opacity="0.5"')
    lines = ("QUILLFOOT & DAUGHTER", "4 TENTER ROW", "ASHLINGMOOR")
    text = "".join(
        writing(words, (at[0] + 190, at[1] + 44 + 40 * k), height=20, colour="#25324d", weight=1.1)
        for k, words in enumerate(lines)
    )
    bars, x = "", at[0] + 70
    while x < at[0] + 310:
        width = random.choice((2, 3, 5))
        bars += box((x, at[1] + 148), (width, 26), "#222")
        x += width + random.choice((2, 4, 6))
    return paper + text + bars


def string_round(x: float, y: float, w: float, h: float) -> str:
    """Return string round the parcel with a knot."""
    made = ""
    for start, end in (
        ((x, y + 0.68 * h), (x + w, y + 0.68 * h)),
        ((x + 0.7 * w, y), (x + 0.7 * w, y + h)),
    ):
        made += line(
            (start[0] + 3, start[1] + 5),
            (end[0] + 3, end[1] + 5),
            Stroke(colour="#000", width=9, opacity=0.3),
        )
        made += line(start, end, Stroke(colour="#efe2c4", width=8)) + line(
            start, end, Stroke(colour="#a88d5c", width=2.5, opacity=0.6)
        )
    at = (x + 0.7 * w, y + 0.68 * h)
    return (
        made
        + ellipse(at, (24, 18), "#e6d6b2")
        + f'<path d="M{at[0]} {at[1]}q60 -70 110 -20M{at[0]} {at[1]}q-80 -50 -110 20" {Stroke(colour="#e6d6b2", width=7).text}/>'
    )
