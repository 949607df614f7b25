"""A drawing as DXF for a maker's machine: millimetres, real size, each meaning on its layer.

The outline of the part lies alone on its layer; words are TEXT entities, measures DIMENSION ones.
"""

import io
import math
from typing import Any, assert_never

import ezdxf
from ezdxf.enums import TextEntityAlignment

from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Polyline,
    ShapeRole,
    Single,
    Text,
    dimension_parts,
    parts_of,
    shifted,
)

LINETYPES = {ShapeRole.CENTRE: "CENTER", ShapeRole.HIDDEN: "DASHED"}
WIDE, NARROW = 35, 18
"""Line weights in hundredths of a millimetre: the group 0.35 of ISO 128-2."""
WIDE_ROLES = (ShapeRole.OUTLINE, ShapeRole.ACCENT, ShapeRole.DANGER)
WORDS, HATCHING = "words", "hatching"
"""Layers besides those of the roles."""
ALIGNED = 1
OWN_BLOCK, OWN_PLACE = 32, 128
"""Kind of a DIMENSION and its flags: its block is its own, its words lie where they are put."""
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
    add_layers(document)
    space = document.modelspace()
    for shape in drawing.shapes:
        for part in parts_of(shape):
            add_shape(space, part, 1 / drawing.scale)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def add_layers(document: Any) -> None:
    """Add a layer for each role, for words and for hatching, each with its line weight."""
    for role in ShapeRole:
        weight = WIDE if role in WIDE_ROLES else NARROW
        linetype = LINETYPES.get(role, "Continuous")
        document.layers.add(role.value, linetype=linetype, lineweight=weight)
    for name in (WORDS, HATCHING):
        document.layers.add(name, lineweight=NARROW)


def add_shape(space: Any, shape: Single, factor: float) -> None:
    """Add one shape to the model space, its size multiplied by `factor`."""
    match shape:
        case DrawnLine():
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
            add_dimension(space, shape, factor)
        case _:
            assert_never(shape)


def add_dimension(space: Any, shape: Dimension, factor: float) -> None:
    """Add a measure as a DIMENSION entity, its look as on paper in a block of its own."""
    parts = dimension_parts(shape)
    block = space.doc.blocks.new_anonymous_block(type_char="D")
    for part in parts:
        add_shape(block, part, factor)
    (words,) = (part for part in parts if isinstance(part, Text))
    length = math.dist(shape.start, shape.end)
    along = ((shape.end[0] - shape.start[0]) / length, (shape.end[1] - shape.start[1]) / length)
    line = shifted(shape.end, (-along[1], along[0]), shape.offset)
    made = space.new_entity(
        "DIMENSION",
        {
            "layer": shape.role.value,
            "geometry": block.name,
            "dimstyle": "Standard",
            "dimtype": ALIGNED | OWN_BLOCK | OWN_PLACE,
            "defpoint": sized(line, factor),
            "defpoint2": sized(shape.start, factor),
            "defpoint3": sized(shape.end, factor),
            "text_midpoint": sized(words.at, factor),
            "text": coded(shape.words),
            "actual_measurement": length * factor,
        },
    )
    made.dxf.text_rotation = words.turn_deg


def add_polyline(space: Any, shape: Polyline, factor: float) -> None:
    """Add a chain of lines and its filling."""
    points = [sized(point, factor) for point in shape.points]
    if shape.fill is not Fill.NONE:
        hatch(space, shape.fill, factor).paths.add_polyline_path(points, is_closed=True)
    if shape.role is not ShapeRole.NONE:
        layer = {"layer": shape.role.value}
        space.add_lwpolyline(points, close=shape.closed, dxfattribs=layer)


def add_circle(space: Any, shape: Circle, factor: float) -> None:
    """Add a circle and its filling."""
    centre, radius = sized(shape.centre, factor), shape.radius * factor
    if shape.fill is not Fill.NONE:
        hatch(space, shape.fill, factor).paths.add_edge_path().add_arc(centre, radius, 0, 360)
    if shape.role is not ShapeRole.NONE:
        space.add_circle(centre, radius, dxfattribs={"layer": shape.role.value})


def hatch(space: Any, fill: Fill, factor: float) -> Any:
    """Return a new hatch: solid for arrow heads and signs, thin strokes for a cut part."""
    made = space.add_hatch(dxfattribs={"layer": HATCHING})
    if fill not in (Fill.INK, Fill.DANGER):
        made.set_pattern_fill("ANSI31", scale=0.5 * factor)
    return made


def add_words(space: Any, shape: Text, factor: float) -> None:
    """Add one line of words as a TEXT entity."""
    height = CAPITAL_SHARE * shape.height * factor
    layer = {"layer": WORDS, "rotation": shape.turn_deg}
    entity = space.add_text(coded(shape.words), height=height, dxfattribs=layer)
    entity.set_placement(sized(shape.at, factor), align=ALIGN[shape.anchor])


def coded(words: str) -> str:
    """Return words with DXF's codes in place of signs that not every font has."""
    for sign, code in CONTROL_CODES.items():
        words = words.replace(sign, code)
    return words


def sized(point: Point, factor: float) -> Point:
    """Return the point multiplied by `factor`."""
    return (point[0] * factor, point[1] * factor)
