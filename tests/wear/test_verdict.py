from dataclasses import replace

import pytest
from bench_cases import barrel, bearing, gap
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.barrel import BearingPair
from sideshake.wear.verdict import Action, BearingPlace, Case, verdict

NORMAL = (0.015, 0.035)
DRAWS = 5000


def case(below, above, *, size=0.18, u=0.003, gap_u=0.008, metal_only=False, room=None):
    lower, upper = (bearing(each, u=u, normal=NORMAL, room=room) for each in (below, above))
    held = barrel(lower, upper, u=0.003, gaps=[gap(size, u=gap_u)])
    return Case(barrel=held, metal_only=metal_only, draws=DRAWS)


@pytest.mark.parametrize(
    ("below", "above", "action"),
    [
        (0.025, 0.025, Action.LEAVE),
        (0.025, 0.060, Action.WATCH),
        (0.025, 0.150, Action.JEWEL_ABOVE),
        (0.150, 0.025, Action.JEWEL_BELOW),
        (0.120, 0.120, Action.JEWEL_BOTH),
    ],
)
def test_the_verdict_follows_the_worn_holes(below, above, action):
    assert verdict(case(below, above)).action is action


@pytest.mark.parametrize(
    ("below", "above", "words"),
    [
        (0.025, 0.150, "Fit a jewel in the bridge: "),
        (0.150, 0.025, "Fit a jewel in the plate: "),
        (0.120, 0.120, "Fit a jewel in the plate and in the bridge: "),
    ],
)
def test_the_sentence_says_what_goes_in_and_where(below, above, words):
    assert verdict(case(below, above)).sentence.startswith(words)
    metal = verdict(case(below, above, metal_only=True)).sentence
    assert metal.startswith(words.replace("jewel", "bush"))


def test_metal_only_gets_a_bush():
    found = verdict(case(0.025, 0.15, metal_only=True))
    assert (found.action, found.places) == (Action.BUSH, (BearingPlace.ABOVE,))


def test_little_metal_around_gets_a_bush_and_none_a_new_part():
    assert verdict(case(0.025, 0.15, room=1.4)).action is Action.BUSH
    assert verdict(case(0.025, 0.15, room=1.16)).action is Action.REPLACE


def test_new_holes_cannot_cure_a_barrel_loose_on_its_arbor():
    loose = BearingPair(lower=bearing(0.1), upper=bearing(0.1), span_mm=Measured(1.8))
    asked = case(0.025, 0.15)
    found = verdict(replace(asked, barrel=replace(asked.barrel, inner=loose)))
    assert found.action is Action.REPLACE
    assert "barrel's own holes" in found.sentence


def test_watching_names_the_measurement_to_repeat():
    found = verdict(case(0.025, 0.06, gap_u=0.03, size=0.15))
    assert found.action is Action.WATCH
    assert found.doubt.name == "gap to the bridge"
    assert "Measure the gap to the bridge again" in found.sentence


def test_the_sentence_carries_the_probability_and_both_shakes():
    sentence = verdict(case(0.025, 0.15)).sentence
    assert sentence.startswith(
        "Fit a jewel in the bridge: at its greatest lean the barrel reaches the "
    )
    assert "%" in sentence
    assert "side shake above 0.150 ± 0.008 mm" in sentence


@settings(deadline=None, max_examples=15)
@given(st.floats(0.02, 0.2), st.floats(0.02, 0.2))
def test_turned_over_the_verdict_is_turned_over(below, above):
    one, other = verdict(case(below, above)), verdict(case(above, below))
    over = {Action.JEWEL_ABOVE: Action.JEWEL_BELOW, Action.JEWEL_BELOW: Action.JEWEL_ABOVE}
    if abs(one.probability - other.probability) < 1e-9:
        assert other.action is over.get(one.action, one.action)
    assert one.worn_below == pytest.approx(other.worn_above)


def test_a_repair_never_makes_it_worse():
    found = verdict(case(0.12, 0.15))
    untouched = found.options[0].rubs_after
    assert all(each.rubs_after <= untouched + 0.01 for each in found.options)


def test_without_a_gap_there_is_no_verdict():
    with pytest.raises(InputError, match="gap"):
        verdict(Case(barrel=barrel(bearing(0.1), bearing(0.1))))


def test_a_hole_worn_wider_than_any_seat_needs_a_new_part():
    # a bush for a pivot of 1.0 would need 1.275 mm, but the worn hole reaches 1.50
    found = verdict(case(0.025, 0.50, room=1.4))
    assert found.action is Action.REPLACE
    assert "the metal has no room" in found.sentence
    assert verdict(case(0.025, 0.50, room=1.6)).action is Action.JEWEL_ABOVE


def test_of_two_repairs_that_serve_the_more_useful_is_chosen():
    # neither hole is worn beyond twice normal; together they rub, and either repair ends it
    assert verdict(case(0.048, 0.060, size=0.135)).action is Action.JEWEL_ABOVE
    assert verdict(case(0.060, 0.048, size=0.135)).action is Action.JEWEL_BELOW
