"""What a watch uses of its spring. Turns and hours from areas and teeth; the rest from memory."""

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.check import CheckState, findings
from sideshake.movement.drive import running_h
from sideshake.movement.mainspring import full_torque, room_of, spring_of, turns_available
from sideshake.movement.running import (
    USUAL_EFFICIENCY,
    UnusedTurns,
    first_torque,
    running_of,
    torque_at_the_teeth,
)
from sideshake.movement.sheet_file import (
    sheet_from_text,
    shipped_names,
    shipped_sheet,
    shipped_text,
)
from sideshake.movement.train import train_of
from sideshake.movement.winding import reserve_h


def with_spring(*lines, name="wendelmoor-43", length_mm="900.5"):
    """Return a shipped sheet (78 teeth on 12 leaves: 6.5 h a turn) with a spring of 6.3 turns."""
    text = shipped_text(name)
    text = "\n".join(each for each in text.splitlines() if not each.startswith("length_mm"))
    return sheet_from_text(
        text.replace(
            "[mainspring]", f'[mainspring]\nlength_mm = "{length_mm} ± 1"\n' + "\n".join(lines)
        )
    )


def hours(sheet, **told):
    return reserve_h(train_of(sheet), running_of(sheet, **told).turns)


def test_a_stop_work_of_4_lets_26_hours_through_and_not_41():
    # by hand: 4 x 6.5 h = 26 h; all 6.3 turns would be 41 h
    sheet = with_spring("stop_work_turns = 4")
    assert running_of(sheet).spring_turns.value == pytest.approx(6.3, abs=0.05)
    assert hours(sheet).text() == "26.0 ± 0.7"
    assert 6.5 * running_of(sheet).spring_turns.value == pytest.approx(41, abs=0.3)
    assert [each.part for each in running_of(sheet).unused] == [UnusedTurns.STOP_WORK]
    assert running_of(sheet).unused[0].turns.value == pytest.approx(2.3, abs=0.05)


def test_without_stop_work_only_the_last_turns_are_lost():
    whole = running_of(with_spring())
    assert [(each.part, each.from_memory) for each in whole.unused] == [
        (UnusedTurns.LAST_TURNS, True)
    ]
    assert whole.turns.value == pytest.approx(whole.spring_turns.value - 0.75)
    assert whole.turns.u == pytest.approx(np.hypot(whole.spring_turns.u, 0.29))


def test_what_the_sheet_states_is_taken_and_not_from_memory():
    sheet = with_spring(
        'last_turns = "0.6 ± 0.2"', 'bridle_turns = "0.4 ± 0.2"', 'efficiency = "0.8 ± 0.1"'
    )
    whole = running_of(sheet)
    assert whole.turns.value == pytest.approx(whole.spring_turns.value - 1.0)
    assert not any(each.from_memory for each in whole.unused)
    assert (whole.efficiency, whole.efficiency_from_memory) == (Measured(0.8, 0.05), False)


def test_a_slipping_bridle_takes_turns_and_torque_at_full_wind():
    sheet = shipped_sheet("lindquell-25")
    whole = running_of(sheet)
    room, spring = room_of(sheet), spring_of(sheet)
    assert UnusedTurns.BRIDLE in [each.part for each in whole.unused]
    assert first_torque(room, spring, whole).value < full_torque(room, spring).value
    assert UnusedTurns.BRIDLE not in [
        each.part for each in running_of(shipped_sheet("quenholt-29")).unused
    ]


def test_a_stop_work_uses_the_middle_unless_the_set_up_is_known():
    # common practice (from memory): a stop work uses the middle four of six turns
    whole = running_of(with_spring("stop_work_turns = 4"))
    assert whole.unwound.value == pytest.approx(whole.unused[0].turns.value / 2)
    known = running_of(with_spring("stop_work_turns = 4", 'set_up_turns = "2.0 ± 0.1"'))
    assert known.unwound.value == pytest.approx(known.unused[0].turns.value - 2.0)


def test_a_stop_work_that_nobody_counted_is_taken_at_four_of_six_and_says_so():
    # trade-facts 6.19: a stop work uses the middle four of six
    text = shipped_text("vennick-41").replace("stop_work_turns = 4\n", "")
    whole = running_of(sheet_from_text(text))
    assert whole.turns.value == pytest.approx(4 / 6 * whole.spring_turns.value, rel=0.01)
    assert whole.turns.holds(4)  # what this very sheet says
    assert [(each.part, each.from_memory) for each in whole.unused] == [
        (UnusedTurns.STOP_WORK, True)
    ]
    set_up = running_of(
        sheet_from_text(text.replace("[mainspring]", "[mainspring]\nset_up_turns=3"))
    )
    assert set_up.turns.value == pytest.approx(whole.spring_turns.value - 3)
    none = running_of(sheet_from_text(text.replace("maltese cross", "none")))
    assert UnusedTurns.STOP_WORK not in {each.part for each in none.unused}
    told = running_of(shipped_sheet("vennick-41"))
    assert [(each.part, each.from_memory) for each in told.unused] == [
        (UnusedTurns.STOP_WORK, False)
    ]


@pytest.mark.parametrize(
    "lines", [["stop_work_turns = 7"], ["stop_work_turns = 4", "set_up_turns = 3.0"]]
)
def test_a_stop_work_beyond_the_spring_is_refused(lines):
    with pytest.raises(InputError, match=r"stop_work_turns.*the spring makes only 6\.3"):
        running_of(with_spring(*lines))


def test_counted_turns_replace_every_estimate():
    counted = Measured(5.0, 0.05)
    whole = running_of(with_spring("stop_work_turns = 4"), counted=counted)
    assert whole.turns == counted
    assert [each.part for each in whole.unused] == [UnusedTurns.COUNTED]
    with pytest.raises(InputError, match="must turn"):
        running_of(with_spring(), counted=Measured(0.0))


def test_the_torque_may_give_out_before_the_turns():
    # a set spring: curled 11 turns by itself, it has little left at the end
    sheet = shipped_text("tarnbrook-31").replace('"6+-3.0"', '"11+-0.4"')
    whole = running_of(sheet_from_text(sheet))
    assert [each.part for each in whole.unused] == [UnusedTurns.WEAK]
    assert whole.turns.value < turns_of("tarnbrook-31") - 0.75
    # by hand: bent 18.34 - 11 = 7.3 turns fully wound; at 110 of 285 degrees the balance needs
    # 0.8 (110/285)^2 + 0.2 (110/285) = 0.196 of the torque: it stops after 80.4 % of that
    room, spring = room_of(sheet_from_text(sheet)), spring_of(sheet_from_text(sheet))
    by_hand = 0.804 * (coils_by_area(room, spring) - 11)
    assert whole.turns.value == pytest.approx(by_hand, rel=2e-3)


def turns_of(name):
    sheet = shipped_sheet(name)
    return turns_available(room_of(sheet), spring_of(sheet)).value


def coils_by_area(room, spring):
    """Return the coils of the wound spring: ring round the core of the strip's own area."""
    inner, e = room.core_mm.value / 2, spring.thickness_mm.value
    outer = np.sqrt(inner**2 + spring.length_mm.value * e / np.pi)
    return (outer - inner) / e


def test_a_barrel_that_gives_less_torque_has_less_to_spend():
    sheet = shipped_sheet("tarnbrook-31")
    dry = running_of(sheet, efficiency=Measured(0.30, 0.02))
    assert UnusedTurns.WEAK in [each.part for each in dry.unused]
    assert dry.turns.value < running_of(sheet).turns.value
    with pytest.raises(NotEnough, match="does not keep this balance going"):
        running_of(sheet, efficiency=Measured(0.1, 0.01))
    with pytest.raises(InputError, match="between 0 and 1"):
        running_of(sheet, efficiency=Measured(1.1, 0.01))


def test_efficiency_takes_torque_and_no_turns():
    sheet = shipped_sheet("tarnbrook-31")
    whole = running_of(sheet)
    strong = first_torque(room_of(sheet), spring_of(sheet), whole)
    assert torque_at_the_teeth(strong, whole).value == pytest.approx(0.85 * strong.value)
    assert whole.turns == running_of(sheet, efficiency=USUAL_EFFICIENCY).turns


@pytest.mark.parametrize("name", shipped_names())
def test_the_stated_reserve_of_a_shipped_sheet_is_what_its_spring_gives(name):
    sheet = shipped_sheet(name)
    stated = sheet.measured("nominal.power_reserve_h", "this test").value
    assert running_h(sheet).holds(stated)


def test_the_check_holds_the_stated_reserve_against_the_stop_work():
    text = shipped_text("wendelmoor-43").replace(
        "[mainspring]", "[mainspring]\nstop_work_turns = 4"
    )
    found = {each.what: each for each in findings(sheet_from_text(text))}["running time"]
    assert found.state is CheckState.CONTRADICTED
    assert "46" in found.words
    assert "26.0 ± 0.7 h" in found.words


def test_draws_agree_with_first_order():
    """JCGM 101: the hours from 20 000 draws of every size, against the propagated ones."""
    sheet = shipped_sheet("tarnbrook-31")
    room, spring, random = room_of(sheet), spring_of(sheet), np.random.default_rng(12)
    bore, core, e, length, last = (
        random.normal(each.value, each.u, 20_000)
        for each in (
            room.bore_mm, room.core_mm, spring.thickness_mm, spring.length_mm, Measured(0.75, 0.29)
        )
    )  # fmt: skip
    wound = (np.sqrt(core**2 / 4 + e * length / np.pi) - core / 2) / e
    down = (bore / 2 - np.sqrt(bore**2 / 4 - e * length / np.pi)) / e
    drawn = 8 * (wound - down - last)
    assert hours(sheet).value == pytest.approx(drawn.mean(), abs=0.1)
    assert hours(sheet).u == pytest.approx(drawn.std(), rel=0.03)
