import io
import math
import xml.etree.ElementTree as ET

import ezdxf
import pytest

from sideshake.core.errors import InputError
from sideshake.drawings.dxf import dxf_text
from sideshake.drawings.shapes import (
    Anchor,
    Arc,
    Circle,
    Dimension,
    Drawing,
    DrawnLine,
    Fill,
    Named,
    Polyline,
    ShapeRole,
    Text,
    dimension_parts,
    paragraph,
    rectangle,
    sector,
    within,
)
from sideshake.drawings.svg import svg_text

SVG = "{http://www.w3.org/2000/svg}"
EVERYTHING = Drawing(
    title="Jewel <1>",
    width=100.0,
    height=60.0,
    scale=20.0,
    shapes=(
        DrawnLine(start=(0.0, 0.0), end=(20.0, 10.0), role=ShapeRole.CENTRE),
        rectangle((10.0, 10.0), (30.0, 30.0), fill=Fill.PLATE),
        Circle(centre=(50.0, 30.0), radius=20.0, fill=Fill.JEWEL),
        Arc(centre=(50.0, 30.0), radius=10.0, start_deg=0.0, end_deg=270.0),
        Dimension(start=(30.0, 30.0), end=(70.0, 30.0), words="Ø 2.00 ±0.01", offset=25.0),
        Text(at=(5.0, 5.0), words="a < b & c", anchor=Anchor.START),
    ),
)


def read_dxf(drawing):
    return ezdxf.read(io.StringIO(dxf_text(drawing)))


def test_the_svg_is_well_formed_and_escapes_words():
    root = ET.fromstring(svg_text(EVERYTHING))
    assert root.find(f"{SVG}title").text == "Jewel <1>"
    assert "a < b & c" in [each.text for each in root.iter(f"{SVG}text")]


def test_the_svg_counts_y_downwards():
    root = ET.fromstring(svg_text(EVERYTHING))
    assert next(root.iter(f"{SVG}polyline")).get("points") == "0,60 20,50"


def test_an_arc_over_half_a_turn_takes_the_long_way():
    root = ET.fromstring(svg_text(EVERYTHING))
    path = next(path.get("d") for path in root.iter(f"{SVG}path") if "A" in path.get("d"))
    assert path == "M60 30A10 10 0 1 0 50 40"


def test_the_dxf_part_measures_its_real_size():
    circle = read_dxf(EVERYTHING).modelspace().query("CIRCLE").first
    assert circle.dxf.radius == pytest.approx(1.0)


def test_the_dxf_passes_the_library_s_own_audit_and_uses_millimetres():
    document = read_dxf(EVERYTHING)
    assert document.units == ezdxf.units.MM
    assert not document.audit().has_errors


def test_dxf_words_are_text_entities_with_its_own_signs():
    assert set(dxf_words(read_dxf(EVERYTHING))) == {"%%c 2.00 %%p0.01", "a < b & c"}


def dxf_words(document) -> list[str]:
    """The TEXT entities of the sheet, and of the block in which each measure has its look."""
    space = document.modelspace()
    blocks = [document.blocks[each.dxf.geometry] for each in space.query("DIMENSION")]
    return [each.dxf.text for place in (space, *blocks) for each in place.query("TEXT")]


def test_a_dxf_measure_is_a_dimension_that_measures_what_it_says():
    (measure,) = read_dxf(EVERYTHING).modelspace().query("DIMENSION")
    assert measure.dxf.text == "%%c 2.00 %%p0.01"
    assert measure.get_measurement() == pytest.approx(2.0)
    assert measure.dxf.layer == "dimension"


def test_dxf_layers_part_outline_words_and_hatching_with_their_weights():
    # ISO 128-2, line group 0.35: wide lines 0.35 mm, narrow ones 0.18 mm
    document = read_dxf(EVERYTHING)
    weights = {each.dxf.name: each.dxf.lineweight for each in document.layers}
    assert (weights["outline"], weights["dimension"], weights["words"]) == (35, 18, 18)
    space = document.modelspace()
    assert {each.dxf.layer for each in space.query("TEXT")} == {"words"}
    assert {each.dxf.layer for each in space.query("HATCH")} == {"hatching"}
    assert not [each for each in space if each.dxf.layer not in weights]


def test_svg_and_dxf_hold_the_same_words():
    root = ET.fromstring(svg_text(EVERYTHING))
    assert len(list(root.iter(f"{SVG}text"))) == len(dxf_words(read_dxf(EVERYTHING)))


def test_a_dimension_line_is_parallel_at_its_offset():
    parts = dimension_parts(Dimension(start=(0, 0), end=(30, 0), words="30", offset=5.0))
    assert parts[2] == DrawnLine(start=(0.0, 5.0), end=(30.0, 5.0), role=ShapeRole.DIMENSION)


def test_a_short_dimension_points_inwards_and_speaks_beside():
    parts = dimension_parts(Dimension(start=(0, 0), end=(1, 0), words="0.05", offset=5.0))
    assert parts[2].start[0] < 0
    assert parts[2].end[0] > 1
    assert parts[5].at[0] > 1
    assert parts[5].anchor is Anchor.START


@pytest.mark.parametrize("angle_deg", range(0, 360, 15))
def test_dimension_words_never_stand_on_their_head(angle_deg):
    end = (40 * math.cos(math.radians(angle_deg)), 40 * math.sin(math.radians(angle_deg)))
    words = dimension_parts(Dimension(start=(0.0, 0.0), end=end, words="40"))[5]
    assert -90 < words.turn_deg <= 90.001


def test_a_sector_has_the_area_of_its_band():
    band = sector(Arc(centre=(0, 0), radius=10, start_deg=0, end_deg=90), 8.0, step_deg=0.5)
    points = list(band.points)
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2
    assert area == pytest.approx(math.pi / 4 * (100 - 64), rel=1e-4)


def test_a_paragraph_keeps_every_word_and_goes_down_the_page():
    lines = paragraph(Text(at=(0.0, 50.0), words="one two three four five six " * 4), 40.0)
    assert (
        " ".join(each.words for each in lines).split()
        == ("one two three four five six " * 4).split()
    )
    assert [each.at[1] for each in lines] == sorted((each.at[1] for each in lines), reverse=True)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Circle(centre=(0.0, 0.0), radius=0.0),
        lambda: DrawnLine(start=(0.0, 0.0), end=(math.nan, 1.0)),
        lambda: Arc(centre=(0.0, 0.0), radius=1.0, start_deg=90.0, end_deg=90.0),
        lambda: Polyline(points=((0.0, 0.0),)),
        lambda: Polyline(points=((0.0, 0.0), (1.0, 0.0)), fill=Fill.INK),
        lambda: Dimension(start=(1.0, 1.0), end=(1.0, 1.0), words="0"),
        lambda: Text(at=(0.0, 0.0), words="x", height=0.0),
        lambda: Drawing(title="", width=0.0, height=1.0, shapes=()),
    ],
)
def test_an_impossible_shape_is_refused(make):
    with pytest.raises(InputError):
        make()


def test_shapes_of_one_name_are_told_together_on_a_screen_and_drawn_each_for_a_machine():
    line = DrawnLine(start=(0.0, 0.0), end=(5.0, 5.0))
    hole = Circle(centre=(5.0, 5.0), radius=1.0, fill=Fill.PLATE)
    both = Drawing(
        title="Stem", width=10.0, height=10.0,
        shapes=(Named(words="late < early", shapes=(line, hole)),),
    )  # fmt: skip
    group = ET.fromstring(svg_text(both)).find(f"{SVG}g")
    assert group.find(f"{SVG}title").text == "late < early"
    assert [part.tag for part in group][1:] == [f"{SVG}polyline", f"{SVG}circle"]
    assert both.fills == {Fill.PLATE}
    kinds = {each.dxftype() for each in ezdxf.read(io.StringIO(dxf_text(both))).modelspace()}
    assert {"LINE", "CIRCLE"} <= kinds


@pytest.mark.parametrize("width", [26.5 + 0.37 * step for step in range(25)])
def test_words_that_fit_in_smaller_letters_are_not_cut(width):
    """By hand: 14 small letters of 0.55 and 2 capitals of 0.75, 2.83 high, are 26.04 mm wide."""
    set_small = within(Text(at=(0, 0), words="Atelier Rubellin", height=3.8), width)
    assert set_small.words == "Atelier Rubellin"
    cut = within(Text(at=(0, 0), words="Atelier Rubellin", height=3.8), 20.0)
    assert cut.words.endswith("…")
