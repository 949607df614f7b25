import tomllib
from importlib.resources import files

import pytest

from sideshake.errors import InputError, NotEnough
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.cause import Cause, cause_of, loads_on
from sideshake.wear.measurements import Measurements, bench
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


@pytest.mark.parametrize("name", ["tarnbrook-31", "wendelmoor-43", "lindquell-25"])
def test_a_sound_movement_of_the_demo_is_left_alone(name):
    found = verdict(bench(shipped_sheet(name), Measurements()).case)
    assert found.action is Action.LEAVE


def test_what_nobody_measured_is_named():
    assert "hole above" in bench(SHEET, Measurements()).from_sheet
    assert "hole above" not in bench(SHEET, example()).from_sheet


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


def test_a_barrel_that_pulls_a_chain_has_no_verdict():
    with pytest.raises(NotEnough, match="not for a barrel with a fusee"):
        bench(shipped_sheet("aldermoor-45"), Measurements())
