"""How a part is made beside its sizes: hand-worked, since no standard tells it."""

from dataclasses import replace

import pytest

from sideshake.core.errors import InputError
from sideshake.fit.jewel import Part
from sideshake.fit.making import (
    bore_words,
    edge_radius_mm,
    olive_radius_mm,
    roughness,
    sink_of,
    sink_words,
    tolerance_words,
)
from sideshake.fit.materials import BRONZE
from sideshake.fit.shape import ENTERS_FIRST, BoreShape, sizes_text
from sideshake.fit.tooling import plan

PART = Part(outside_mm=1.2, hole_mm=0.2, thickness_mm=0.4)


def test_the_sink_takes_half_the_wall_and_three_tenths_of_the_thickness():
    # wall (1.2 - 0.2) / 2 = 0.5; half of it on both sides: 0.2 + 0.5 = 0.7; 0.3 x 0.4 = 0.12
    sink = sink_of(PART)
    assert (sink.across_mm, sink.deep_mm) == (0.7, 0.12)
    assert sink_words(PART) == "oil sink Ø 0.700, 0.120 deep"


def test_a_sink_leaves_room_for_the_chamfer_or_is_refused():
    # wall 0.14: half is 0.07, but 0.14 - 0.05 - 0.04 = 0.05 is left beside the chamfer
    assert sink_of(replace(PART, outside_mm=0.48)).across_mm == pytest.approx(0.3)
    with pytest.raises(InputError, match="no room for an oil sink"):
        sink_of(replace(PART, outside_mm=0.44))


def test_no_sink_where_none_is_wished_nor_in_a_bush():
    for part in (replace(PART, sink=False), replace(PART, material=BRONZE)):
        assert sink_of(part) is None
        assert sink_words(part) == "no oil sink"


def test_an_olive_hole_has_a_radius_as_long_as_the_hole_and_a_straight_one_none():
    # the hole is 0.4 - 0.12 = 0.28 long, to the next twentieth 0.30
    assert olive_radius_mm(replace(PART, bore=BoreShape.OLIVE)) == pytest.approx(0.3)
    assert bore_words(replace(PART, bore=BoreShape.OLIVE)) == "olive hole, R 0.300"
    assert olive_radius_mm(PART) is None
    assert bore_words(PART) == "straight hole"


def test_a_very_thin_part_has_a_smaller_edge_radius():
    assert edge_radius_mm(PART) == 0.02
    assert edge_radius_mm(replace(PART, thickness_mm=0.14)) == 0.01


def test_ruby_is_smoother_than_metal():
    assert roughness(PART).hole_um < roughness(replace(PART, material=BRONZE)).hole_um


def test_sizes_are_said_as_hole_outside_thickness():
    assert PART.sizes == "0.200 × 1.200 × 0.400"
    assert sizes_text(0.2, -1, 0.4) == "0.200 × ? × 0.400"
    assert tolerance_words() == "hole ±0.003, outside ±0.003, thickness ±0.020 mm"


def test_the_bench_presses_the_edge_in_first_that_the_maker_chamfers():
    way = " ".join(plan(PART, (), centre="").steps)
    assert ENTERS_FIRST in way
    assert "flat side leading" not in way
