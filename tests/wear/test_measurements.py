import tomllib
from importlib.resources import files

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import SheetDirections
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.wear.barrel import bell_mouthed
from sideshake.wear.bearing import side_shake
from sideshake.wear.cause import WearCause, cause_of
from sideshake.wear.draws import lean
from sideshake.wear.measurements import MeasuredBarrel, Measurements, bench
from sideshake.wear.rubbing import rubbing
from sideshake.wear.verdict import Action, verdict

EXAMPLE = files("sideshake.wear") / "examples" / "leaning-barrel.toml"
SHEET = shipped_sheet("tarnbrook-31")


def example(**changes):
    written = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    for place, value in changes.items():
        written[place] = {**written.get(place, {}), **value} if isinstance(value, dict) else value
    return Measurements.model_validate(written)


def test_the_example_s_barrel_leans_and_its_bridge_wants_a_jewel():
    found = verdict(bench(SHEET, example()).case)
    assert found.action is Action.JEWEL_ABOVE
    assert found.probability == pytest.approx(0.89, abs=0.02)  # 0.98 if bell-mouthed
    assert found.free.ways_agree


def cause_above(**directions):
    lying = bench(SHEET, example(directions=directions))
    return cause_of(lying.case.barrel.arbor.upper.hole, lying.thrusts_above)


def test_the_example_s_hole_may_be_winding_s_or_the_click_s():
    # its click's place was not written down: the axis alone cannot tell
    found = cause_above()
    assert found.cause is WearCause.SEVERAL
    assert "winding" in found.sentence
    assert "click" in found.sentence


def test_the_click_s_place_tells_what_wore_the_example_s_hole():
    assert cause_above(click_deg=300).cause is WearCause.WINDING
    # clockwise, the click at 5 degrees pushes along 275, the axis lies along 95
    assert cause_above(click_deg=5).cause is WearCause.SEVERAL
    assert cause_above(click_deg=350, crown_wheel_deg=250).cause is WearCause.CLICK


def test_the_example_under_way_hangs_on_where_its_click_is():
    """The figures of an independent free body: +0.012 to +0.144 mm, winding 1.27 to 1.30 degrees.

    They hold for bell-mouthed holes. Cylinders of the sheet's thickness leave more.
    """
    lying = bench(SHEET, example())
    bridge = next(each for each in lying.case.barrel.gaps if each.name == "bridge")
    for made, least, most, winding in (
        (bell_mouthed(lying.case.barrel), 0.012, 0.144, 1.28),
        (lying.case.barrel, 0.041, 0.146, 1.07),
    ):
        worst, kindest = (
            rubbing(made, stance, bridge)
            for stance in (lying.case.running, lying.case.running_kindest)
        )
        wound = lean(made, lying.case.winding, lying.rim_radius_mm).angle_deg.value
        print(  # noqa: T201 - the figures, for whoever runs this with -s
            f"{made.arbor.upper.bore}: under way {worst.left_mm.value:+.3f} "
            f"({worst.probability:.0%}) to {kindest.left_mm.value:+.3f} mm, winding {wound:.2f}"
        )
        assert worst.left_mm.value == pytest.approx(least, abs=0.0015)
        assert kindest.left_mm.value == pytest.approx(most, abs=0.003)
        assert wound == pytest.approx(winding, abs=0.01)
    assert rubbing(
        bell_mouthed(lying.case.barrel), lying.case.running, bridge
    ).probability == pytest.approx(0.19, abs=0.015)


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


def without(*keys, **changes):
    """The shipped sheet with lines of its barrel taken out."""
    lines = dict.fromkeys(keys) | changes
    return SHEET.model_copy(update={"barrel": SHEET.barrel.model_copy(update=lines)})


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
        bench(SHEET, example(below={"hole_mm": "0.90+-0.008", "pivot_mm": "0.92+-0.008"}))


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("on_arbor_above", "hole in the lid"),
        ("on_arbor_below", "arbor in the floor"),
        ("gap_neighbour_mm", "gap to the centre wheel"),
        ("barrel_endshake_mm", "endshake of the barrel"),
        ("shoulder_above_mm", "shoulder above"),
        ("ratchet_plane_mm", "ratchet plane"),
    ],
)
def test_only_lines_of_the_sheet_are_said_to_be_from_it(key, name):
    assert name in bench(SHEET, Measurements()).from_sheet
    assert name not in bench(without(key), Measurements()).from_sheet


def test_measured_holes_on_the_arbor_count_without_any_line_of_the_sheet():
    bare = without("on_arbor_above", "on_arbor_below")
    measured = {"hole_mm": 1.30, "pivot_mm": 1.20}
    lying = bench(bare, example(lid=measured, floor=measured))
    assert lying.assumed == ()
    assert lying.case.barrel.inner.upper.hole.long_mm.value == 1.30


def test_a_hanging_barrel_gets_no_lean():
    with pytest.raises(NotEnough, match="hangs in its bridge alone"):
        bench(without(kind="hanging"), example())


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": "fusee"}, "fusee"),
        ({"arbor_turns_while_running": True}, "turns while the watch runs"),
    ],
)
def test_what_is_no_usual_going_barrel_is_said_and_not_loaded_as_one(change, words):
    lying = bench(without(**change), example())
    assert words in lying.unusual
    assert lying.case.running is None
    assert lying.case.winding is None
    assert verdict(lying.case).free.probability > 0.5


def test_the_usual_going_barrel_is_not_said_to_be_unusual():
    assert bench(SHEET, example()).unusual == ""


def test_no_stance_leans_more_than_the_free_one():
    found = verdict(bench(SHEET, example()).case)
    loaded = (found.running, found.running_kindest, found.winding, found.winding_kindest)
    assert all(each.left_mm.value >= found.free.left_mm.value - 1e-6 for each in loaded)


def test_the_ratchet_s_radius_is_half_its_teeth_times_its_module():
    # 56 teeth of 0.15: 4.2 mm
    click = bench(SHEET, example()).case.running.pushes[1]
    assert 1 / click.force_n.value == pytest.approx(4.2)
    own = bench(SHEET, example(barrel={"ratchet_radius_mm": 3.0})).case.running.pushes[1]
    assert 1 / own.force_n.value == pytest.approx(3.0)


def test_places_in_the_sheet_count_where_none_were_measured():
    placed = SHEET.model_copy(
        update={"directions": SheetDirections.model_validate({"click_deg": 210})}
    )
    assert bench(placed, example()).case.running.taken == ()
    measured = bench(placed, example(directions={"click_deg": 20})).case.running.pushes[1]
    assert measured.direction_deg.value % 360 == pytest.approx(290.0)


def test_a_pivot_a_little_larger_than_its_hole_is_no_contradiction():
    # 0.003 too large, both known to 0.004: 0.53 of their joint uncertainty
    tight = {"hole_long_mm": 0.893, "hole_short_mm": 0.893, "pivot_mm": "0.896+-0.008"}
    lying = bench(SHEET, example(above=tight))
    assert side_shake(lying.case.barrel.arbor.upper).value == 0
    with pytest.raises(InputError, match="larger than its hole"):
        bench(SHEET, example(above=tight | {"pivot_mm": "0.906+-0.008"}))


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


def test_a_barrel_that_pulls_a_chain_is_told_how_far_it_can_lean_and_no_more():
    said = bench(shipped_sheet("aldermoor-45"), Measurements())
    assert said.unusual.startswith("This barrel pulls a fusee's chain")
