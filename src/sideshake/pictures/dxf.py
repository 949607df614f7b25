"""A drawing as DXF for a maker's machine: millimetres, real size, words as TEXT entities."""

import io
from typing import Any, assert_never

import ezdxf
from ezdxf.enums import TextEntityAlignment

from sideshake.pictures.shapes import (
    Anchor,
    Arc,
    Circle,
    Dimension,
    Drawing,
    Fill,
    Line,
    Point,
    Polyline,
    Role,
    Single,
    Text,
    dimension_parts,
    parts_of,
)

LINETYPES = {Role.CENTRE: "CENTER", Role.HIDDEN: "DASHED"}
CAPITAL_SHARE = 0.7
"""A DXF text height is that of a capital, about 0.7 of the letter body used on paper."""
CONTROL_CODES = {"Ø": "%%c", "±": "%%p", "°": "%%d"}
"""DXF's own codes, which every reader's font can draw."""
ALIGN = {
    Anchor.START: TextEntityAlignment.LEFT,
    Anchor.MIDDLE: TextEntityAlignment.CENTER,
    Anchor.END: TextEntityAlignment.RIGHT,
}


def dxf_text(drawing: Drawing) -> str:
    """Return the drawing as the text of a DXF file (R2010).

    Everything is divided by the drawing's scale: the part itself measures its real millimetres.
    """
    document = ezdxf.new("R2010", setup=["linetypes"], units=ezdxf.units.MM)
    document.header["$LTSCALE"] = 0.2 / drawing.scale
    for role in Role:
        document.layers.add(role.value, linetype=LINETYPES.get(role, "Continuous"))
    space = document.modelspace()
    for shape in drawing.shapes:
        for part in parts_of(shape):
            add_shape(space, part, 1 / drawing.scale)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def add_shape(space: Any, shape: Single, factor: float) -> None:
    """Add one shape to the model space, its size multiplied by `factor`."""
    match shape:
        case Line():
            ends = (sized(shape.start, factor), sized(shape.end, factor))
            space.add_line(*ends, dxfattribs={"layer": shape.role.value})
        case Polyline():
            add_polyline(space, shape, factor)
        case Circle():
            add_circle(space, shape, factor)
        case Arc():
            place = (sized(shape.centre, factor), shape.radius * factor)
            angles = (shape.start_deg, shape.end_deg)
            space.add_arc(*place, *angles, dxfattribs={"layer": shape.role.value})
        case Text():
            add_words(space, shape, factor)
        case Dimension():
            for part in dimension_parts(shape):
                add_shape(space, part, factor)
        case _:
            assert_never(shape)


def add_polyline(space: Any, shape: Polyline, factor: float) -> None:
    """Add a chain of lines and its filling."""
    points = [sized(point, factor) for point in shape.points]
    if shape.fill is not Fill.NONE:
        hatch(space, shape.fill, factor).paths.add_polyline_path(points, is_closed=True)
    if shape.role is not Role.NONE:
        layer = {"layer": shape.role.value}
        space.add_lwpolyline(points, close=shape.closed, dxfattribs=layer)


def add_circle(space: Any, shape: Circle, factor: float) -> None:
    """Add a circle and its filling."""
    centre, radius = sized(shape.centre, factor), shape.radius * factor
    if shape.fill is not Fill.NONE:
        hatch(space, shape.fill, factor).paths.add_edge_path().add_arc(centre, radius, 0, 360)
    if shape.role is not Role.NONE:
        space.add_circle(centre, radius, dxfattribs={"layer": shape.role.value})


def hatch(space: Any, fill: Fill, factor: float) -> Any:
    """Return a new hatch: solid for arrow heads and signs, thin strokes for a cut part."""
    made = space.add_hatch(dxfattribs={"layer": Role.FINE.value})
    if fill not in (Fill.INK, Fill.DANGER):
        made.set_pattern_fill("ANSI31", scale=0.5 * factor)
    return made


def add_words(space: Any, shape: Text, factor: float) -> None:
    """Add one line of words as a TEXT entity."""
    words = shape.words
    for sign, code in CONTROL_CODES.items():
        words = words.replace(sign, code)
    height = CAPITAL_SHARE * shape.height * factor
    layer = {"layer": shape.role.value, "rotation": shape.turn_deg}
    entity = space.add_text(words, height=height, dxfattribs=layer)
    entity.set_placement(sized(shape.at, factor), align=ALIGN[shape.anchor])


def sized(point: Point, factor: float) -> Point:
    """Return the point multiplied by `factor`."""
    return (point[0] * factor, point[1] * factor)
