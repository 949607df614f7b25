"""What a sheet lets us compute, what it lacks, and where it contradicts itself."""

import pytest

from sideshake.movement.check import CheckState, findings
from sideshake.movement.sheet_file import (
    sheet_from_text,
    shipped_names,
    shipped_sheet,
    shipped_text,
)


def by_name(sheet):
    return {each.what: each for each in findings(sheet)}


def changed(old, new, *, name="tarnbrook-31"):
    text = shipped_text(name)
    assert old in text
    return by_name(sheet_from_text(text.replace(old, new, 1)))


@pytest.mark.parametrize("name", shipped_names())
def test_no_shipped_sheet_contradicts_itself(name):
    assert CheckState.CONTRADICTED not in {each.state for each in findings(shipped_sheet(name))}


def test_the_three_sheets_together_use_every_computation():
    possible = {
        each.what
        for name in shipped_names()
        for each in findings(shipped_sheet(name))
        if each.state is CheckState.POSSIBLE
    }
    assert possible == set(by_name(shipped_sheet("tarnbrook-31")))


def test_the_words_carry_the_right_figures():
    said = {what: each.words for what, each in by_name(shipped_sheet("tarnbrook-31")).items()}
    # k = 14e-10 (5 pi)²; power worked in test_energy, 0.34/1.9.
    assert said["balance"] == "stiffness 0.35 ± 0.03 µN·m/rad at 18000/h"
    assert said["power"].endswith("18 ± 9 %")
    assert said["winding by hand"].startswith("25.7")
    assert said["chronograph start"].startswith("at most 0.30 s")


def test_a_reserve_is_contradicted_only_beyond_the_doubt():
    # (7.17 - 0.75) x 8 h = 51.4 +- 4.8 (95 %), the last turns from memory
    assert (
        changed("reserve_h = 50", "reserve_h = 55.8")["running time"].state is CheckState.POSSIBLE
    )
    found = changed("reserve_h = 50", "reserve_h = 56.6")["running time"]
    assert found.state is CheckState.CONTRADICTED


def test_a_strip_as_high_as_its_room_is_contradicted():
    found = changed('height_mm = "1.30+-0.02"', "height_mm = 1.45")["mainspring"]
    assert found.state is CheckState.CONTRADICTED


def test_an_empty_sheet_lacks_everything_and_contradicts_nothing():
    assert {each.state for each in findings(sheet_from_text('name = "A"'))} == {CheckState.LACKING}


@pytest.mark.parametrize(
    ("what", "old", "new", "parts"),
    [
        ("beats an hour", "beats_per_hour = 18000", "beats_per_hour = 19800", ["18000", "19800"]),
        ("beats an hour", "\nteeth = 80", "\nteeth = 81", ["81", "80"]),
        ("hands on the train", "wheel = 75", "wheel = 76", ["fourth", "60.8", "60"]),
        ("motion work", "hour_wheel = 40", "hour_wheel = 41", ["12.3", "12"]),
        ("sizes of the meshes", "= 4.95", "= 5.20", ["4.950", "5.2"]),
        (
            "sizes of the meshes",
            "value = 5.60",
            "value = 5.00",
            ["says 5.000", "0.14", "80", "5.600"],
        ),
        ("mainspring", 'height_mm = "1.30', 'height_mm = "1.50', ["1.50", "1.45"]),
        ("running time", "power_reserve_h = 50", "power_reserve_h = 70", ["70", "51 ± 5 h"]),
        ("amplitude", 'hanging_full_deg = "245', 'hanging_full_deg = "295', ["295", "285"]),
    ],
)
def test_a_contradiction_names_both_values(what, old, new, parts):
    found = changed(old, new)[what]
    assert found.state is CheckState.CONTRADICTED
    assert all(part in found.words for part in parts)


def test_a_calendar_that_contradicts_itself_is_found():
    found = changed('arc_before_jump_deg = "45', 'arc_before_jump_deg = "75', name="lindquell-25")
    assert found["date quick-set"].state is CheckState.CONTRADICTED


@pytest.mark.parametrize(
    ("what", "old"),
    [
        ("hands on the train", 'carries = "minute hand", '),
        ("barrel's lean", 'span_mm = "2.70+-0.04"\n'),
        ("winding by hand", "crown_wheel = 34\n"),
        ("running time", 'core_mm = "3.20+-0.02"\n'),
        ("balance", 'inertia_mg_cm2 = "14.0+-1.4"\n'),
    ],
)
def test_a_missing_line_is_no_contradiction(what, old):
    found = changed(old, "")
    if what == "hands on the train":
        assert "minute" not in found[what].words
    else:
        assert found[what].state is CheckState.LACKING


def test_a_cylinder_and_a_fusee_are_told_what_cannot_be_said():
    cylinder, fusee = (by_name(shipped_sheet(name)) for name in ("vennick-41", "aldermoor-45"))
    assert cylinder["amplitude by ear"].state is CheckState.UNSAID
    assert cylinder["power"].state is CheckState.UNSAID
    assert "it pulls a chain" in fusee["barrel's lean"].words
    assert fusee["drive"].words.startswith("fusee: the chain takes 2.63")
    plain = by_name(shipped_sheet("tarnbrook-31"))
    assert CheckState.UNSAID not in {each.state for each in plain.values()}


def test_a_barrel_that_hangs_has_no_lean():
    hanging = changed('kind = "going"', 'kind = "hanging"')["barrel's lean"]
    assert hanging.state is CheckState.UNSAID
    assert "hangs in its bridge alone" in hanging.words
    chain = changed('kind = "going"', 'kind = "fusee"')["barrel's lean"]
    assert chain.state is CheckState.POSSIBLE
    assert "it pulls a chain" in chain.words


def test_the_new_kinds_are_named():
    words = {w: each.words for w, each in by_name(shipped_sheet("marrowick-30")).items()}
    assert words["drive"].startswith("two barrels in series: 15.1")
    assert words["chronograph start"].startswith("no jump by a tooth")
    assert words["setting the rate"].startswith("free-sprung")
    pins = {w: each.words for w, each in by_name(shipped_sheet("tolvane-26")).items()}
    assert pins["setting the rate"].startswith("by the index")
    assert pins["day quick-set"] == "22:00 to 4:10"
    assert "(pin lever escapement, 3 noises a beat)" in pins["amplitude by ear"]
    assert "turns of the key" in by_name(shipped_sheet("vennick-41"))["winding by hand"].words


def test_a_spring_that_drives_nothing_is_contradicted():
    found = changed('free_turns = { value = "6', 'free_turns = { value = "25')
    assert found["mainspring"].state is CheckState.CONTRADICTED
    assert "drives nothing" in found["mainspring"].words
