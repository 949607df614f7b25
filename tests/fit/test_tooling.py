import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import Part
from sideshake.fit.materials import BRONZE
from sideshake.fit.tooling import (
    ToolingCaution,
    centre_words,
    depth_words,
    plan,
    press_depth,
    reamer_sequence,
    sizes_in_tenths,
)

LIST = tuple(round(0.69 + step / 10, 2) for step in range(24))


def sizes(cuts):
    return [cut.reamer_mm for cut in cuts]


def test_the_last_reamer_is_a_hundredth_under_the_jewel():
    cuts = reamer_sequence(LIST, start_mm=1.012, outside_mm=1.50)
    assert sizes(cuts) == [1.09, 1.19, 1.29, 1.39, 1.49]
    assert not any(cut.is_large for cut in cuts)


def test_the_amount_under_can_be_stated():
    assert sizes(reamer_sequence((0.98, 0.985), start_mm=0.95, outside_mm=1.0, under_mm=0.02)) == [
        0.98
    ]


def test_a_gap_in_the_list_is_marked_as_a_large_cut():
    cuts = reamer_sequence((1.09, 1.49), start_mm=1.0, outside_mm=1.50)
    assert [cut.is_large for cut in cuts] == [False, True]


def test_needless_reamers_are_left_out():
    many = tuple(round(1.0 + step / 100, 2) for step in range(60))
    assert sizes(reamer_sequence(many, start_mm=1.29, outside_mm=1.50)) == [1.39, 1.49]


@given(st.floats(0.7, 1.4), st.sampled_from([1.50, 1.60, 1.80, 2.00, 2.30]))
def test_every_sequence_rises_from_the_hole_to_just_under_the_jewel(start, outside):
    cuts = reamer_sequence(LIST, start_mm=start, outside_mm=outside)
    assert sizes(cuts) == sorted(sizes(cuts))
    assert sizes(cuts)[-1] == pytest.approx(outside - 0.01)
    assert start + sum(cut.opens_mm for cut in cuts) == pytest.approx(outside - 0.01)
    assert all(cut.opens_mm > 0 for cut in cuts)


@given(st.floats(0.7, 1.4), st.sampled_from([1.50, 1.60, 1.80, 2.00, 2.30]))
def test_the_sizes_wanted_are_a_sequence_without_a_large_cut(start, outside):
    wanted = sizes_in_tenths(start_mm=start, outside_mm=outside)
    cuts = reamer_sequence(wanted, start_mm=start, outside_mm=outside)
    assert sizes(cuts) == list(wanted)
    assert not any(cut.is_large for cut in cuts)


def test_a_hole_that_needs_less_than_a_tenth_needs_one_reamer():
    assert sizes_in_tenths(start_mm=1.45, outside_mm=1.50) == (1.49,)


def test_a_missing_last_reamer_is_named_with_the_nearest():
    with pytest.raises(NotEnough, match=r"1\.490.*1\.48"):
        reamer_sequence((1.08, 1.48), start_mm=1.0, outside_mm=1.50)
    with pytest.raises(NotEnough, match="empty"):
        reamer_sequence((), start_mm=1.0, outside_mm=1.50)


def test_a_hole_too_large_for_the_jewel_is_refused():
    with pytest.raises(InputError, match=r"1\.6 mm.*1\.5 mm"):
        reamer_sequence(LIST, start_mm=1.6, outside_mm=1.5)
    with pytest.raises(InputError, match="under"):
        reamer_sequence(LIST, start_mm=1.0, outside_mm=1.5, under_mm=0.0)


@pytest.mark.parametrize(
    ("old", "now", "wanted", "depth"),
    [(0.010, 0.030, 0.030, 0.010), (0.000, 0.020, 0.035, 0.015), (0.010, 0.050, 0.030, -0.010)],
)
def test_the_depth_makes_the_endshake_wanted(old, now, wanted, depth):
    # by hand: a face pressed deeper by x leaves x more endshake
    found = press_depth(Measured(old, 0.003), Measured(now, 0.004), Measured(wanted))
    assert found.value == pytest.approx(depth)
    assert found.u == pytest.approx(0.005)


def test_a_face_that_is_not_flush_is_warned_of():
    assert "not flush" in depth_words(Measured(-0.010))
    assert "not flush" in depth_words(Measured(0.030))
    assert "not flush" not in depth_words(Measured(0.010))


def test_a_worn_hole_must_not_guide():
    assert "unworn hole opposite" in centre_words(ovality_mm=0.08, passes_through=True)
    assert "0.040 mm" in centre_words(ovality_mm=0.08, passes_through=True)
    assert "sink" in centre_words(ovality_mm=0.08, passes_through=False)
    assert "may guide" in centre_words(ovality_mm=0.0, passes_through=True)


def test_a_ruby_plan_warns_of_eyes_and_asks_the_owner():
    cuts = reamer_sequence(LIST, start_mm=1.012, outside_mm=1.50)
    made = plan(Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.6), cuts, centre="Centre it.")
    assert "Centre it." in made.steps
    assert {
        ToolingCaution.EYES,
        ToolingCaution.OWNER,
        ToolingCaution.PRACTICE,
        ToolingCaution.RULES,
    } <= set(made.cautions)
    assert any("1.09, 1.19, 1.29, 1.39, 1.49 mm" in each for each in made.steps)


def test_a_bush_is_finished_after_pressing():
    bush = Part(outside_mm=1.5, hole_mm=0.92, thickness_mm=0.6, material=BRONZE)
    made = plan(bush, (), centre="", depth_mm=Measured(0.01))
    assert any("Open the bush" in each for each in made.steps)
    assert any("in steps of a tenth at most" in each for each in made.steps)
    assert ToolingCaution.RUBY not in made.cautions
