from statistics import NormalDist

import numpy as np
import pytest
from bench_cases import barrel, bearing, gap
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.wear.barrel import BarrelSide
from sideshake.wear.draws import drawn
from sideshake.wear.rubbing import chance_words, rubbing
from sideshake.wear.tilt import worst_stance


def judged(size, *, upper=0.13, across=0.05, draws=100_000, u=0.01):
    held = barrel(
        bearing(0.02, u=0.004),
        bearing(upper, u=0.004, across=across, axis_deg=30.0),
        u=0.004,
        gaps=[gap(size, u=u)],
    )
    return rubbing(held, worst_stance(held, held.gaps[0]), held.gaps[0], draws=draws)


def test_a_gap_known_alone_gives_the_normal_distribution_s_probability():
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[gap(0.12, u=0.01)])
    found = rubbing(held, worst_stance(held, held.gaps[0]), held.gaps[0], draws=400_000)
    # 0.11 mm rim movement leaves 0.01 +- 0.01 mm: one sigma
    assert found.first_order == pytest.approx(NormalDist().cdf(-1.0), abs=1e-9)
    assert found.sampled == pytest.approx(NormalDist().cdf(-1.0), abs=0.002)


@pytest.mark.parametrize("size", [0.16, 0.18, 0.185, 0.19, 0.20, 0.22])
def test_first_order_and_sampling_agree(size):
    found = judged(size)
    assert found.ways_agree
    assert found.sampled == pytest.approx(found.first_order, abs=0.01)


def test_without_doubt_the_answer_is_plain():
    held = barrel(bearing(0.05), bearing(0.05), endshake=0.0, gaps=[gap(0.10), gap(0.12)])
    near, far = (rubbing(held, worst_stance(held, each), each, draws=1000) for each in held.gaps)
    assert (near.probability, near.first_order) == (1.0, 1.0)
    assert (far.probability, far.first_order) == (0.0, 0.0)
    assert near.doubts == ()


def test_the_largest_doubt_comes_first_and_all_shares_make_one():
    found = judged(0.18, u=0.05)
    assert found.doubts[0].name == "gap to the bridge"
    assert sum(each.share for each in found.doubts) == pytest.approx(1.0)


@settings(deadline=None, max_examples=30)
@given(st.floats(0.05, 0.2), st.floats(0.0, 0.1))
def test_more_play_never_rubs_less(upper, more):
    less_worn = judged(0.18, upper=upper, draws=2000)
    more_worn = judged(0.18, upper=upper + more, draws=2000)
    assert more_worn.sampled >= less_worn.sampled - 1e-12


def test_the_same_question_gets_the_same_answer():
    assert judged(0.18) == judged(0.18)


@pytest.mark.parametrize("draws", [0, 999])
def test_too_few_draws_are_refused(draws):
    with pytest.raises(InputError, match="1000"):
        judged(0.18, draws=draws)


def test_turned_over_the_plate_is_as_much_in_danger_as_the_bridge_was():
    lower, upper = bearing(0.03, u=0.004), bearing(0.12, u=0.004)
    up = barrel(lower, upper, gaps=[gap(0.18, u=0.01)])
    over = barrel(upper, lower, gaps=[gap(0.18, u=0.01, side=BarrelSide.BELOW, name="plate")])
    one, other = (
        rubbing(each, worst_stance(each, each.gaps[0]), each.gaps[0]) for each in (up, over)
    )
    assert one.left_mm.value == pytest.approx(other.left_mm.value)
    assert one.left_mm.u == pytest.approx(other.left_mm.u, rel=0.02)
    assert one.sampled == pytest.approx(other.sampled, abs=0.005)


def test_chances_are_said_without_false_certainty():
    assert chance_words(1.0) == "more than 99 %"
    with pytest.raises(InputError):
        chance_words(1.2)


def test_no_drawn_hole_is_smaller_than_its_pivot():
    tight = bearing(0.001, u=0.01, across=0.0, axis_deg=20.0)
    held = barrel(tight, tight, gaps=[gap(0.2)])
    values = drawn(held, worst_stance(held, held.gaps[0]), 5000, np.random.default_rng(1))
    for place in ("lower", "upper"):
        pivot = values[f"{place} pivot"]
        assert np.all(values[f"{place} hole"] >= pivot)
        assert np.all(values[f"{place} hole, short axis"] >= pivot)
        assert np.std(pivot) == pytest.approx(0.01, rel=0.05)
