"""A jewel or bush in two views, first angle, with all that its maker needs to know of its shape.

At the left cut along its axis, the outer face to the left; at the right as seen from the left.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.drawings.drawing_signs import (
    FRAME,
    LETTER,
    datum_sign,
    dotted,
    frame_wide,
    pointing,
    runout_frame,
    squareness_frame,
    texture,
    texture_width,
)
from sideshake.drawings.shapes import (
    LETTER_WIDTH,
    Anchor,
    Circle,
    Dimension,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    Shape,
    ShapeRole,
    Text,
    line_width,
)
from sideshake.fit.jewel import (
    HOLE_TOLERANCE_MM,
    OUTSIDE_TOLERANCE_MM,
    THICKNESS_TOLERANCE_MM,
    Part,
)
from sideshake.fit.limits import LARGEST_MM, limits
from sideshake.fit.making import (
    CHAMFER_TOLERANCE_MM,
    OLIVE_TOLERANCE_MM,
    RUNOUT_MM,
    SINK_TOLERANCE_MM,
    SQUARE_MM,
    Sink,
    edge_radius_mm,
    olive_radius_mm,
    roughness,
    sink_of,
)
from sideshake.fit.materials import RUBY

OUTSIDE_CLASS, HOLE_CLASS = "js6", "JS6"
"""Limits of ±0.003 mm, as the fit reckons with."""
DATUM, HOLE_DATUM = "A", "B"
HOLE_OFF, RUNOUT_OFF, SINK_OFF, OUTSIDE_OFF = 44.0, 36.0, 10.0, 12.0
SQUARE_OFF, SQUARE_BELOW = 8.0, 21.0
"""How far right of the flat face and below the part its squareness stands."""
BELOW, LEADER, BELOW_DATUM = 10.0, 9.0, 23.0
"""How far from the part a dimension line, a leader or the line of a texture lies, mm of paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Views:
    """Where the two views lie on the sheet; `scale` is drawn size over real size."""

    part: Part
    scale: float
    cut: Point
    end: Point

    @property
    def half(self) -> float:
        """Return half the drawn thickness."""
        return self.scale * self.part.thickness_mm / 2

    @property
    def rim(self) -> float:
        """Return the drawn radius of the outside."""
        return self.scale * self.part.outside_mm / 2

    @property
    def hole(self) -> float:
        """Return the drawn radius of the hole."""
        return self.scale * self.part.hole_mm / 2

    def at(self, along: float, across: float) -> Point:
        """Return a point of the cut: along the axis to the right, across it upwards; drawn mm."""
        return (self.cut[0] + along, self.cut[1] + across)

    def seen(self, right: float, up: float) -> Point:
        """Return a point of the view from the left; drawn mm from its middle."""
        return (self.end[0] + right, self.end[1] + up)


def part_views(views: Views) -> tuple[Shape, ...]:
    """Return both views with their dimensions and signs."""
    return (
        *cut_view(views),
        *end_view(views),
        *cut_dimensions(views),
        *cut_signs(views),
        *end_signs(views),
    )


def fill_of(part: Part) -> Fill:
    """Return the filling of a cut part's material."""
    return Fill.JEWEL_CUT if part.material == RUBY else Fill.BRASS_CUT


def cut_view(views: Views) -> Iterator[Shape]:
    """Yield the part cut along its axis: both halves, the edges seen behind, the axis."""
    profile = half_profile(views.part)
    for side in (1.0, -1.0):
        drawn = tuple(views.at(views.scale * z, side * views.scale * r) for z, r in profile)
        yield Polyline(points=drawn, closed=True, fill=fill_of(views.part))
    for z, r in behind(views.part):
        reach = views.scale * r
        ends = (views.at(views.scale * z, -reach), views.at(views.scale * z, reach))
        yield DrawnLine(start=ends[0], end=ends[1])
    beyond = views.half + 5.0
    yield DrawnLine(start=views.at(-beyond, 0.0), end=views.at(beyond, 0.0), role=ShapeRole.CENTRE)


def half_profile(part: Part) -> tuple[tuple[float, float], ...]:
    """Return the cut part above its axis: (along, radius) in real mm, from the outer face on."""
    half, rim, chamfer = part.thickness_mm / 2, part.outside_mm / 2, part.chamfer_mm
    outer = ((-half, rim - chamfer), (-half + chamfer, rim), (half, rim))
    return (*outer, *bore_profile(part), *sink_profile(part))


def bore_start(part: Part) -> float:
    """Return where the hole begins along the axis: at the outer face, or at the sink's floor."""
    sink = sink_of(part)
    return -part.thickness_mm / 2 + (sink.deep_mm if sink else 0.0)


def bore_profile(part: Part) -> Iterator[tuple[float, float]]:
    """Yield the hole's wall from the flat face back: edges rounded, or one arc if it is olive."""
    start, end, hole = bore_start(part), part.thickness_mm / 2, part.hole_mm / 2
    olive = olive_radius_mm(part)
    if olive is not None:
        middle = (start + end) / 2
        for step in range(13):
            z = end + (start - end) * step / 12
            yield z, hole + olive - math.sqrt(olive**2 - (z - middle) ** 2)
        return
    radius = edge_radius_mm(part)
    turns = [math.pi / 2 * step / 6 for step in range(7)]
    for turn in turns:
        yield end - radius * (1 - math.cos(turn)), hole + radius * (1 - math.sin(turn))
    for turn in turns:
        yield start + radius * (1 - math.sin(turn)), hole + radius * (1 - math.cos(turn))


def hole_edge(part: Part) -> float:
    """Return the hole's radius at its ends, where it is rounded or olive (mm)."""
    last = list(bore_profile(part))[-1]
    return last[1]


def sink_profile(part: Part) -> Iterator[tuple[float, float]]:
    """Yield the oil sink from the hole's edge out to its rim; nothing where there is none."""
    sink = sink_of(part)
    if sink is None:
        return
    radius, outside = sink.sphere(part.hole_mm)
    first, last = hole_edge(part), sink.across_mm / 2
    for step in range(1, 13):
        r = first + (last - first) * step / 12
        yield -part.thickness_mm / 2 + math.sqrt(radius**2 - r**2) - outside, r


def behind(part: Part) -> Iterator[tuple[float, float]]:
    """Yield the edges that are seen behind the cut: where along the axis, and their radius (mm)."""
    sink, half = sink_of(part), part.thickness_mm / 2
    yield half, hole_edge(part)
    yield bore_start(part), hole_edge(part)
    if sink is not None:
        yield -half, sink.across_mm / 2


def end_view(views: Views) -> Iterator[Shape]:
    """Yield the part as seen from the left: rim, chamfer, sink, hole, centre lines."""
    part, scale, sink = views.part, views.scale, sink_of(views.part)
    radii = [views.rim, views.rim - scale * part.chamfer_mm, views.hole]
    radii += [scale * sink.across_mm / 2] if sink else []
    for radius in radii:
        yield Circle(centre=views.end, radius=radius)
    reach = views.rim + 4.0
    for right, up in ((reach, 0.0), (0.0, reach)):
        start, end = views.seen(-right, -up), views.seen(right, up)
        yield DrawnLine(start=start, end=end, role=ShapeRole.CENTRE)


def cut_dimensions(views: Views) -> Iterator[Shape]:
    """Yield hole and thickness, and the sink's two sizes where there is one."""
    part, half, hole, rim = views.part, views.half, views.hole, views.rim
    yield dimension(views.at(half, -hole), views.at(half, hole), hole_words(part), -HOLE_OFF)
    thick = (views.at(half, -rim), views.at(-half, -rim))
    yield dimension(*thick, held(part.thickness_mm, THICKNESS_TOLERANCE_MM), BELOW)
    sink = sink_of(part)
    if sink is None:
        return
    across = views.scale * sink.across_mm / 2
    words = f"Ø {held(sink.across_mm, SINK_TOLERANCE_MM)}"
    yield dimension(views.at(-half, -across), views.at(-half, across), words, SINK_OFF)
    yield from sink_depth(views, sink)


def sink_depth(views: Views, sink: Sink) -> Iterator[Shape]:
    """Yield how deep the sink is, above the part, with lines from its floor and its face."""
    face, floor = -views.half, -views.half + views.scale * sink.deep_mm
    above = views.rim + 1.5
    for along, across in (
        (face, views.rim - views.scale * views.part.chamfer_mm),
        (floor, views.scale * hole_edge(views.part)),
    ):
        yield DrawnLine(
            start=views.at(along, across), end=views.at(along, above), role=ShapeRole.FINE
        )
    words = held(sink.deep_mm, sink.deep_tolerance_mm)
    yield dimension(views.at(face, above), views.at(floor, above), words, 6.5)


def dimension(start: Point, end: Point, words: str, offset: float) -> Dimension:
    """Return a dimension with letters of the sheet's height."""
    return Dimension(start=start, end=end, words=words, offset=offset, height=LETTER)


def held(size_mm: float, tolerance_mm: float) -> str:
    """Return a size and how far it may be off."""
    return f"{size_mm:.3f} ±{tolerance_mm:.3f}"


def outside_words(part: Part) -> str:
    """Return the outside diameter with its limits."""
    return f"Ø {limited(part.outside_mm, OUTSIDE_CLASS, OUTSIDE_TOLERANCE_MM)}"


def hole_words(part: Part) -> str:
    """Return the hole's diameter with its limits."""
    return f"Ø {limited(part.hole_mm, HOLE_CLASS, HOLE_TOLERANCE_MM)}"


def limited(size_mm: float, letters: str, tolerance_mm: float) -> str:
    """Return a size with its class and limits; beyond the first step of ISO 286 with plain ones."""
    if size_mm > LARGEST_MM:
        return held(size_mm, tolerance_mm)
    return f"{size_mm:.3f} {letters} ({limits(letters, size_mm).text()})"


def cut_signs(views: Views) -> Iterator[Shape]:
    """Yield run-out, squareness, the flat face's texture, the rounded edge and the chamfer."""
    part, half, hole, rim = views.part, views.half, views.hole, views.rim
    yield from runout_signs(views)
    yield from squareness_signs(views)
    face = (half, (hole + rim) / 2)
    foot = views.at(face[0] + 4.0, face[1])
    words = f"Ra {roughness(part).faces_um:g}"
    yield from pointing((foot[0] + texture_width(words), foot[1]), views.at(*face))
    yield from texture((foot[0] + 3.0, foot[1]), words)
    radius = views.scale * edge_radius_mm(part) / 3
    corner = views.at(half + 4.0, -hole - 7.0)
    yield from pointing(corner, views.at(half - radius, -hole - radius))
    radius_words = f"2× R {held(edge_radius_mm(part), edge_radius_mm(part) / 2)}"
    yield Text(at=(corner[0] + 0.8, corner[1] - 1.6), words=radius_words, height=LETTER)
    yield from chamfer_signs(views)


def runout_signs(views: Views) -> Iterator[Shape]:
    """Yield the hole's run-out against the outside; below it the hole becomes a datum itself."""
    words = f"{RUNOUT_MM:.3f}"
    frame = views.at(views.half + RUNOUT_OFF, -views.rim - BELOW - 6.0)
    wall = views.at(views.half + RUNOUT_OFF, -views.hole)
    yield from pointing((frame[0], frame[1] + FRAME), wall)
    yield from runout_frame(frame, words, DATUM)
    yield from datum_sign((frame[0] + frame_wide(words) / 2, frame[1]), HOLE_DATUM)


def squareness_signs(views: Views) -> Iterator[Shape]:
    """Yield how square the flat face is to the hole, beside the face's line drawn on downwards."""
    down = -views.rim - SQUARE_BELOW
    face, lower = views.at(views.half, -views.rim - BELOW), views.at(views.half, down - 2.0)
    yield DrawnLine(start=face, end=lower, role=ShapeRole.FINE)
    frame = views.at(views.half + SQUARE_OFF, down - FRAME / 2)
    yield from pointing((frame[0], frame[1] + FRAME / 2), views.at(views.half, down))
    yield from squareness_frame(frame, f"{SQUARE_MM:.3f}", HOLE_DATUM)


def chamfer_signs(views: Views) -> Iterator[Shape]:
    """Yield the chamfer, and that it enters first."""
    part = views.part
    chamfer = views.scale * part.chamfer_mm / 2
    if not chamfer:
        return
    start = views.at(-views.half - SINK_OFF - 6.0, -views.rim + chamfer)
    yield from pointing(start, views.at(-views.half + chamfer, -views.rim + chamfer))
    size = f"{held(part.chamfer_mm, CHAMFER_TOLERANCE_MM)} × 45°"
    for row, words in enumerate((size, "enters first")):
        at = (start[0] - 1.0, start[1] - 1.0 - 4.2 * row)
        yield Text(at=at, words=words, height=LETTER, anchor=Anchor.END)


def end_signs(views: Views) -> Iterator[Shape]:
    """Yield the outside with its datum, the hole's form and texture, the sink's."""
    part, rim = views.part, views.rim
    top, bottom = views.seen(0.0, rim), views.seen(0.0, -rim)
    off = outside_off(part, views.scale)
    yield dimension(bottom, top, outside_words(part), -rim - off)
    yield from datum_sign(views.seen(rim + off, -rim), DATUM)
    elbow = views.seen(6.0, rim + LEADER)
    turn = math.radians(75.0)
    edge = views.seen(views.hole * math.cos(turn), views.hole * math.sin(turn))
    yield from pointing(elbow, edge)
    yield from said_with_texture(elbow, form_words(part), f"Ra {roughness(part).hole_um:g}")
    sink = sink_of(part)
    if sink is None:
        return
    middle = (views.scale * sink.across_mm / 2 + views.hole) / 2
    elbow = views.seen(6.0, -rim - BELOW_DATUM)
    yield from dotted(elbow, views.seen(middle * 0.26, -middle * 0.97))
    rough = f"Ra {roughness(part).faces_um:g}"
    yield from said_with_texture(elbow, "oil sink, spherical", rough)


def outside_off(part: Part, scale: float) -> float:
    """Return how far right of the part its outside is measured.

    Words longer than the measure stand above it: then beyond what is said of the hole.
    """
    rim = scale * part.outside_mm / 2
    if LETTER_WIDTH * LETTER * len(outside_words(part)) <= 2 * rim:
        return OUTSIDE_OFF
    return max(OUTSIDE_OFF, said_of_hole(part) - rim + 6.0)


def right_of_views(part: Part, scale: float) -> float:
    """Return the room right of the part for what is measured and said there."""
    rim = scale * part.outside_mm / 2
    return max(outside_off(part, scale) + 8.0, said_of_hole(part) - rim + 2.0)


def said_of_hole(part: Part) -> float:
    """Return how far right of the view's middle the words on the hole reach."""
    rough = texture_width(f"Ra {roughness(part).hole_um:g}")
    return 6.0 + line_width(form_words(part), LETTER) + 4.0 + rough


def form_words(part: Part) -> str:
    """Return the form of the hole."""
    radius = olive_radius_mm(part)
    return (
        "straight hole" if radius is None else f"olive hole, R {held(radius, OLIVE_TOLERANCE_MM)}"
    )


def said_with_texture(elbow: Point, words: str, rough: str) -> Iterator[Shape]:
    """Yield a level line to the right with words on it, then the texture of that surface."""
    x, y = elbow
    foot = x + line_width(words, LETTER) + 4.0
    yield DrawnLine(start=elbow, end=(foot + texture_width(rough), y), role=ShapeRole.DIMENSION)
    yield Text(at=(x + 0.5, y + 0.9), words=words, height=LETTER)
    yield from texture((foot, y), rough)
