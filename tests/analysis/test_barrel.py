"""A barrel judged by one call: what the sheet or the sizes do not tell is left out."""

from dataclasses import replace

import pytest

from sideshake.analysis.barrel import depth_lost, depth_under_pull, judge_barrel, pull_of
from sideshake.analysis.barrel_tables import gap_rows, lean_rows, rim_up
from sideshake.analysis.jewel import FittingWish, fit_jewel
from sideshake.analysis.on_bench import laid_out
from sideshake.command.measured import measurements_at
from sideshake.core.quantities import Measured
from sideshake.fit.materials import BRONZE, RUBY
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.verdict import BearingPlace
from sideshake.wear.worth import Costs

SHEET = shipped_sheet("tarnbrook-31")
KNOWN_CLICK = {"directions.click_deg": "300+-8"}


def lying(sheet=SHEET, **changes):
    return laid_out(sheet, measurements_at("leaning-barrel", changes))


@pytest.fixture(scope="module")
def judged():
    return judge_barrel(lying())


def without(table, **lines):
    """The sheet without lines of a table, or without the whole table."""
    kept = getattr(SHEET, table).model_copy(update=lines) if lines else None
    return SHEET.model_copy(update={table: kept})


def test_the_rows_are_one_for_each_pose_and_each_gap(judged):
    names = [pose.name for pose in judged.poses]
    assert [row[0] for row in lean_rows(judged.poses)] == names
    assert len(gap_rows(judged.poses)) == len(names) * len(judged.poses[0].gaps)
    assert rim_up(judged.poses[0].lean).endswith("°")
    upright = replace(judged.poses[0].lean, angle_deg=Measured(0.0))
    assert rim_up(upright) == "none"


def test_without_the_mesh_on_the_sheet_no_depth_is_told():
    on_bench = lying(**KNOWN_CLICK).bench
    for sheet in (without("train"), without("barrel", toothed_plane_mm=None)):
        assert depth_lost(sheet, on_bench) is None
        assert depth_under_pull(sheet, on_bench) is None
    assert depth_lost(SHEET, on_bench) is not None
    assert depth_under_pull(SHEET, on_bench) is not None


def test_a_barrel_is_judged_without_the_plane_of_its_teeth():
    holes = {f"{place}.{part}_mm": size for place in ("above", "below")
             for part, size in (("hole", "0.93+-0.008"), ("pivot", "0.90+-0.004"))}  # fmt: skip
    for sheet, told in ((without("barrel", toothed_plane_mm=None), False), (SHEET, True)):
        said = judge_barrel(laid_out(sheet, measurements_at(None, holes)))
        assert any("At the teeth" in each for each in said.meshing) is told


def test_the_pull_under_way_needs_the_click_s_place():
    assert depth_under_pull(SHEET, lying().bench) is None
    assert depth_under_pull(SHEET, lying(**KNOWN_CLICK).bench) is not None


def test_the_pull_is_torque_over_radius_over_cosine():
    """By hand: torque and radius of the sheet, 15 degrees (wear.mesh names the source)."""
    from math import cos, radians

    from sideshake.movement.mainspring import full_torque, room_of, spring_of

    torque = full_torque(room_of(SHEET), spring_of(SHEET)).value
    radius = SHEET.barrel.pitch_radius_mm.value
    assert pull_of(SHEET).value == pytest.approx(torque / radius / cos(radians(15.0)))
    assert pull_of(without("mainspring")) is None


def test_the_costs_weigh_what_is_worth_measuring():
    bare = laid_out(SHEET, measurements_at(None, {}))
    usual = judge_barrel(bare).verdict.outlook
    dear = judge_barrel(bare, costs=Costs(needless_min=30.0, returns_min=900.0)).verdict.outlook
    assert usual.costs != dear.costs
    assert usual.worth[0].value_min != dear.worth[0].value_min


def test_a_wished_metal_goes_before_the_verdict_s(judged):
    told = {"reference": "2026-001"}
    by_verdict = fit_jewel(lying(), BearingPlace.ABOVE, judged.verdict, **told)
    assert by_verdict.fit.part.material == RUBY
    wish = FittingWish(made_of=BRONZE)
    wished = fit_jewel(lying(), BearingPlace.ABOVE, judged.verdict, wish=wish, **told)
    assert wished.fit.part.material == BRONZE
