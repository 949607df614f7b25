"""The dial with the hours in which the date must not be set on its own: ruby; open is safe."""

from collections.abc import Iterator

from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Shape,
    ShapeRole,
    Text,
    on_circle,
    paragraph,
    sector,
)
from sideshake.movement.calendar import DialArc, QuickSet, RuleCheck, hand_time
from sideshake.movement.hand_times import FROM_TO, said_outward
from sideshake.wording import gettext as _
from sideshake.wording import noop

WIDTH, HEIGHT = 150.0, 186.0
CENTRE: Point = (75.0, 92.0)
SMALL = 118.0
SMALL_CENTRE: Point = (59.0, 59.0)
RIM, BAND, RULE, FIGURES = 46.0, 37.0, 33.0, 52.0
NOTE = 3.3
WIDE_RIM, WIDE_BAND = 57.0, 45.0
EIGHT_PT_MM = 8 / 72 * 25.4
NOT_TO_SET = {
    "date": noop("When not to set the date"),
    "day": noop("When not to set the day of the week"),
}


def dial_drawing(
    forbidden: QuickSet, rule: RuleCheck, *, title: str, warning: str = "", thing: str = "date"
) -> Drawing:
    """Return the dial with its forbidden and safe arcs, and the rule of thumb against them.

    `thing` is what is set: the date, or the day of the week.
    """
    start, end = hand_time(forbidden.start_h), hand_time(forbidden.end_h)
    said = f"Do not set the {thing} on its own from {start} to {end}."
    if forbidden.dial_h < 24:
        said += " This dial does not tell morning from evening: the arc counts twice a day."
    shapes: list[Shape] = [
        Text(at=(10, HEIGHT - 13), words=f"{title}: setting the {thing}", height=5.4, heading=True),
        *paragraph(Text(at=(10, HEIGHT - 21), words=said, height=NOTE), WIDTH - 20),
        *dial_face(forbidden, CENTRE, thing=thing),
        *rule_shapes(rule, forbidden.dial_h),
        *paragraph(Text(at=(10, 25), words=f"Brass arc: {rule.words}.", height=NOTE), WIDTH - 20),
    ]
    if warning:
        note = Text(at=(10, 15), words=warning, height=NOTE, role=ShapeRole.DANGER)
        shapes += paragraph(note, WIDTH - 20)
    return Drawing(
        title=f"Forbidden hours of {title}, the {thing}",
        width=WIDTH,
        height=HEIGHT,
        shapes=tuple(shapes),
        description=said,
    )


def bare_dial(forbidden: QuickSet, *, printed_mm: float, thing: str = "date") -> Drawing:
    """Return the dial alone, forbidden hours in ruby, for a card that says the rest in words.

    `printed_mm` is how wide it will be printed: its figures are 8 pt high there.
    """
    hours = said_outward(forbidden.start_h, forbidden.length_h, said=FROM_TO)
    return Drawing(
        title=_(NOT_TO_SET[thing]),
        width=SMALL,
        height=SMALL,
        shapes=tuple(bare_face(forbidden, EIGHT_PT_MM * SMALL / printed_mm)),
        description=_("A dial: the hours {hours} are marked as forbidden.").format(hours=hours),
    )


def bare_face(forbidden: QuickSet, letters: float) -> Iterator[Shape]:
    """Yield the ring, the forbidden arc, and every third hour inside."""
    dial_h, (bad, _good) = forbidden.dial_h, forbidden.arcs
    arc = arc_at(bad, WIDE_RIM, dial_h, role=ShapeRole.DANGER, centre=SMALL_CENTRE)
    yield Circle(centre=SMALL_CENTRE, radius=WIDE_RIM)
    yield Circle(centre=SMALL_CENTRE, radius=WIDE_BAND, role=ShapeRole.FINE)
    yield sector(arc, WIDE_BAND, fill=Fill.DANGER)
    quarter = round(dial_h / 4)
    for hour in range(1, round(dial_h) + 1):
        angle = angle_deg(hour, dial_h)
        foot, tip = (on_circle(SMALL_CENTRE, WIDE_BAND - r, angle) for r in (0.0, 2.0))
        yield DrawnLine(start=foot, end=tip)
        if hour % quarter == 0:
            x, y = on_circle(SMALL_CENTRE, WIDE_BAND - 3.0 - 0.6 * letters, angle)
            at = (x, y - 0.34 * letters)
            yield Text(at=at, words=str(hour), height=letters, anchor=Anchor.MIDDLE, heading=True)


def angle_deg(hours: float, dial_h: float) -> float:
    """Return where an hour stands: 12 at the top, clockwise, as a counter-clockwise angle."""
    return 90.0 - 360.0 * hours / dial_h


def arc_at(
    span: DialArc, radius: float, dial_h: float, *, role: ShapeRole, centre: Point = CENTRE
) -> Arc:
    """Return an arc of the dial; drawn counter-clockwise from its end to its start."""
    return Arc(
        centre=centre,
        radius=radius,
        start_deg=angle_deg(span.end_h, dial_h),
        end_deg=angle_deg(span.start_h, dial_h),
        role=role,
    )


def dial_face(forbidden: QuickSet, centre: Point, *, thing: str = "date") -> Iterator[Shape]:
    """Yield the ring, the two arcs with their words, the hours and the moment of the jump."""
    dial_h = forbidden.dial_h
    bad, good = forbidden.arcs
    yield Circle(centre=centre, radius=RIM)
    yield Circle(centre=centre, radius=BAND, role=ShapeRole.FINE)
    yield sector(
        arc_at(bad, RIM, dial_h, role=ShapeRole.DANGER, centre=centre), BAND, fill=Fill.DANGER
    )
    yield from arc_words(bad, "do not set", dial_h, role=ShapeRole.DANGER, centre=centre)
    yield from arc_words(good, "safe", dial_h, role=ShapeRole.OUTLINE, centre=centre)
    for hour in range(1, int(dial_h) + 1):
        angle = angle_deg(hour, dial_h)
        yield DrawnLine(
            start=on_circle(centre, RIM, angle), end=on_circle(centre, RIM + 1.8, angle)
        )
        x, y = on_circle(centre, FIGURES, angle)
        yield Text(at=(x, y - 1.6), words=str(hour), height=4.6, anchor=Anchor.MIDDLE, heading=True)
    jump = angle_deg(forbidden.engagement.jump_h.value, dial_h)
    yield DrawnLine(start=on_circle(centre, BAND - 1, jump), end=on_circle(centre, BAND - 6, jump))
    x, y = on_circle(centre, BAND - 9, jump)
    yield Text(at=(x, y - 1), words=f"the {thing} jumps", height=NOTE, anchor=Anchor.MIDDLE)


def arc_words(
    span: DialArc, words: str, dial_h: float, *, role: ShapeRole, centre: Point
) -> Iterator[Shape]:
    """Yield the words of an arc, inside its middle."""
    middle = angle_deg(span.start_h + span.length_h / 2, dial_h)
    x, y = on_circle(centre, BAND * 0.45, middle)
    yield Text(at=(x, y - 1), words=words, height=4.2, anchor=Anchor.MIDDLE, role=role)


def rule_shapes(rule: RuleCheck, dial_h: float) -> Iterator[Shape]:
    """Yield the rule of thumb as a brass arc inside the ring."""
    span = DialArc(start_h=rule.start_h, length_h=rule.end_h - rule.start_h, safe=rule.holds)
    yield arc_at(span, RULE, dial_h, role=ShapeRole.ACCENT)
    for hour in (rule.start_h, rule.end_h):
        angle = angle_deg(hour, dial_h)
        yield DrawnLine(
            start=on_circle(CENTRE, RULE - 1.5, angle),
            end=on_circle(CENTRE, RULE + 1.5, angle),
            role=ShapeRole.ACCENT,
        )
