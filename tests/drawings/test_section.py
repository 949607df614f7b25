import math
import re
import tomllib
from dataclasses import replace
from functools import cache
from importlib.resources import files

import pytest

from sideshake.core.errors import InputError
from sideshake.drawings.section import SectionView, danger_corner, layout, section_drawing
from sideshake.drawings.shapes import ShapeRole, Text
from sideshake.drawings.svg import RUBY, svg_text
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.barrel import BarrelSide
from sideshake.wear.measurements import Measurements, bench
from sideshake.wear.rubbing import rubbing
from sideshake.wear.tilt import worst_stance
from sideshake.wear.verdict import verdict

EXAMPLE = files("sideshake.wear") / "examples" / "leaning-barrel.toml"


def view(measurements):
    lying = bench(shipped_sheet("tarnbrook-31"), measurements)
    judged = verdict(lying.case)
    return SectionView(
        title="The barrel",
        sentence=judged.sentence,
        barrel=lying.case.barrel,
        rubbing=judged.free,
        rim_radius_mm=lying.rim_radius_mm,
        plate_mm=0.55,
        bridge_mm=0.60,
        running=lying.case.running,
        winding=lying.case.winding,
    )


@cache
def leaning(**directions):
    written = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    written["directions"] |= directions
    return view(Measurements.model_validate(written))


AS_NEW = {
    "above": {"hole_mm": 0.925, "pivot_mm": 0.9},
    "below": {"hole_mm": 0.925, "pivot_mm": 0.9},
    "lid": {"hole_mm": 1.215, "pivot_mm": 1.2},
    "floor": {"hole_mm": 1.215, "pivot_mm": 1.2},
    "barrel": {"endshake_mm": 0.03, "barrel_endshake_mm": 0.04},
}


@cache
def sound():
    return view(Measurements.model_validate(AS_NEW))


def as_it_is(seen):
    return seen


def below_instead(seen):
    plate = next(gap for gap in seen.barrel.gaps if gap.side is BarrelSide.BELOW)
    stance = worst_stance(seen.barrel, plate)
    return replace(seen, rubbing=rubbing(seen.barrel, stance, plate))


def drawn_gap(seen):
    laid = layout(seen)
    wall = laid.place(0.0, laid.bridge_foot if laid.above else laid.plate_top)[1]
    towards = 1.0 if laid.above else -1.0
    return towards * (wall - danger_corner(laid)[1]) / laid.scale / laid.factor


@pytest.mark.parametrize("turned", [as_it_is, below_instead])
def test_the_gap_drawn_is_the_gap_left_times_the_stated_factor(turned):
    seen = turned(sound())
    # the corner's own turning adds the second order, below 0.005 mm here
    assert drawn_gap(seen) == pytest.approx(seen.rubbing.left_mm.value, abs=0.005)


@pytest.mark.parametrize("turned", [as_it_is, below_instead])
def test_a_barrel_that_rubs_is_drawn_just_touching(turned):
    seen = turned(leaning())
    assert seen.rubbing.left_mm.value < 0
    assert drawn_gap(seen) == pytest.approx(0.0, abs=0.005)


def test_the_lean_drawn_is_the_lean_times_the_factor():
    seen = sound()
    laid = layout(seen)
    rim = math.tan(math.atan(laid.barrel_slope)) * laid.rim / laid.factor
    half_endshake = seen.barrel.endshake_mm.value / 2
    gap = seen.rubbing.gap.gap_mm.value
    assert rim == pytest.approx(gap - half_endshake - seen.rubbing.left_mm.value)


def test_ruby_marks_contact_and_nothing_else():
    assert RUBY in svg_text(section_drawing(leaning()))
    assert RUBY not in svg_text(section_drawing(sound()))


@pytest.mark.parametrize(("probability", "words"), [(0.96, "touches"), (0.86, "probably touches")])
def test_it_is_said_to_touch_only_where_that_is_sure(probability, words):
    seen = leaning()
    drawing = section_drawing(replace(seen, rubbing=replace(seen.rubbing, sampled=probability)))
    (said,) = (e.words for e in drawing.shapes if isinstance(e, Text) and "touches" in e.words)
    assert said.startswith(f"{words} the bridge (")


def test_scale_and_enlargement_are_stated():
    drawing = section_drawing(leaning())
    words = " ".join(each.words for each in drawing.shapes if isinstance(each, Text))
    assert re.search(r"10:1.*3 times larger", words)
    assert "10:1" in drawing.description


def test_everything_lies_on_the_sheet():
    drawing = section_drawing(leaning())
    numbers = re.findall(r'points="([^"]+)"', svg_text(drawing))
    points = [tuple(map(float, pair.split(","))) for row in numbers for pair in row.split()]
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in points)


def test_a_long_title_still_fits_its_line():
    drawing = section_drawing(replace(sound(), title="The barrel of a watch " * 6))
    title = next(each for each in drawing.shapes if isinstance(each, Text) and each.heading)
    assert 0.5 * title.height * len(title.words) < drawing.width


def test_the_thrusts_are_drawn_when_they_are_known():
    def thrusts(seen):
        return {each.words for each in section_drawing(seen).shapes if isinstance(each, Text)}

    # the example's click has no known place: under way the load may press anywhere
    assert "winding" in thrusts(leaning())
    assert "under way" not in thrusts(leaning())
    assert {"winding", "under way"} <= thrusts(leaning(click_deg=300))
    assert not {"winding", "under way"} & thrusts(sound())


def test_gaps_that_leave_no_barrel_are_refused():
    with pytest.raises(InputError, match=r"0\.22.*0\.2 mm"):
        section_drawing(replace(sound(), plate_mm=2.5, bridge_mm=2.2))


def test_dimensions_use_the_dimension_role():
    spans = [each for each in section_drawing(sound()).shapes if getattr(each, "offset", 0)]
    assert [each.role for each in spans] == [ShapeRole.DIMENSION]


@pytest.mark.parametrize("turned", [as_it_is, below_instead])
def test_arbor_and_barrel_lean_the_same_way(turned):
    seen = turned(leaning())
    laid = layout(seen)
    assert 0 < laid.arbor_slope < laid.barrel_slope
