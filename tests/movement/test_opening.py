"""What one more line of a sheet would tell: proved by adding the very line."""

import pytest

from sideshake.movement.check import PROBES, CheckState, findings
from sideshake.movement.opening import has_example, openings, with_example
from sideshake.movement.sheet_file import (
    sheet_from_text,
    shipped_names,
    shipped_sheet,
    shipped_text,
)
from sideshake.movement.sheet_text import sheet_text, tree_of
from sideshake.movement.written_lines import put_line

BLANK = 'name = "A"\nbeats_per_hour = 18000\n'


def named(sheet):
    return {each.what: each for each in openings(sheet)}


def states(sheet):
    return {each.what: each.state for each in findings(sheet)}


@pytest.mark.parametrize(
    ("left_out", "what"),
    [
        ("lift_angle_deg", "amplitude by ear"),
        ("mainspring.thickness_mm", "mainspring"),
        ("barrel.gap_bridge_mm", "barrel's lean"),
        ("winding.ratchet_wheel", "winding by hand"),
        ("motion_work.hour_wheel", "motion work"),
        ("nominal.hanging_full_deg", "amplitude"),
    ],
)
def test_a_line_that_is_taken_out_is_the_one_that_would_open_it(left_out, what):
    tree = tree_of(shipped_text("tarnbrook-31"))
    put_line(tree, left_out, None)
    found = named(sheet_from_text(sheet_text(tree)))[what]
    assert (found.lines, found.more) == ((left_out,), False)
    assert what not in named(shipped_sheet("tarnbrook-31"))


@pytest.mark.parametrize("name", shipped_names())
def test_what_lacks_nothing_is_not_named_and_what_lacks_is(name):
    sheet = shipped_sheet(name)
    lacking = {what for what, state in states(sheet).items() if state is CheckState.LACKING}
    assert set(named(sheet)) <= lacking


def test_adding_the_lines_that_are_named_opens_it():
    sheet = sheet_from_text(BLANK)
    for what, found in named(sheet).items():
        filled = sheet
        for key in found.lines:
            filled = with_example(filled, key)
        assert (states(filled)[what] is CheckState.LACKING) == found.more


def test_works_that_the_movement_has_not_are_not_asked_for():
    bare, full = sheet_from_text(BLANK), sheet_from_text(f"{BLANK}[chronograph]\n[automatic]\n")
    assert {"chronograph start", "rotor", "date quick-set"} & set(named(bare)) == set()
    assert {"chronograph start", "rotor"} <= set(named(full))


def test_the_fewest_lines_come_first_and_whole_tables_last():
    order = [(each.more, len(each.lines)) for each in openings(sheet_from_text(BLANK))]
    assert order == sorted(order)
    assert len(order) <= len(PROBES)


def test_a_list_of_tables_cannot_be_filled_in():
    assert has_example("barrel.bore_mm")
    assert not any(map(has_example, ("", "train", "train.arbors", "nothing.here", "barrel.above")))
