"""The invented calibres agree with themselves: train, spring, motion work, sizes and nominals."""

from dataclasses import replace

import pytest

from sideshake.core.errors import NotEnough
from sideshake.movement.drive import drive_torque, drive_turns, running_h, torque_left_after
from sideshake.movement.energy import Losses, amplitude_at, balance_power_uw, barrel_power_uw
from sideshake.movement.escapement import limits_of, require_loss_model
from sideshake.movement.mainspring import fill, full_torque, offers, room_of, spring_of
from sideshake.movement.motion_work import motion_work_ratio
from sideshake.movement.running import running_of
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.movement.train import agreed_beats, meshes, speeds, train_of
from sideshake.movement.winding import (
    crown_turns_per_arbor_turn,
    hours_per_barrel_turn,
    wound_by_key,
)
from sideshake.movement.workings import power_share

TORQUE_MNM = {
    "aldermoor-45": (15, 35),
    "brisenthal-28": (5, 12),
    "corvanne-17": (2, 5),
    "lindquell-25": (5, 12),
    "marrowick-30": (4, 12),
    "quenholt-29": (5, 12),
    "tarnbrook-31": (5, 12),
    "tolvane-26": (5, 12),
    "vennick-41": (15, 30),
    "wendelmoor-43": (15, 30),
}
"""Usual full torque of wrist, small and pocket watches (from memory)."""


@pytest.fixture(params=shipped_names())
def name(request):
    return request.param


@pytest.fixture
def sheet(name):
    return shipped_sheet(name)


def test_the_train_makes_the_beats_the_sheet_says(sheet):
    assert agreed_beats(sheet) == sheet.beats_per_hour


def test_the_seconds_hand_turns_once_a_minute(sheet):
    carried = {each.arbor.carries: each.turns_per_hour for each in speeds(train_of(sheet))}
    assert carried["seconds hand"] == 60
    assert carried["minute hand"] == 1


def test_the_hour_hand_turns_once_in_twelve_hours(sheet):
    assert motion_work_ratio(sheet.motion_work) == 12


def test_the_barrel_gives_the_reserve_the_sheet_says(sheet):
    every = running_of(sheet)
    most = running_h(sheet, replace(every, turns=every.spring_turns)).value
    # The last part of the turns is too weak to count on; a Maltese cross keeps some four of seven.
    least = 0.5 if sheet.drive and sheet.drive.stop_work == "maltese cross" else 0.8
    assert least * most < sheet.measured("nominal.power_reserve_h", "this test").value < most


def test_the_spring_fills_half_its_room_and_clears_the_lid(sheet):
    room, spring = room_of(sheet), spring_of(sheet)
    assert fill(room, spring) == pytest.approx(0.5, abs=0.01)
    (own,) = offers(room, [spring], wanted=spring)
    assert own.faults == ()


def test_the_torque_is_usual_for_its_kind(name, sheet):
    low, high = TORQUE_MNM[name]
    assert low < full_torque(room_of(sheet), spring_of(sheet)).value < high


def test_the_balance_gets_a_believable_share_of_the_barrels_power(sheet):
    # From memory: 0.70 to 0.85 reaches the escape wheel, 0.30 to 0.40 of that the balance.
    if limits_of(sheet).losses_unknown:
        with pytest.raises(NotEnough, match="cylinder"):
            power_share(sheet)
        return
    given = barrel_power_uw(drive_torque(sheet), float(hours_per_barrel_turn(train_of(sheet))))
    taken = balance_power_uw(
        sheet.nominal.lying_full_deg,
        sheet.beats_per_hour,
        inertia_mg_cm2=sheet.balance.inertia_mg_cm2,
        quality_factor=sheet.balance.quality_factor,
    )
    assert 0.12 < taken.value / given.value < 0.34


@pytest.mark.parametrize("position", ["lying", "hanging"])
def test_the_amplitude_after_a_day_follows_from_the_torque(sheet, position):
    if limits_of(sheet).losses_unknown:
        with pytest.raises(NotEnough, match="cylinder"):
            require_loss_model(sheet)
        return
    left = torque_left_after(sheet, 24)
    full = sheet.measured(f"nominal.{position}_full_deg", "this test")
    losses = Losses(nominal_deg=full, viscous_share=sheet.nominal.viscous_share)
    said = sheet.measured(f"nominal.{position}_24h_deg", "this test").value
    assert amplitude_at(losses, left).value == pytest.approx(said, abs=3)


def test_every_centre_distance_belongs_to_its_module(sheet):
    for mesh in meshes(train_of(sheet)):
        half = mesh.driven.pinion_module_mm.value * (mesh.wheel + mesh.pinion) / 2
        assert mesh.driven.centre_distance_mm.value == pytest.approx(half, abs=1e-9)


def test_the_barrels_pitch_circle_belongs_to_its_module(sheet):
    if sheet.fusee:  # its barrel has no teeth: the chain lies on it
        assert sheet.barrel.teeth is sheet.barrel.pitch_radius_mm is None
        return
    module = sheet.train.arbors[1].pinion_module_mm.value
    assert sheet.barrel.pitch_radius_mm.value == pytest.approx(module * sheet.barrel.teeth / 2)
    assert sheet.barrel.bore_mm.value / 2 < sheet.barrel.pitch_radius_mm.value - module


def test_a_new_barrel_leans_without_touching(sheet):
    barrel = sheet.barrel
    plays = [
        part.hole_mm.value - part.pivot_mm.value
        for part in (barrel.above, barrel.below, barrel.on_arbor_above, barrel.on_arbor_below)
    ]
    arbor = (plays[0] + plays[1]) / (2 * barrel.span_mm.value)
    drum = (plays[2] + plays[3]) / (2 * barrel.lid_to_floor_mm.value)
    axial = (barrel.endshake_mm.value + barrel.barrel_endshake_mm.value) / 2
    reach = barrel.rim_radius_mm.value * (arbor + drum) + axial
    assert reach < 0.9 * min(barrel.gap_plate_mm.value, barrel.gap_bridge_mm.value)


def test_winding_takes_a_usual_number_of_crown_turns(sheet):
    turns = drive_turns(sheet).value
    if wound_by_key(sheet):
        assert 3 < turns < 9  # of the key, on the arbor itself
        return
    # Typical 30 to 40 (secondary trade page); pocket watches and thin crowns spread wider.
    assert 20 < float(crown_turns_per_arbor_turn(sheet.winding)) * turns < 42
