import tomllib
from importlib.resources import files

import numpy as np
import pytest

from sideshake.errors import InputError
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.quantities import Measured
from sideshake.wear.cause import Cause, cause_of, loads_on
from sideshake.wear.measurements import MeasuredBarrel, Measurements, bench
from sideshake.wear.verdict import Action, verdict

EXAMPLE = files("sideshake.wear") / "examples" / "leaning-barrel.toml"
SHEET = shipped_sheet("tarnbrook-31")


def example(**changes):
    written = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    for place, value in changes.items():
        written[place] = {**written[place], **value} if isinstance(value, dict) else value
    return Measurements.model_validate(written)


def test_the_example_s_barrel_leans_and_its_bridge_wants_a_jewel():
    found = verdict(bench(SHEET, example()).case)
    assert found.action is Action.JEWEL_ABOVE
    assert found.probability > 0.95
    assert found.free.ways_agree


def test_the_example_s_hole_was_worn_by_winding():
    lying = bench(SHEET, example())
    upper = lying.case.barrel.arbor.upper.hole
    found = cause_of(
        upper,
        winding_deg=loads_on(lying.winding, "upper"),
        mesh_deg=loads_on(lying.case.running, "upper"),
    )
    assert found.cause is Cause.WINDING


def as_new(sheet):
    """Measurements that find a watch as its sheet has it."""
    lines = sheet.barrel
    places = {"above": lines.above, "below": lines.below}
    places |= {"lid": lines.on_arbor_above, "floor": lines.on_arbor_below}
    found = {
        place: {"hole_mm": each.hole_mm, "pivot_mm": each.pivot_mm}
        for place, each in places.items()
    }
    keys = [key for key in MeasuredBarrel.model_fields if getattr(lines, key, None)]
    return Measurements(**found, barrel={key: getattr(lines, key) for key in keys})


@pytest.mark.parametrize("name", ["tarnbrook-31", "wendelmoor-43", "lindquell-25"])
def test_a_movement_measured_as_sound_is_left_alone(name):
    sheet = shipped_sheet(name)
    assert verdict(bench(sheet, as_new(sheet)).case).action is Action.LEAVE


@pytest.mark.parametrize("name", shipped_names())
def test_no_movement_is_left_alone_from_its_sheet(name):
    found = verdict(bench(shipped_sheet(name), Measurements()).case)
    assert (found.action, found.places) == (Action.MEASURE, ())
    assert found.sentence.startswith("Measure first: nothing was measured on this watch")


def test_what_nobody_measured_is_named():
    assert "hole above" in bench(SHEET, Measurements()).from_sheet
    assert "hole above" not in bench(SHEET, example()).from_sheet


def without(*keys):
    """The sheet without some of its lines on the barrel."""
    gone = dict.fromkeys(keys)
    return SHEET.model_copy(update={"barrel": SHEET.barrel.model_copy(update=gone)})


def test_only_lines_of_the_sheet_are_said_to_be_taken_from_it():
    bare = bench(without("below", "on_arbor_above", "gap_bridge_mm"), Measurements())
    taken = {"hole below", "pivot below", "hole in the lid", "arbor in the lid"}
    taken |= {"gap to the bridge"}
    assert taken == set(bare.assumed)
    assert not taken & set(bare.from_sheet)
    assert taken < set(bench(SHEET, Measurements()).from_sheet)


@pytest.mark.parametrize("key", ["below", "on_arbor_above", "on_arbor_below", "lid_to_floor_mm"])
def test_a_sheet_without_a_line_does_not_halve_the_lean(key):
    # the trade's table is as wide as the sheet's plays or wider: the danger is never told smaller
    whole, bare = (
        verdict(bench(sheet, Measurements()).case).probability for sheet in (SHEET, without(key))
    )
    assert whole - 0.02 < bare < whole + 0.2


def test_a_neighbour_is_judged_only_where_one_is_known():
    assert "neighbour" not in " ".join(bench(without("gap_neighbour_mm"), Measurements()).assumed)
    assert [gap.name for gap in bench(SHEET, Measurements()).case.barrel.gaps][-1] == "centre wheel"


def test_honest_measurements_of_a_tight_bearing_are_not_turned_away():
    # u 0.008 each, true plays of the sheet (0.025 and 0.015): 2 u of both together is 0.023
    random = np.random.default_rng(7)
    true = as_new(SHEET)
    refused = 0
    for _each in range(200):
        read = {
            place: {
                key: Measured(random.normal(getattr(getattr(true, place), key).value, 0.008), 0.008)
                for key in ("hole_mm", "pivot_mm")
            }
            for place in ("above", "below", "lid", "floor")
        }
        try:
            bench(SHEET, Measurements(**read))
        except InputError:
            refused += 1
    assert refused <= 2, f"honest measurements turned away: {refused} of 200"
    with pytest.raises(InputError, match="larger than its hole"):
        bench(SHEET, example(below={"hole_mm": "0.90+-0.004", "pivot_mm": "0.92+-0.004"}))


def test_a_value_without_doubt_takes_the_file_s():
    pivot = bench(SHEET, example(above={"pivot_mm": 0.9})).case.barrel.arbor.upper.pivot_mm
    assert pivot.u == 0.004


def test_two_ways_of_giving_a_hole_are_refused_together():
    with pytest.raises(InputError, match=r"hole_mm.*oval"):
        bench(SHEET, example(above={"hole_mm": 1.0}))


def test_a_missing_line_is_named_with_what_needs_it():
    bare = SHEET.model_copy(update={"barrel": None})
    with pytest.raises(InputError, match=r"span_mm.*lean"):
        bench(bare, example())


def test_a_sheet_s_own_play_is_normal_give_or_take_a_third():
    # the sheet's holes: 0.925 on 0.900
    upper = bench(SHEET, Measurements()).case.barrel.arbor.upper
    assert upper.normal_mm == (pytest.approx(0.025 * 2 / 3), pytest.approx(0.025 * 4 / 3))
