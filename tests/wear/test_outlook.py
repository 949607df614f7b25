"""What would have to be true for the barrel to rub, what to measure, and what is said of it."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.barrel import with_bearings
from sideshake.wear.barrel_size import SizeSource, unmeasured
from sideshake.wear.bearing import probability_worn, repaired
from sideshake.wear.instruments import NOT_TYPED_IN, Instrument, instruments_for
from sideshake.wear.measure_first import (
    conditions_sentence,
    is_measured,
    limit_words,
    sound_sentence,
    to_measure,
)
from sideshake.wear.measurements import Measurements, bench
from sideshake.wear.outlook import (
    LOWER,
    OWN,
    REPAIRS,
    UPPER,
    Condition,
    chance_worn,
    joint,
    least_left,
    left_at,
    losses,
    outlook,
)
from sideshake.wear.rubbing import rubbing
from sideshake.wear.tilt import worst_stance
from sideshake.wear.verdict import Action, verdict
from sideshake.wear.worth import USUAL_COSTS, Costs

SHEET = shipped_sheet("tarnbrook-31")
HOLES = {
    "above": {"hole_mm": "0.926+-0.008", "pivot_mm": "0.900+-0.004"},
    "below": {"hole_mm": "0.926+-0.008", "pivot_mm": "0.900+-0.004"},
}
OWN_HOLES = {
    "lid": {"hole_mm": "1.215+-0.008", "pivot_mm": "1.200+-0.004"},
    "floor": {"hole_mm": "1.215+-0.008", "pivot_mm": "1.200+-0.004"},
}
ENDSHAKES = {"endshake_mm": "0.03+-0.010", "barrel_endshake_mm": "0.04+-0.010"}
GAPS = {
    "span_mm": "2.70+-0.02",
    "gap_bridge_mm": "0.20+-0.02",
    "gap_plate_mm": "0.22+-0.02",
    "gap_neighbour_mm": "0.20+-0.02",
}


DRAWS = 4000


def barrel_of(sheet=SHEET, **found):
    return bench(sheet, Measurements.model_validate(found)).case.barrel


def judged(sheet=SHEET, **found):
    case = bench(sheet, Measurements.model_validate(found)).case
    bare = replace(case, running=None, running_kindest=None, winding=None, winding_kindest=None)
    return verdict(replace(bare, draws=DRAWS))


@pytest.fixture(scope="module")
def nothing():
    return judged()


@pytest.fixture(scope="module")
def holes_only():
    """The arbor's holes and pivots measured sound, the rest not."""
    return judged(**HOLES)


@pytest.fixture(scope="module")
def all_but_gaps():
    return judged(**HOLES, **OWN_HOLES, barrel=ENDSHAKES)


WHOLE = {**HOLES, **OWN_HOLES, "barrel": {**ENDSHAKES, **GAPS}}


def test_the_least_gap_left_is_below_zero_as_often_as_the_table_says_it_rubs():
    barrel = barrel_of()
    rubs = np.mean(least_left(barrel, joint(barrel, 40_000)) < 0)
    each = [rubbing(barrel, worst_stance(barrel, gap), gap).probability for gap in barrel.gaps]
    assert max(each) - 0.01 < rubs < sum(each)


def test_each_repair_costs_its_holes_and_what_still_rubs():
    barrel, costs = barrel_of(), Costs(needless_min=60.0, returns_min=300.0)
    values = joint(barrel, 5000)
    lost = losses(barrel, values, costs)
    rubs = 300.0 * (least_left(barrel, values) < 0)
    assert np.array_equal(lost[REPAIRS.index(())], rubs)
    both = lost[REPAIRS.index((LOWER, UPPER))]
    assert set(np.unique(both)) == {120.0, 420.0}
    everything = lost[REPAIRS.index((LOWER, UPPER, OWN))]
    assert np.mean(everything > 240.0) < np.mean(both > 120.0)


def test_dearer_comebacks_make_measuring_worth_more(nothing):
    dear = outlook(barrel_of(), replace(USUAL_COSTS, returns_min=900.0)).best
    cheap = outlook(barrel_of(), Costs(needless_min=1.0, returns_min=2.0))
    assert dear.value_min > nothing.outlook.best.value_min
    assert cheap.best is None
    assert cheap.worth


def test_the_most_value_for_a_minute_comes_first(nothing):
    rates = [each.per_minute for each in nothing.outlook.worth]
    assert rates == sorted(rates, reverse=True)
    assert nothing.outlook.best.size.name in {"lower hole", "upper hole"}


def test_what_is_measured_well_is_not_proposed_again(holes_only):
    told = {each.size.words for each in holes_only.outlook.worth}
    assert not told & {"hole above", "hole below", "pivot above", "pivot below"}
    assert {"hole in the lid", "hole in the floor"} <= told


def test_only_what_can_be_typed_in_is_proposed(nothing):
    names = {each.size.name for each in nothing.outlook.worth}
    assert not any(name.startswith(NOT_TYPED_IN) for name in names)
    assert instruments_for("radius at the bridge") == ()
    assert {each.name for each in instruments_for("gap to the bridge")} == {
        "feeler strips",
        "a depth gauge",
    }
    with pytest.raises(ValueError, match="above 0"):
        Instrument(name="nothing", u_mm=0.0, minutes=1.0)


def test_a_gap_s_limit_is_what_lean_and_endshake_need():
    # by hand: cylinders 0.60 and 0.55 long, 2.70 apart, plays 0.026 each, lean by
    # (0.026 + 0.026) / (2 (2.70 + (0.60 + 0.55) / 2)); the barrel on its arbor by
    # 2 x 0.015 / (2 x 1.80); the rim at 5.75, and half the endshake of 0.07
    found = judged(**HOLES, **OWN_HOLES, barrel=ENDSHAKES).outlook.conditions
    limit = next(each for each in found if each.size.name == "gap to the bridge")
    needed = 5.75 * (0.052 / (2 * 3.275) + 0.030 / 3.6) + 0.035
    assert limit.below
    assert limit.limit_mm == pytest.approx(needed, abs=0.003)
    assert limit.low_mm < limit.limit_mm < limit.high_mm


def test_beyond_its_limit_the_barrel_rubs_and_short_of_it_it_does_not(nothing):
    barrel = barrel_of()
    values = joint(barrel, 20_000)
    middle = {name: np.array([np.median(each)]) for name, each in values.items()}
    for each in nothing.outlook.conditions:
        if each.size.name.startswith(("gap", "endshake")):
            continue
        step = -0.002 if each.below else 0.002
        at = {
            sign: middle | {each.size.name: np.array([each.limit_mm + sign * step])}
            for sign in (1, -1)
        }
        assert least_left(barrel, at[1])[0] < 0 < least_left(barrel, at[-1])[0]


def test_an_unknown_gap_gives_its_bound_and_no_error():
    lines = {"gap_bridge_mm": None, "gap_plate_mm": None, "gap_neighbour_mm": None}
    bare = SHEET.model_copy(update={"barrel": SHEET.barrel.model_copy(update=lines)})
    found = judged(bare, **HOLES, **OWN_HOLES, barrel=ENDSHAKES)
    assert found.action is Action.MEASURE
    said = conditions_sentence(found.outlook)
    assert said.startswith("It rubs if the gap to the ")
    assert said.count(", or if") == 0
    assert " mm (0.1" in said
    assert unmeasured(barrel_of(bare).known)["gap to the bridge"] is SizeSource.ASSUMED


def test_a_gap_that_was_measured_has_no_bound():
    assert "gap" not in conditions_sentence(judged(**HOLES, barrel=GAPS).outlook)


def test_everything_measured_is_judged_and_nothing_is_said_of_assumptions():
    found = judged(**WHOLE)
    assert found.action is Action.LEAVE
    said = "" if found.outlook is None else conditions_sentence(found.outlook)
    assert "hole" not in said


def test_nothing_measured_gives_no_verdict_but_the_conditions(nothing):
    assert nothing.action is Action.MEASURE
    assert "nothing was measured on this watch, so there is no verdict" in nothing.sentence
    assert "Begin with the hole" in nothing.sentence
    said = conditions_sentence(nothing.outlook)
    assert "if the hole above is wider than" in said
    assert "gap left" not in nothing.sentence


def test_one_hole_measured_the_other_is_asked_for():
    found = judged(above=HOLES["above"])
    assert "nobody measured the hole below, so there is no verdict" in found.sentence
    assert "nothing was measured" not in found.sentence
    assert "What stands already" not in found.sentence


def test_a_hole_measured_as_worn_stands_whatever_the_other_is():
    found = judged(above={"hole_mm": "1.05+-0.008", "pivot_mm": "0.9+-0.004"})
    assert found.action is Action.MEASURE
    assert "What stands already: side shake above 0.150" in found.sentence


def test_sound_holes_of_the_arbor_leave_the_barrel_s_own_to_be_measured(holes_only):
    assert holes_only.action is Action.MEASURE
    assert "which may decide" in holes_only.sentence
    assert all(each not in holes_only.sentence for each in ("hole above", "hole below"))


def test_a_worn_measured_hole_is_judged_though_other_sizes_were_not_measured():
    worn = {"hole_mm": "1.05+-0.008", "pivot_mm": "0.9+-0.004"}
    found = judged(above=worn, below=HOLES["below"])
    assert found.action is Action.JEWEL_ABOVE
    assert "Measure first" not in found.sentence


def test_no_hole_is_cut_that_nobody_measured():
    # the sheet's own holes, made as wide as worn ones: a verdict on them would be a jewel
    hole = {"above": SHEET.barrel.above.model_copy(update={"hole_mm": Measured(1.05, 0.004)})}
    wide = SHEET.model_copy(update={"barrel": SHEET.barrel.model_copy(update=hole)})
    assert judged(wide).places == ()


def test_a_gap_that_is_only_assumed_leaves_nothing_alone(all_but_gaps):
    lines = dict.fromkeys(("gap_bridge_mm", "gap_plate_mm", "gap_neighbour_mm"))
    rim = {"rim_radius_mm": Measured(5.61, 0.01)}
    bare = SHEET.model_copy(update={"barrel": SHEET.barrel.model_copy(update=lines | rim)})
    found = judged(bare, **HOLES, **OWN_HOLES, barrel=ENDSHAKES)
    assert found.action is Action.MEASURE
    assert all_but_gaps.probability < 0.15


def test_sound_or_not_is_said_of_what_nobody_measured(nothing):
    assert "0.07 mm would be left" in sound_sentence(nothing.outlook)
    rubs = replace(nothing.outlook, sound_left_mm=-0.01)
    assert sound_sentence(rubs) == "Even if all that nobody measured were as new, it would rub."


def test_measure_again_is_said_only_of_what_was_measured():
    barrel = barrel_of(above=HOLES["above"], barrel={"endshake_mm": "0.03"})
    assert to_measure(barrel, "upper hole") == "Measure the hole above again"
    assert to_measure(barrel, "lower hole") == "Measure the hole below"
    assert not is_measured(barrel, "endshake")
    assert is_measured(barrel_of(barrel=ENDSHAKES), "endshake")


def test_each_kind_of_limit_has_its_own_words(nothing):
    words = {each.size.words: limit_words(each) for each in nothing.outlook.conditions}
    assert words["hole above"].startswith("wider than 0.9")
    pivot = next(each for each in barrel_of().known if each.name == "upper pivot")
    thin = Condition(size=pivot, below=True, limit_mm=0.87)
    assert limit_words(thin) == "thinner than 0.870 mm"
    assert words["gap to the bridge"].startswith("below 0.")


def test_the_chance_of_a_worn_hole_is_drawn_where_nobody_measured_it():
    barrel = barrel_of(above=HOLES["above"])
    arbor = barrel.arbor
    assert chance_worn(barrel, UPPER, arbor.upper) == probability_worn(arbor.upper)
    # 12 of 100, by the two exponentials; the normal distribution of the same mean and spread says
    # 25
    assert chance_worn(barrel, LOWER, arbor.lower) == pytest.approx(0.12, abs=0.03)
    assert probability_worn(arbor.lower) > 0.2


ALONE = SHEET.model_copy(
    update={"barrel": SHEET.barrel.model_copy(update={"gap_neighbour_mm": None})}
)
"""The sheet without its neighbour over the rim."""


def test_what_is_left_with_the_rim_pressed_joins_what_was_reckoned_as_two_readings_do():
    # all measured, so nearly normal: the weighted mean of 0.07 reckoned and 0.10 read
    plain = barrel_of(ALONE, **WHOLE)
    pressed = {**GAPS, **ENDSHAKES, "pressed_bridge_mm": "0.10+-0.030"}
    tried = barrel_of(ALONE, **{**WHOLE, "barrel": pressed})
    before, after = (left_at(each, joint(each, 20_000))["bridge"] for each in (plain, tried))
    weights = np.array([before.std() ** -2, 0.015**-2])
    mean = (weights * [before.mean(), 0.10]).sum() / weights.sum()
    assert after.mean() == pytest.approx(mean, abs=0.001)
    assert after.std() == pytest.approx(weights.sum() ** -0.5, rel=0.1)


def test_a_barrel_free_both_ways_is_left_though_its_holes_were_not_measured():
    free = {"pressed_bridge_mm": 0.08, "pressed_plate_mm": 0.09}
    found = judged(ALONE, barrel=free)
    assert found.action is Action.LEAVE
    assert "with the rim pressed" in found.sentence
    assert "how far it has worn is not known" in found.sentence
    assert "no hole is worn" not in found.sentence


def test_one_way_pressed_is_not_enough_and_a_worn_hole_is_not_excused():
    assert judged(ALONE, barrel={"pressed_bridge_mm": 0.08}).action is Action.MEASURE
    worn = {"above": {"hole_mm": "1.0+-0.008", "pivot_mm": "0.9+-0.004"}}
    free = {"pressed_bridge_mm": 0.04, "pressed_plate_mm": 0.05}
    assert judged(ALONE, **worn, barrel=free).action is not Action.LEAVE
    assert "rim pressed" not in judged(**WHOLE).sentence


def test_a_rim_that_touches_rubs_and_asks_for_the_hole_that_does_it():
    found = judged(ALONE, barrel={"pressed_bridge_mm": 0, "pressed_plate_mm": 0.05})
    assert found.probability > 0.8
    assert found.action is Action.MEASURE
    assert "nobody measured the hole below and the hole above" in found.sentence
    assert found.outlook.best.size.name.endswith(("hole", "pivot"))
    assert found.options[-1].rubs_after < found.options[0].rubs_after


def test_pressing_the_rim_is_proposed_until_it_was_done(nothing):
    def asked(found):
        return {each.size.name for each in found.outlook.worth}

    assert {"left at the bridge", "left at the plate"} <= asked(nothing)
    done = asked(judged(ALONE, barrel={"pressed_bridge_mm": 0.08}))
    assert "left at the bridge" not in done
    assert "left at the plate" in done


def test_a_new_hole_sets_aside_what_was_left_before_it():
    barrel = barrel_of(ALONE, **HOLES, barrel={"pressed_bridge_mm": 0.08})
    after = with_bearings(barrel, lower=barrel.arbor.lower, upper=repaired(barrel.arbor.upper))
    assert [gap.pressed_mm for gap in after.gaps] == [None, None]
    assert barrel.gaps[1].pressed_mm == Measured(0.08, 0.015)


def test_a_pressed_rim_that_cannot_be_is_refused():
    with pytest.raises(InputError, match=r"0\.40 ± 0\.03 mm to the bridge"):
        judged(ALONE, **HOLES, **OWN_HOLES, barrel={"pressed_bridge_mm": 0.4})
