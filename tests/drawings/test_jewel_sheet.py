import io
import re
from dataclasses import replace
from random import Random

import ezdxf
import pytest

from sideshake.core.errors import InputError
from sideshake.drawings.dxf import dxf_text
from sideshake.drawings.jewel_sheet import (
    FILING,
    MARGIN,
    SCALES,
    OrderDrawing,
    OrderLine,
    SheetSize,
    gathered,
    jewel_sheets,
    placed,
)
from sideshake.drawings.jewel_views import half_profile
from sideshake.drawings.shapes import (
    Circle,
    Dimension,
    DrawnLine,
    Polyline,
    ShapeRole,
    Text,
    parts_of,
)
from sideshake.drawings.svg import svg_text
from sideshake.fit.jewel import Part
from sideshake.fit.making import sink_of
from sideshake.fit.materials import BRASS, BRONZE
from sideshake.fit.shape import BoreShape
from tests.drawings.struck import beyond, hatched_over, on_each_other, struck, too_small

BIG = Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.6)
SMALL = Part(outside_mm=0.8, hole_mm=0.22, thickness_mm=0.3)
BUSH = Part(outside_mm=2.3, hole_mm=1.2, thickness_mm=0.8, material=BRONZE)
OLIVE = Part(outside_mm=1.1, hole_mm=0.12, thickness_mm=0.3, bore=BoreShape.OLIVE)
FLAT = Part(outside_mm=1.3, hole_mm=0.31, thickness_mm=0.25, sink=False)


def order(*lines):
    return OrderDrawing(
        workshop="The Bench at Osterlund Quay",
        number="D-07",
        date="3 March",
        lines=tuple(
            OrderLine(part=part, quantity=count, reference=name) for part, count, name in lines
        ),
    )


def drawn(part, **told):
    return jewel_sheets(replace(order((part, 1, "v")), **told))[0]


def words(drawing):
    single = [part for each in drawing.shapes for part in parts_of(each)]
    return "\n".join(each.words for each in single if isinstance(each, Text | Dimension))


def prose(drawing):
    return words(drawing).replace("\n", " ")


def dxf_of(drawing):
    return ezdxf.read(io.StringIO(dxf_text(drawing)))


def test_equal_parts_of_several_repairs_become_one_line_the_smallest_hole_first():
    lines = gathered(order((BIG, 2, "visit 3"), (SMALL, 1, "visit 4"), (BIG, 1, "visit 9")).lines)
    assert [(line.part, line.quantity, line.reference) for line in lines] == [
        (SMALL, 1, "visit 4"),
        (BIG, 3, "visit 3, visit 9"),
    ]


def test_parts_that_differ_in_shape_only_stay_apart():
    flat = replace(BIG, sink=False)
    assert len(jewel_sheets(order((BIG, 1, "a"), (flat, 1, "b")))) == 2


def test_the_sheet_carries_every_size_with_its_limits():
    said = words(jewel_sheets(order((BIG, 2, "visit 3")))[0])
    for each in (
        "Ø 1.500 js6 (±0.003)",
        "Ø 0.920 JS6 (±0.003)",
        "0.600 ±0.020",
        "0.050 ±0.020 × 45°",
        "2× R 0.020 ±0.010",
        "synthetic ruby (corundum), red",
        "Polished",
        "D-07 / 1",
        "3 March",
        "Osterlund Quay",
        "visit 3",
    ):
        assert each in said
    assert "quantity\n2\n" in said


def test_a_size_beyond_the_first_step_of_iso_286_has_plain_limits():
    said = words(drawn(Part(outside_mm=3.5, hole_mm=2.4, thickness_mm=0.8)))
    assert "Ø 3.500 ±0.003" in said
    assert "Ø 2.400 JS6 (±0.003)" in said


def test_the_oil_sink_is_drawn_and_measured_where_it_is_wished_only():
    # by hand: half of the wall (1.5 - 0.92) / 2 on each side is 0.145, so 0.92 + 0.29 = 1.21
    cupped, flat = prose(drawn(BIG)), prose(drawn(replace(BIG, sink=False)))
    assert "Ø 1.210 ±0.050" in cupped
    assert "oil sink, spherical" in cupped
    assert "its edges, oil sink and flat face; outside ground" in cupped
    assert "its edges, flat face; outside ground" in flat
    assert "oil sink" not in flat
    assert "1.210" not in flat
    assert "oil sink" not in words(drawn(BUSH))


def test_an_oil_sink_that_has_no_room_is_refused_by_its_wall():
    narrow = Part(outside_mm=1.0, hole_mm=0.8, thickness_mm=0.3)
    with pytest.raises(InputError, match=r"wall of 0\.100 mm.*no room for an oil sink"):
        drawn(narrow)
    assert "oil sink, spherical" not in words(drawn(replace(narrow, sink=False)))


def test_the_sink_is_a_sphere_through_its_rim_and_the_hole():
    # from scratch: every point of it lies as far from one point of the axis
    sink = sink_of(BIG)
    radius, outside = sink.sphere(BIG.hole_mm)
    for r, z in ((sink.across_mm / 2, 0.0), (BIG.hole_mm / 2, sink.deep_mm)):
        assert r**2 + (outside + z) ** 2 == pytest.approx(radius**2)


def test_a_hole_is_straight_or_olive_as_it_is_wished():
    assert "straight hole" in words(drawn(BIG))
    assert "olive" not in words(drawn(BIG))
    assert "olive hole, R 0.200 ±0.050" in words(drawn(OLIVE))
    assert "straight" not in words(drawn(OLIVE))


def test_an_olive_hole_is_narrowest_inside_and_a_straight_one_along_most_of_it():
    bore = [r for _z, r in half_profile(OLIVE)[3:16]]
    assert min(bore) == pytest.approx(OLIVE.hole_mm / 2)
    assert min(bore[0], bore[-1]) > OLIVE.hole_mm / 2 + 0.01
    straight = [r for _z, r in half_profile(FLAT)[3:]]
    assert straight.count(pytest.approx(FLAT.hole_mm / 2)) == 2
    assert max(straight) == pytest.approx(FLAT.hole_mm / 2 + 0.02)


@pytest.mark.parametrize(
    ("part", "hole", "faces", "other"),
    [(BIG, "Ra 0.025", "Ra 0.05", "Ra 0.2"), (BUSH, "Ra 0.8", "Ra 0.4", "Ra 0.4")],
)
def test_every_surface_has_its_roughness(part, hole, faces, other):
    said = words(drawn(part)).split("\n")
    assert {each for each in said if each.startswith("Ra")} == {hole, faces, other}


def test_the_chamfered_edge_enters_first_and_nothing_says_otherwise():
    said = prose(drawn(BIG))
    assert "enters first" in said
    assert "the chamfered edge enters first" in said
    assert "flat side leading" not in said
    bare = prose(drawn(replace(BIG, chamfer_mm=0.0)))
    assert "enters first" not in bare
    assert "chamfer" not in bare


def test_the_chamfer_is_on_the_side_of_the_oil_sink():
    profile = half_profile(BIG)
    half, rim = BIG.thickness_mm / 2, BIG.outside_mm / 2
    assert (-half, rim - 0.05) in profile
    assert (half, rim) in profile
    rims = [z for z, r in profile if r == pytest.approx(sink_of(BIG).across_mm / 2)]
    assert rims == [pytest.approx(-half)]


def test_run_out_stands_in_a_frame_against_the_outside_as_datum():
    # ISO 1101: the frame holds the sign, the value, the datum's letter; the letter stands there too
    said = words(drawn(BIG)).split("\n")
    assert said.count("0.005") == 2
    assert said.count("A") == 2


def test_the_flat_face_is_square_to_the_hole_as_datum():
    # ISO 1101: the sign of perpendicularity is two lines at a right angle, the upright in the
    # middle of its foot; the hole is datum B, by its letter under the frame of its run-out (ISO
    # 5459). The arrow points at the flat face's line, away from the line of the thickness.
    drawing = drawn(BIG)
    assert words(drawing).split("\n").count("B") == 2
    lines = [each for each in drawing.shapes if isinstance(each, DrawnLine)]
    feet = [
        (foot, up)
        for foot in lines
        for up in lines
        if foot.start[1] == foot.end[1]
        and up.start == ((foot.start[0] + foot.end[0]) / 2, foot.start[1])
        and up.start[0] == up.end[0]
        and up.end[1] > up.start[1]
    ]
    assert len(feet) == 1
    views = placed(BIG, drawing.scale, drawing.width)
    flat, under = views.cut[0] + views.half, views.cut[1] - views.rim
    tips = [each.points[0] for each in drawing.shapes if isinstance(each, Polyline)]
    pointed = [tip for tip in tips if tip[0] == pytest.approx(flat) and tip[1] < under - 12.0]
    assert len(pointed) == 1


@pytest.mark.parametrize("part", [BIG, replace(BIG, outside_mm=1.7, thickness_mm=0.9),
                                  replace(BIG, outside_mm=1.6, hole_mm=1.1, sink=False),
                                  replace(BIG, outside_mm=4.0, hole_mm=3.2)])  # fmt: skip
def test_the_frames_of_run_out_and_squareness_lie_free_above_the_title_block(part):
    drawing = drawn(part)
    every = [box_of(each) for each in drawing.shapes if is_cell(each)]
    boxes = [box for box in every if box[2] - box[0] < 20.0]
    middle = [(b, w) for b in boxes for w in texts_in(drawing, b) if w.words in ("0.005", "A", "B")]
    assert len({box for box, _ in middle}) == 6  # two frames of two cells, and two datums
    for box, _ in middle:
        assert box[1] > 10.0 + 50.0  # ISO 7200: the title block below
        assert len(texts_in(drawing, box)) == 1
    cells = [box for box, _ in middle]
    for one in cells:
        for other in cells:
            assert one == other or not overlap(one, other)


def is_cell(shape) -> bool:
    return isinstance(shape, Polyline) and shape.closed and len(shape.points) == 4


def box_of(shape) -> tuple[float, float, float, float]:
    xs, ys = zip(*shape.points, strict=True)
    return tuple(round(each, 6) for each in (min(xs), min(ys), max(xs), max(ys)))


def texts_in(drawing, box):
    said = [each for each in drawing.shapes if isinstance(each, Text)]
    return [each for each in said
            if box[0] < each.at[0] < box[2] and box[1] < each.at[1] < box[3]]  # fmt: skip


def overlap(one, other) -> bool:
    return (one[0] < other[2] - 1e-6 and other[0] < one[2] - 1e-6
            and one[1] < other[3] - 1e-6 and other[1] < one[3] - 1e-6)  # fmt: skip


def test_the_dxf_holds_every_word_of_the_drawing():
    drawing = drawn(BIG)
    space = ezdxf.read(io.StringIO(dxf_text(drawing))).modelspace()
    there = [each.dxf.text for each in space.query("TEXT")]
    for each in drawing.shapes:
        if isinstance(each, Text):
            coded = each.words.replace("Ø", "%%c").replace("±", "%%p").replace("°", "%%d")
            assert coded in there, each.words
    assert there.count("0.005") == 2
    assert there.count("B") == 2


def test_projection_is_first_angle_and_the_sheet_keeps_to_it():
    # ISO 5456-2, first angle: what is seen from the left stands at the right. Both circles of the
    # sign are seen from the small end only, so in it that end lies at the left, as on the sheet.
    drawing = drawn(BIG)
    cones = [
        each
        for each in drawing.shapes
        if isinstance(each, Polyline) and each.closed and len(each.points) == 4
        and each.role is ShapeRole.DIMENSION and each.points[0][0] != each.points[3][0] - 99
    ]  # fmt: skip
    (cone,) = [each for each in cones if abs(each.points[0][1] - each.points[1][1]) == 3.0]
    left, right = cone.points[0][0], cone.points[2][0]
    assert left < right
    assert abs(cone.points[2][1] - cone.points[3][1]) == 6.0
    circles = [each for each in drawing.shapes if isinstance(each, Circle)]
    sign = [each for each in circles if each.role is ShapeRole.DIMENSION]
    part = [each for each in circles if each.role is ShapeRole.OUTLINE]
    assert all(each.centre[0] > right for each in sign)
    assert len(part) == 4  # hole, sink, chamfer, outside: all on the side seen from the left
    cut = [each for each in drawing.shapes if isinstance(each, Polyline) and len(each.points) > 12]
    assert max(x for each in cut for x, _y in each.points) < min(
        each.centre[0] - each.radius for each in part
    )


def test_scales_are_those_of_iso_5455():
    # ISO 5455: enlargements 50:1, 20:1, 10:1, 5:1, 2:1; full size 1:1
    assert SCALES == (50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
    for part, scale in ((BIG, 50.0), (BUSH, 20.0), (replace(BUSH, outside_mm=7.0), 10.0)):
        assert drawn(part).scale == scale
        assert f"{scale:g}:1, mm" in words(drawn(part))


def test_the_dxf_measures_the_part_itself():
    space = dxf_of(drawn(BIG)).modelspace()
    outline = [each for each in space.query("CIRCLE") if each.dxf.layer == "outline"]
    radii = sorted(round(each.dxf.radius, 6) for each in outline)
    assert radii == [0.46, 0.605, 0.70, 0.75]


@pytest.mark.parametrize("part", [BIG, SMALL, BUSH, OLIVE, FLAT])
def test_every_dxf_dimension_is_as_long_as_it_says(part):
    document = dxf_of(drawn(part))
    found = document.audit()
    assert not found.errors
    assert not found.fixes
    measures = document.modelspace().query("DIMENSION")
    assert len(measures) == (5 if sink_of(part) else 3)
    for each in measures:
        said = float(re.search(r"\d+\.\d{3}", each.dxf.text)[0])
        assert each.get_measurement() == pytest.approx(said)


def test_the_dxf_keeps_the_parts_outline_apart_from_frame_and_signs():
    space = dxf_of(drawn(BIG)).modelspace()
    reach = max(x for each in space.query("LINE") if each.dxf.layer == "frame"
                for x in (each.dxf.start.x, each.dxf.end.x))  # fmt: skip
    outline = [each for each in space.query("LINE") if each.dxf.layer == "outline"]
    assert outline
    assert max(each.dxf.end.x for each in outline) < reach


def test_a_bush_is_named_and_left_to_open():
    said = prose(drawn(BUSH))
    assert "Bush, phosphor bronze" in said
    assert "opens and burnishes the hole after pressing" in said
    assert "ruby" not in said.lower()
    assert "opens and burnishes" not in prose(drawn(BIG))


def test_a_material_without_a_usual_wording_is_named_bare():
    assert "steel" in words(drawn(replace(BUSH, material=replace(BRASS, name="steel"))))


def test_the_colour_of_a_ruby_is_the_one_wished():
    assert "synthetic ruby (corundum), clear" in words(drawn(replace(BIG, colour="clear")))
    assert "clear" not in words(drawn(BIG))


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
    drawing = drawn(BIG, size=SheetSize.US_LETTER)
    assert (drawing.width, drawing.height) == pytest.approx((11 * 25.4, 8.5 * 25.4))
    assert drawing.scale == drawn(BIG).scale


def test_who_makes_it_and_whom_to_ask_stand_in_the_title_block_when_they_are_known():
    told = words(drawn(BIG, to="Rubis Fenwold", call="Ada Bront", phone="+44 1632 960123"))
    assert "Rubis Fenwold" in told
    assert "Ada Bront, +44 1632 960123" in told
    bare = words(drawn(BIG)).split("\n")
    assert not {"to", "ask"} & set(bare)


def test_a_drawing_without_an_order_is_a_draft():
    assert "draft / 1" in words(drawn(BIG, number=""))
    assert "draft" not in words(drawn(BIG))


def test_a_part_has_its_own_name_on_the_sheet_or_says_what_it_is():
    named = OrderLine(part=BIG, quantity=1, reference="v", name="Jewel for the third wheel")
    said = words(jewel_sheets(replace(order((BIG, 1, "v")), lines=(named,)))[0])
    assert "Jewel for the third wheel" in said
    assert "Jewel, ruby" not in said
    assert "Jewel, ruby" in words(drawn(BIG))


def test_a_name_longer_than_the_title_block_is_made_smaller_and_then_cut():
    long = drawn(BIG, workshop="Uhrmacherei Am Oberen Tor")
    huge = drawn(BIG, workshop="W" * 120)
    assert "Uhrmacherei Am Oberen Tor" in words(long)
    assert "WWW…" in words(huge)
    assert "W" * 120 not in words(huge)


def random_part(random: Random) -> Part:
    hole = random.choice([0.07, 0.1, 0.2, 0.31, 0.6, 0.92, 1.2])
    return Part(
        outside_mm=round(hole + random.uniform(0.3, 1.6), 2),
        hole_mm=hole,
        thickness_mm=round(random.uniform(0.12, 1.0), 2),
        bore=random.choice(list(BoreShape)),
        sink=random.random() < 0.7,
        material=random.choice([BIG.material, BUSH.material]),
    )


@pytest.mark.parametrize("size", list(SheetSize))
def test_no_word_of_any_drawing_is_struck_through_too_small_or_outside_its_frame(size):
    random = Random(5)
    parts = [BIG, SMALL, BUSH, OLIVE, FLAT, *(random_part(random) for _each in range(20))]
    for part in parts:
        told = {"to": "Atelier Rubellin", "call": "Ada Bront", "phone": "+44 1632 960123"}
        drawing = drawn(part, size=size, **told)
        assert struck(drawing) == [], part
        assert on_each_other(drawing) == [], part
        assert hatched_over(drawing) == [], part
        assert too_small(drawing) == [], part
        assert beyond(drawing, (FILING, MARGIN)) == [], part


def test_a_word_under_a_line_on_a_hatching_or_in_small_letters_is_found():
    drawing = drawn(BIG)
    word = Text(at=(100.0, 100.0), words="0.920", height=2.0)
    line = DrawnLine(start=(99.0, 100.5), end=(110.0, 100.5))
    other = Text(at=(102.0, 100.2), words="0.5", height=3.0, turn_deg=90.0)
    cut = next(
        each for each in drawing.shapes if isinstance(each, Polyline) and each.fill != "none"
    )
    middle = (cut.points[0][0] + 3.0, cut.points[0][1] + 1.0)
    hatched = Text(at=middle, words="1", height=3.0)
    broken = replace(drawing, shapes=(*drawing.shapes, word, line, other, hatched))
    assert "0.920" in struck(broken)
    assert ("0.920", "0.5") in on_each_other(broken)
    assert "1" in hatched_over(broken)
    assert too_small(broken) == ["0.920"]
    assert beyond(replace(broken, width=104.0), (FILING, MARGIN))


def test_the_title_block_gives_each_name_the_room_it_needs():
    named = {"workshop": "Quillfoot & Daughter, restorers of watches", "to": "Atelier Rubellin",
             "call": "Edda Quillfoot", "phone": "01632 960142"}  # fmt: skip
    said = words(drawn(BIG, **named))
    for whole in (named["workshop"], "Edda Quillfoot, 01632 960142", "Atelier Rubellin"):
        assert whole in said
    assert "…" in words(drawn(BIG, **{**named, "workshop": "W" * 120}))
