"""A section through plate, barrel and bridge: the lean, the gap left, and where it touches.

Radii, span and plates are to scale. Plays, gaps and lean are drawn larger by a stated factor, and
the barrel thinner to make room for them; so the drawing touches where the watch does.
"""

import math
from dataclasses import dataclass, replace

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.drawings.hole_plan import hole_plan, thrust_arrow
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    paragraph,
    rectangle,
)
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.arbor_pose import ArborPose
from sideshake.wear.barrel import Barrel, BarrelSide
from sideshake.wear.bearing import displacement, side_shake
from sideshake.wear.measurements import Bench, Measurements, thickness
from sideshake.wear.rubbing import Rubbing
from sideshake.wear.tilt import along, arbor_now, slope_now, towards
from sideshake.wear.verdict import UNLIKELY, Verdict
from sideshake.wording import figures
from sideshake.wording import gettext as _

WIDTH, HEIGHT = 270.0, 190.0
SECTION_WIDTH = 176.0
ALONE_WIDTH, LABEL, NAMES = 188.0, 20.0, 14.0
"""The section alone: its width, and the room at its edges with and without the label."""
LETTERS = 3.7
AXIS_X, LOWER_Y = 94.0, 78.0
SCALES = (20.0, 15.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0)
SERIF_WIDTH = 0.56
"""A serif letter's width as a share of its height, about."""
LARGEST_FACTOR = 6
LEAST_HEIGHT_SHARE = 0.35
"""The barrel keeps at least this share of its height when gaps are drawn larger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionView:
    """What the section shows."""

    title: str
    sentence: str
    barrel: Barrel
    rubbing: Rubbing
    rim_radius_mm: Measured
    plate_mm: float
    bridge_mm: float
    running: ArborPose | None = None
    winding: ArborPose | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The drawn geometry in real millimetres, plays and gaps already enlarged."""

    scale: float
    factor: int
    span: float
    rim: float
    plate_top: float
    bridge_foot: float
    arbor_slope: float
    barrel_slope: float
    lower_x: float
    barrel_middle: float
    barrel_half: float
    touches: bool
    above: bool
    lower_y: float = LOWER_Y

    def place(self, x: float, z: float) -> Point:
        """Return the point of paper for a real radius and height."""
        return (AXIS_X + self.scale * x, self.lower_y + self.scale * z)

    def axis_x(self, z: float) -> float:
        """Return where the arbor's axis stands at a height."""
        return self.lower_x + self.arbor_slope * z

    def on_barrel(self, x: float, z: float) -> Point:
        """Return the point of paper for a point of the leaning barrel, from its own middle."""
        angle = math.atan(self.barrel_slope)
        middle = (self.axis_x(self.barrel_middle), self.barrel_middle)
        turned_x = x * math.cos(angle) + z * math.sin(angle)
        turned_z = -x * math.sin(angle) + z * math.cos(angle)
        return self.place(middle[0] + turned_x, middle[1] + turned_z)


def section_of(
    calibre: CalibreSheet, found: Measurements, lying: Bench, judged: Verdict
) -> SectionView:
    """Return what the section shows."""
    return SectionView(
        title=_("The barrel of a {calibre}").format(calibre=calibre.name)
        + (f": {found.watch}" if found.watch else ""),
        sentence=judged.sentence,
        barrel=lying.case.barrel,
        rubbing=judged.free,
        rim_radius_mm=lying.rim_radius_mm,
        plate_mm=thickness(calibre, found, "below"),
        bridge_mm=thickness(calibre, found, "above"),
        running=lying.case.running,
        winding=lying.case.winding,
    )


def section_drawing(view: SectionView) -> Drawing:
    """Return the sheet: section at the left, the two holes seen from the bridge at the right."""
    laid = layout(view)
    shapes = (
        *heading(view),
        *plates(view, laid),
        *arbor(view, laid),
        *barrel_body(view, laid),
        *measures(view, laid),
        *holes(view, laid),
        *foot(laid),
    )
    return Drawing(
        title=view.title,
        width=WIDTH,
        height=HEIGHT,
        shapes=shapes,
        scale=laid.scale,
        description=f"{view.sentence} Drawn {laid.scale:g}:1, plays and gaps {laid.factor} times.",
    )


def section_alone(view: SectionView) -> Drawing:
    """Return the section alone, for a page of text: its sentence and scale are the description.

    Printed 166 mm wide, as on A4, its letters are 9 pt high.
    """
    laid = layout(view)
    over, under = (LABEL, NAMES) if laid.above else (NAMES, LABEL)
    high = laid.scale * (laid.span + view.bridge_mm / 2) + over
    low = laid.scale * view.plate_mm / 2 + under
    laid = replace(laid, lower_y=low)
    return Drawing(
        title=view.title,
        width=ALONE_WIDTH,
        height=low + high,
        shapes=(
            *plates(view, laid), *arbor(view, laid), *barrel_body(view, laid),
            *measures(view, laid),
        ),
        scale=laid.scale,
        description=f"{view.sentence} {scale_words(laid)}",
    )  # fmt: skip


def scale_words(laid: Layout) -> str:
    """Return how much larger plays and gaps are drawn.

    No scale: a paper or a page sets the drawing as wide as it has room.
    """
    return _(
        "Section in the direction of the lean, lengths in mm; plays, gaps and lean drawn "
        "{times}\u00a0times larger."
    ).format(times=laid.factor)


def layout(view: SectionView) -> Layout:
    """Return the drawn geometry: scale, enlargement, and the lean stopped where it touches."""
    barrel, span, rim = view.barrel, view.barrel.arbor.span_mm.value, view.rim_radius_mm.value
    plate_top, bridge_foot = view.plate_mm / 2, span - view.bridge_mm / 2
    below, above = gap_of(barrel, BarrelSide.BELOW), gap_of(barrel, BarrelSide.ABOVE)
    free_height = bridge_foot - plate_top
    if below + above >= free_height:
        raise InputError(
            f"the gaps {below:g} and {above:g} mm leave no barrel between plate and bridge, which "
            f"are {free_height:g} mm apart: check span and thicknesses"
        )
    room = (1 - LEAST_HEIGHT_SHARE) * free_height
    factor = max(1, min(LARGEST_FACTOR, int(room / max(below + above, 1e-9))))
    moves = cut_moves(view)
    slope = abs(slope_now(barrel, view.rubbing.stance))
    stop = stopped_share(view, slope)
    is_above = view.rubbing.gap.side is not BarrelSide.BELOW
    rise = factor * barrel.endshake_mm.value / 2 * (1 if is_above else -1)
    low, high = plate_top + factor * below, bridge_foot - factor * above
    return Layout(
        scale=next((each for each in SCALES if each * 2 * (rim + 2) <= SECTION_WIDTH), SCALES[-1]),
        factor=factor,
        span=span,
        rim=rim,
        plate_top=plate_top,
        bridge_foot=bridge_foot,
        arbor_slope=factor * stop * (moves[1] - moves[0]) / span,
        barrel_slope=factor * stop * slope,
        lower_x=factor * stop * moves[0],
        barrel_middle=(low + high) / 2 + rise,
        barrel_half=(high - low) / 2,
        touches=view.rubbing.left_mm.value < 0,
        above=is_above,
    )


def gap_of(barrel: Barrel, side: BarrelSide) -> float:
    """Return the smallest gap on a side (mm); 0 if none is known."""
    return min((gap.gap_mm.value for gap in barrel.gaps if gap.side is side), default=0.0)


def cut_direction(view: SectionView) -> float:
    """Return the direction in which the section is cut: that of the lean (degrees)."""
    return towards(slope_now(view.barrel, view.rubbing.stance))


def cut_moves(view: SectionView) -> tuple[float, float]:
    """Return how far lower and upper pivot stand aside in the plane of the section (mm)."""
    way = cut_direction(view)
    lower, upper = arbor_now(view.barrel, view.rubbing.stance)
    return (float(along(lower, way)), float(along(upper, way)))


def stopped_share(view: SectionView, slope: float) -> float:
    """Return the share of the free lean at which the barrel meets the part, at most 1."""
    way = view.rubbing.gap.gap_mm.value - view.barrel.endshake_mm.value / 2
    needed = slope * view.rim_radius_mm.value
    return 1.0 if needed <= way else max(0.0, way / needed)


def heading(view: SectionView) -> tuple[Shape, ...]:
    """Return the title and the sentence across the head of the sheet."""
    size = min(7.0, (WIDTH - 24.0) / (SERIF_WIDTH * len(view.title)))
    title = Text(at=(12.0, HEIGHT - 15.0), words=view.title, height=size, heading=True)
    words = Text(at=(12.0, HEIGHT - 24.0), words=view.sentence, height=3.8, heading=True)
    rule = DrawnLine(
        start=(12.0, HEIGHT - 18.0), end=(WIDTH - 12.0, HEIGHT - 18.0), role=ShapeRole.ACCENT
    )
    return (title, rule, *paragraph(words, WIDTH - 26.0))


def plates(view: SectionView, laid: Layout) -> tuple[Shape, ...]:
    """Return plate and bridge, each in two halves beside its hole."""
    reach = laid.rim + 1.3
    return tuple(
        rectangle(laid.place(side * inner, low), laid.place(side * reach, high), fill=Fill.PLATE)
        for low, high, inner in (
            (-view.plate_mm / 2, laid.plate_top, hole_half(view, laid, upper=False)),
            (laid.bridge_foot, laid.span + view.bridge_mm / 2, hole_half(view, laid, upper=True)),
        )
        for side in (-1.0, 1.0)
    )


def hole_half(view: SectionView, laid: Layout, *, upper: bool) -> float:
    """Return the drawn half-width of a hole in the plane of the section (mm)."""
    bearing = view.barrel.arbor.upper if upper else view.barrel.arbor.lower
    half_play = displacement(bearing, cut_direction(view)).value
    return bearing.pivot_mm.value / 2 + laid.factor * half_play


def arbor(view: SectionView, laid: Layout) -> tuple[Shape, ...]:
    """Return the leaning arbor: two pivots and the thicker middle, with its axis."""
    pair = view.barrel.arbor
    pivots = (pair.lower.pivot_mm.value / 2, pair.upper.pivot_mm.value / 2)
    low, high = -view.plate_mm / 2 - 0.15, laid.span + view.bridge_mm / 2 + 0.35
    shoulder_low = laid.barrel_middle - laid.barrel_half - 0.03
    shoulder_high = laid.barrel_middle + laid.barrel_half + 0.03
    axis_low, axis_high = low - 0.5, high + 0.5
    return (
        leaning_bar(laid, low, shoulder_low, pivots[0]),
        leaning_bar(laid, shoulder_high, high, pivots[1]),
        leaning_bar(laid, shoulder_low, shoulder_high, core_half(view)),
        DrawnLine(
            start=laid.place(laid.axis_x(axis_low), axis_low),
            end=laid.place(laid.axis_x(axis_high), axis_high),
            role=ShapeRole.CENTRE,
        ),
    )


def leaning_bar(laid: Layout, low: float, high: float, half: float) -> Polyline:
    """Return a piece of the arbor between two heights."""
    corners = ((-half, low), (half, low), (half, high), (-half, high))
    points = tuple(laid.place(laid.axis_x(z) + x, z) for x, z in corners)
    return Polyline(points=points, closed=True, fill=Fill.STEEL)


def core_half(view: SectionView) -> float:
    """Return half the arbor's thickness inside the barrel (mm); a guess if it was not measured."""
    if view.barrel.inner:
        return view.barrel.inner.upper.pivot_mm.value / 2
    return 1.35 * view.barrel.arbor.upper.pivot_mm.value / 2


def inner_play(view: SectionView) -> float:
    """Return half the play of the barrel on its arbor (mm)."""
    return side_shake(view.barrel.inner.upper).value / 2 if view.barrel.inner else 0.0


def barrel_body(view: SectionView, laid: Layout) -> tuple[Shape, ...]:
    """Return the barrel's cut walls at both sides of the arbor, and the mark where it touches."""
    half, wall = laid.barrel_half, 0.28
    inner = core_half(view) + laid.factor * inner_play(view)
    pieces = []
    for side in (-1.0, 1.0):
        for x0, x1, z0, z1 in (
            (inner, laid.rim, half - wall * half, half),
            (inner, laid.rim, -half, -half + wall * half),
            (laid.rim - 0.75, laid.rim, -half, half),
        ):
            corners = ((side * x0, z0), (side * x1, z0), (side * x1, z1), (side * x0, z1))
            points = tuple(laid.on_barrel(x, z) for x, z in corners)
            pieces.append(Polyline(points=points, closed=True, fill=Fill.BRASS))
    return (*pieces, *touch_mark(laid))


def danger_corner(laid: Layout) -> Point:
    """Return the corner of the barrel nearest to the part in danger."""
    side = -1.0 if laid.above else 1.0
    return laid.on_barrel(side * laid.rim, laid.barrel_half if laid.above else -laid.barrel_half)


def touch_mark(laid: Layout) -> tuple[Shape, ...]:
    """Return a ruby ring round the place of contact, if there is one."""
    if not laid.touches:
        return ()
    return (Circle(centre=danger_corner(laid), radius=3.2, role=ShapeRole.DANGER),)


def measures(view: SectionView, laid: Layout) -> tuple[Shape, ...]:
    """Return the dimensions and names on the section."""
    edge = laid.place(laid.rim + 1.3, 0.0)[0]
    span = Dimension(
        start=(edge, laid.place(0.0, 0.0)[1]),
        end=(edge, laid.place(0.0, laid.span)[1]),
        words=_("span {size}").format(size=figures(f"{view.barrel.arbor.span_mm.value:.2f}")),
        offset=-9.0,
        height=LETTERS,
    )
    over = laid.place(0.0, laid.span + view.bridge_mm / 2)[1] + 2.5
    under = laid.place(0.0, -view.plate_mm / 2)[1] - 5.0
    names = (
        Text(at=(edge, over), words=_("bridge"), height=LETTERS, anchor=Anchor.END),
        Text(at=(laid.place(-laid.rim - 1.3, 0.0)[0], under), words=_("plate"), height=LETTERS),
    )
    return (span, *names, *danger_label(view, laid, over + 7.0 if laid.above else under - 7.0))


def danger_label(view: SectionView, laid: Layout, y: float) -> tuple[Shape, ...]:
    """Return what is left of the gap, or that it touches, with a leader from the place."""
    corner = danger_corner(laid)
    role = ShapeRole.DANGER if laid.touches else ShapeRole.ACCENT
    away = 3.2 if laid.touches else 0.0
    start = (corner[0], corner[1] + (away if laid.above else -away))
    foot_y = y - 1.5 if laid.above else y + 4.0
    at = (corner[0] - 4.0 if laid.above else corner[0] + 4.0, y)
    anchor = Anchor.START if laid.above else Anchor.END
    leader = DrawnLine(start=start, end=(corner[0], foot_y), role=role)
    words = danger_words(view, touches=laid.touches)
    return (leader, Text(at=at, words=words, height=3.8, anchor=anchor, role=role))


def danger_words(view: SectionView, *, touches: bool) -> str:
    """Return what is left of the gap, or that it touches and by how much."""
    part, left = _(view.rubbing.gap.name), view.rubbing.left_mm
    if not touches:
        return _("{gap} mm left to the {part}").format(gap=figures(left.text()), part=part)
    said = (
        _("touches the {part} ({size} mm too little)")
        if view.rubbing.probability > 1 - UNLIKELY
        else _("probably touches the {part} ({size} mm too little)")
    )
    return said.format(part=part, size=figures(f"{-left.value:.2f}"))


def holes(view: SectionView, laid: Layout) -> tuple[Shape, ...]:
    """Return the two holes as seen from the bridge, play enlarged, with the thrusts as arrows."""
    pair = view.barrel.arbor
    shapes: list[Shape] = []
    for bearing, name, y, upper in (
        (pair.upper, "hole above", 127.0, True),
        (pair.lower, "hole below", 63.0, False),
    ):
        shapes += hole_plan(bearing, name, (229.0, y), factor=laid.factor)
        for stance, word in ((view.winding, "winding"), (view.running, "under way")):
            if stance and not stance.taken:
                angle = stance.upper_deg if upper else stance.lower_deg
                shapes += thrust_arrow((229.0, y), angle, word)
    return tuple(shapes)


def foot(laid: Layout) -> tuple[Shape, ...]:
    """Return the statement of scale and enlargement at the foot."""
    words = (
        f"Section in the direction of the lean, {laid.scale:g}:1. Plays, gaps, endshake and lean "
        f"are drawn {laid.factor} times larger, the barrel thinner to make room. Lengths in mm, ± "
        "is twice the standard uncertainty. Holes seen from the bridge, pivot in the middle."
    )
    return paragraph(Text(at=(12.0, 16.0), words=words, height=2.83), WIDTH - 26.0)
