"""One barrel, two, or a fusee: by hand, by a chain unwound step by step, and by energy."""

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.drive import (
    drive_torque,
    drive_turns,
    hours_per_turn,
    running_h,
    torque_left_after,
)
from sideshake.movement.fusee import Cone, cone_of, fusee_left, pull, pull_of_fusee
from sideshake.movement.mainspring import full_torque, room_of, spring_of, torque
from sideshake.movement.running import running_of
from sideshake.movement.sections import Driving
from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet, shipped_text

FUSEE = shipped_sheet("aldermoor-45")
ONE = shipped_sheet("tarnbrook-31")
STEPS = 4000


def with_barrels(how):
    return ONE.model_copy(update={"drive": Driving(barrels=how)})


def test_the_chain_takes_as_many_turns_of_the_barrel_as_worked_by_hand():
    # 4 turns at a mean radius of (4.6 + 6.2)/2 = 5.4 mm on a barrel of 8.2 mm: 21.6/8.2
    assert pull_of_fusee(FUSEE).barrel_turns.value == pytest.approx(21.6 / 8.2)


def test_a_chain_unwound_step_by_step_does_the_same_work_at_either_end():
    """The fusee's work is the barrel's: the same chain pulls both (from scratch)."""
    room, spring, cone = room_of(FUSEE), spring_of(FUSEE), cone_of(FUSEE)
    found = pull(room, spring, cone)
    run = (np.arange(STEPS) + 0.5) / STEPS * cone.turns.value
    radius = cone.least_mm.value + (cone.largest_mm.value - cone.least_mm.value) * run / 4.0
    chain = np.cumsum(2 * np.pi * radius * cone.turns.value / STEPS)
    barrel_turns = chain / (2 * np.pi * cone.barrel_mm.value)
    assert barrel_turns[-1] == pytest.approx(found.barrel_turns.value, rel=1e-6)
    wound = cone.set_up_turns.value + found.barrel_turns.value - barrel_turns
    some = slice(None, None, 200)
    force = np.array([torque(room, spring, w).value for w in wound[some]]) / cone.barrel_mm.value
    by_hand = force * radius[some]
    left = [
        found.full_mnm.value * fusee_left(room, spring, cone, turns_run=float(each)).value
        for each in run[some]
    ]
    np.testing.assert_allclose(left, by_hand, rtol=2e-3)


def test_the_fusee_evens_what_the_barrel_alone_would_lose():
    found = pull_of_fusee(FUSEE)
    assert found.last_over_full.value == pytest.approx(1.0, abs=0.1)
    bare = torque(room_of(FUSEE), spring_of(FUSEE), 0.75).value
    full = torque(room_of(FUSEE), spring_of(FUSEE), 0.75 + 21.6 / 8.2).value
    assert bare / full < 0.8


def test_a_fusee_runs_its_turns_times_the_hours_of_one():
    # great wheel 75, centre pinion 10: one turn in 7.5 h, four turns in 30 h
    assert hours_per_turn(FUSEE) == pytest.approx(7.5)
    assert running_h(FUSEE).value == pytest.approx(30)
    assert torque_left_after(FUSEE, 0.0).value == pytest.approx(1.0)
    with pytest.raises(NotEnough, match="run down"):
        torque_left_after(FUSEE, 31.0)


def test_a_chain_that_takes_more_turns_than_the_spring_has_is_refused():
    cone = Cone(
        turns=Measured(8.0),
        least_mm=Measured(6.0),
        largest_mm=Measured(9.0),
        barrel_mm=Measured(7.0),
        set_up_turns=Measured(0.5),
    )
    with pytest.raises(InputError, match=r"takes 8\.57"):
        pull(room_of(FUSEE), spring_of(FUSEE), cone)


def test_a_cone_grows_towards_the_end():
    with pytest.raises(InputError, match="largest_radius_mm 4"):
        Cone(
            turns=Measured(4),
            least_mm=Measured(5),
            largest_mm=Measured(4),
            barrel_mm=Measured(8),
            set_up_turns=Measured(0.5),
        )


@pytest.mark.parametrize(
    ("how", "turns", "strong"), [("one", 1, 1), ("two in series", 2, 1), ("two in parallel", 1, 2)]
)
def test_two_barrels_add_their_turns_or_their_torque(how, turns, strong):
    one_turns = running_of(ONE).turns
    one_torque = full_torque(room_of(ONE), spring_of(ONE))
    sheet = with_barrels(how)
    assert drive_turns(sheet).value == pytest.approx(turns * one_turns.value)
    assert drive_turns(sheet).u == pytest.approx(turns * one_turns.u)
    assert drive_torque(sheet).value == pytest.approx(strong * one_torque.value)
    assert running_h(sheet).value == pytest.approx(turns * one_turns.value * 8)


@pytest.mark.parametrize("how", ["two in series", "two in parallel"])
def test_two_barrels_hold_twice_the_work_of_one(how):
    """Energy, from scratch: the torque summed over the turns used is twice one barrel's."""

    def work(sheet):
        hours = (np.arange(60) + 0.5) / 60 * running_h(sheet).value
        share = np.mean([torque_left_after(sheet, float(each)).value for each in hours])
        return drive_torque(sheet).value * share * drive_turns(sheet).value

    assert work(with_barrels(how)) == pytest.approx(2 * work(ONE), rel=1e-3)


def test_a_fusee_lacks_nothing_quietly():
    text = shipped_text("aldermoor-45").replace("set_up_turns", "# set_up_turns")
    with pytest.raises(InputError, match=r"fusee\.set_up_turns"):
        drive_turns(sheet_from_text(text))


def test_turns_counted_at_the_driving_arbor_are_taken_as_they_are():
    for sheet in (FUSEE, with_barrels("two in series"), ONE):
        whole = running_of(sheet, counted=Measured(3.5, 0.1))
        assert drive_turns(sheet, whole, counted=True) == Measured(3.5, 0.1)


def test_a_fusee_uses_of_its_spring_what_the_chain_takes():
    whole = running_of(FUSEE)
    assert whole.turns.value == pytest.approx(21.6 / 8.2)
    # 8.02 turns of the spring less 2.63 of the chain less 0.75 of set-up stay above full wind
    assert whole.unwound.value == pytest.approx(8.02 - 2.634 - 0.75, abs=0.01)


def test_the_torque_of_a_cylinder_does_not_end_its_running():
    """The loss model does not hold, so only the stop work limits it: 4 turns of 8 h, by hand."""
    assert running_h(shipped_sheet("vennick-41")).value == pytest.approx(32)
