import io
from dataclasses import replace

import ezdxf
import pytest

from sideshake.errors import InputError
from sideshake.fit.jewel import Part
from sideshake.fit.materials import BRONZE
from sideshake.pictures.dxf import dxf_text
from sideshake.pictures.jewel_sheet import (
    JewelOrder,
    OrderLine,
    SheetSize,
    gathered,
    jewel_sheets,
)
from sideshake.pictures.shapes import Dimension, Text
from sideshake.pictures.svg import svg_text

BIG = Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.6)
SMALL = Part(outside_mm=0.8, hole_mm=0.22, thickness_mm=0.3)
BUSH = Part(outside_mm=2.3, hole_mm=1.2, thickness_mm=0.8, material=BRONZE)
MORE = Part(outside_mm=1.2, hole_mm=0.5, thickness_mm=0.4)


def order(*lines):
    return JewelOrder(
        workshop="The Bench at Osterlund Quay",
        number="D-07",
        date="3 March",
        lines=tuple(
            OrderLine(part=part, quantity=count, reference=name) for part, count, name in lines
        ),
    )


def words(drawing):
    said = [each.words for each in drawing.shapes if isinstance(each, Text | Dimension)]
    return "\n".join(said)


def test_equal_parts_of_several_repairs_become_one_line():
    lines = gathered(order((BIG, 2, "visit 3"), (SMALL, 1, "visit 4"), (BIG, 1, "visit 9")).lines)
    assert [(line.part, line.quantity, line.reference) for line in lines] == [
        (BIG, 3, "visit 3, visit 9"),
        (SMALL, 1, "visit 4"),
    ]


def test_the_sheet_carries_every_size_with_its_limits():
    (drawing,) = jewel_sheets(order((BIG, 2, "visit 3")))
    said = words(drawing)
    for each in (
        "Ø 1.500 js6 (±0.003)",
        "Ø 0.920 JS6 (±0.003)",
        "0.60 ±0.02",
        "chamfer 0.05",
        "quantity 2",
        "ruby",
        "polished",
        "D-07",
        "3 March",
        "Osterlund Quay",
    ):
        assert each in said


def test_the_dxf_measures_the_part_itself():
    (drawing,) = jewel_sheets(order((BIG, 1, "visit 3")))
    space = ezdxf.read(io.StringIO(dxf_text(drawing))).modelspace()
    radii = sorted(round(each.dxf.radius, 6) for each in space.query("CIRCLE"))
    assert radii == [0.46, 0.70, 0.75]


def test_the_dimension_lines_are_as_long_as_they_say():
    (drawing,) = jewel_sheets(order((BIG, 1, "visit 3")))
    lengths = {}
    for each in drawing.shapes:
        if isinstance(each, Dimension):
            reach = abs(each.end[0] - each.start[0]) + abs(each.end[1] - each.start[1])
            lengths[each.words] = reach / drawing.scale
    assert lengths["Ø 1.500 js6 (±0.003)"] == pytest.approx(1.5)
    assert lengths["Ø 0.920 JS6 (±0.003)"] == pytest.approx(0.92)
    assert lengths["0.60 ±0.02"] == pytest.approx(0.6)


def test_more_than_three_parts_go_on_a_second_sheet():
    sheets = jewel_sheets(order((BIG, 1, "a"), (SMALL, 1, "b"), (BUSH, 1, "c"), (MORE, 1, "d")))
    assert [each.title for each in sheets] == [
        "Jewel order D-07, sheet 1 of 2",
        "Jewel order D-07, sheet 2 of 2",
    ]
    assert "4  Jewel, ruby" in words(sheets[1])


def test_a_bush_is_named_and_left_to_open():
    (drawing,) = jewel_sheets(order((BUSH, 1, "c")))
    assert "Bush, phosphor bronze" in words(drawing)
    assert "opens and burnishes it after pressing" in words(drawing).replace("\n", " ")


def test_words_from_outside_are_escaped():
    (drawing,) = jewel_sheets(order((BIG, 1, "<script>")))
    assert "<script>" not in svg_text(drawing)


def test_an_order_needs_parts_and_quantities():
    with pytest.raises(InputError, match="at least one part"):
        order()
    with pytest.raises(InputError, match="visit 3"):
        order((BIG, 0, "visit 3"))


def test_the_sheet_has_the_size_of_the_paper_it_is_made_for():
    # ANSI/ASME Y14.1, size A: 8.5 by 11 inches of 25.4 mm
    (drawing,) = jewel_sheets(replace(order((BIG, 1, "v")), size=SheetSize.US_LETTER))
    assert (drawing.width, drawing.height) == pytest.approx((11 * 25.4, 8.5 * 25.4))
    assert drawing.scale == jewel_sheets(order((BIG, 1, "v")))[0].scale


def test_who_makes_it_and_how_to_reach_us_stand_in_the_title_block():
    told = replace(order((BIG, 1, "v")), to="Rubis Fenwold", reached="+44 1632 960123")
    said = words(jewel_sheets(told)[0])
    assert "Rubis Fenwold" in said
    assert "+44 1632 960123" in said


def test_a_name_longer_than_the_title_block_is_made_smaller_and_then_cut():
    long = replace(order((BIG, 1, "v")), workshop="Uhrmacherei und Gehäusewerkstatt Am Oberen Tor")
    huge = replace(long, workshop="W" * 120)
    assert long.workshop in words(jewel_sheets(long)[0])
    assert "W" * 20 in words(jewel_sheets(huge)[0])
    assert "W" * 120 not in words(jewel_sheets(huge)[0])
