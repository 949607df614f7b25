import json
import re
import time
from contextlib import redirect_stdout
from functools import lru_cache
from importlib.resources import files
from io import StringIO

import pytest

from sideshake.command.barrel import barrel
from sideshake.core.errors import InputError
from sideshake.movement.sheet_file import shipped_text


@lru_cache
def said_of(*args, **options):
    """What is said, asked once of each."""
    with redirect_stdout(StringIO()) as said:
        barrel(*args, **options)
    return said.getvalue()


def told(capsys, *args, **options):
    return said_of(*args, **options)


def figures(capsys, *args, **options):
    return json.loads(told(capsys, *args, as_json=True, **options))


def test_the_example_is_told_in_a_sentence_first(capsys):
    said = told(capsys, measured="leaning-barrel")
    assert said.startswith("Fit a jewel in the bridge: ")
    assert "Bearings (mm)" in said
    assert "From memory" in said.replace("\n", " ")
    assert "arbor stands still" in said.replace("\n", " ")


def test_json_carries_schema_version_and_both_probabilities(capsys):
    found = figures(capsys, measured="leaning-barrel")
    assert (found["schema"], found["version"]) == ("sideshake.barrel", 1)
    assert found["free"]["first_order"] == pytest.approx(found["free"]["sampled"], abs=0.01)
    assert found["action"] == "jewel above"
    assert found["causes"]["above"]["cause"] == "several possible"
    assert found["running"]["stance"]["taken"] == ["all click directions"]
    assert found["winding"]["stance"]["taken"] == []
    assert found["pivot_moves_mm"] == {}
    assert found["bores"] == {"above": "cylinder", "below": "cylinder"}
    assert "rim radius" in found["from_sheet"]
    assert "hole in the lid" not in found["from_sheet"]
    assert (found["assumed"], found["unusual"]) == ([], "")
    assert found["side_pull_n"]["value"] == pytest.approx(1.5, abs=1.0)


def test_a_movement_of_which_only_the_sheet_is_known_is_not_judged(capsys):
    assert figures(capsys, "tarnbrook-31")["action"] == "measure"


def test_without_a_measurement_it_says_what_would_have_to_be_true_and_what_to_measure(capsys):
    said = " ".join(told(capsys, "tarnbrook-31").split())
    assert said.startswith("Measure first: nothing was measured on this watch")
    assert "It rubs if the hole below is wider than" in said
    assert "If all that nobody measured were as new, 0.0" in said
    assert "What to measure (mm, minutes)" in said
    assert "The largest lean may be" in said
    assert "The life of this watch is not known" in said
    assert "counts as 90 minutes, a rubbing barrel that comes back as 450" in said
    assert "Repeat that first" not in said
    assert "At the teeth the play lets the barrel move" not in said
    assert "Leave it" not in said


def test_with_everything_measured_none_of_that_is_said(capsys):
    said = " ".join(told(capsys, measured="leaning-barrel").split())
    for absent in (
        "Measure first",
        "It rubs if",
        "as new",
        "What to measure",
        "may be",
        "The life of this watch",
        "assumed by common practice",
    ):
        assert absent not in said, absent
    assert "The largest lean is" in said
    assert "Repeat that first" in said
    assert "At the teeth the play lets the barrel move" in said


def test_the_costs_of_a_wrong_decision_can_be_changed(capsys):
    usual, dear = (
        figures(capsys, "tarnbrook-31", **costs)["outlook"]
        for costs in ({}, {"needless_min": 30.0, "returns_min": 900.0})
    )
    assert usual["costs"] == {"needless_min": 90.0, "returns_min": 450.0}
    assert dear["costs"] == {"needless_min": 30.0, "returns_min": 900.0}
    assert usual["worth"][0]["value_min"] != dear["worth"][0]["value_min"]
    with pytest.raises(InputError, match="minutes above 0"):
        barrel("tarnbrook-31", needless_min=0.0)


def test_each_size_says_whether_it_was_measured_from_the_sheet_or_assumed(capsys, tmp_path):
    bare = tmp_path / "bare.toml"
    lines = shipped_text("tarnbrook-31").splitlines()
    kept = [each for each in lines if not each.startswith(("on_arbor_above", "gap_plate_mm"))]
    bare.write_text("\n".join(kept), encoding="utf-8")
    found = figures(capsys, str(bare), hole_above_mm="0.93+-0.008")
    source = {words: each["source"] for words, each in found["sizes"].items()}
    assert source["hole above"] == "measured"
    assert source["pivot above"] == "from the sheet"
    assert source["hole in the lid"] == source["gap to the plate"] == "assumed"
    notes = {each.split(":")[0]: each for each in found["notes"]}
    assert "hole in the lid" not in notes["Not measured, taken from the sheet"]
    assert "hole above" not in notes["Not measured, taken from the sheet"]
    assert "pivot above" in notes["Not measured, taken from the sheet"]
    assumed = "Neither measured nor in the sheet, assumed by common practice, no source"
    assert "hole in the lid" in notes[assumed]
    assert "hole below" not in notes[assumed]


def test_what_still_pays_to_measure_is_said_beside_a_verdict_and_only_where_it_pays(capsys):
    worn = {"hole_above_mm": "1.05+-0.008", "pivot_above_mm": "0.9+-0.004"}
    said = " ".join(told(capsys, "tarnbrook-31", **worn, **BELOW).split())
    assert said.startswith("Fit a jewel in the bridge")
    assert "Still worth measuring: the hole in the" in said
    assert "Still worth measuring" not in told(capsys, measured="leaning-barrel")


BELOW = {"hole_below_mm": "0.925+-0.008", "pivot_below_mm": "0.900+-0.004"}


def test_options_win_over_the_sheet(capsys):
    above = {"hole_above_mm": "1.02+-0.008", "pivot_above_mm": "0.895"}
    assert figures(capsys, "tarnbrook-31", **above, **BELOW)["action"] == "jewel above"


def test_options_win_over_the_file(capsys):
    mended = figures(capsys, measured="leaning-barrel", pivot_above_mm="0.935")
    assert 0.1 < mended["worn_above"] < 0.999


def test_the_section_is_written(capsys, tmp_path):
    told(capsys, measured="leaning-barrel", pictures=tmp_path / "new")
    assert (tmp_path / "new" / "barrel-section.svg").read_text(encoding="utf-8").startswith("<svg")


def test_own_measurements_are_read_from_a_file(capsys, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(
        'calibre = "tarnbrook-31"\n[above]\nhole_mm = 1.05\npivot_mm = 0.9\n'
        "[below]\nhole_mm = 0.925\npivot_mm = 0.9\n"
    )
    assert figures(capsys, measured=str(mine))["action"] == "jewel above"


def test_the_answer_takes_less_than_a_second(capsys):
    start = time.process_time()
    barrel(measured="leaning-barrel")
    # of the processor, without start-up (0.35 s): measured 0.5 s
    assert time.process_time() - start < 1.0


@pytest.mark.parametrize(
    ("options", "named"),
    [
        ({"hole_above_mm": "0.85", "pivot_above_mm": "0.90"}, ("0.9 mm", "0.85 mm")),
        ({"hole_above_mm": "-1"}, ("above.hole_mm", "-1")),
        ({"hole_above_mm": "wide"}, ("above.hole_mm", "wide")),
        ({"gap_bridge_mm": "-0.1"}, ("gap_bridge_mm", "-0.1")),
        ({"endshake_mm": "0.6"}, ("endshake", "0.22")),
    ],
)
def test_wrong_options_name_the_values(options, named):
    with pytest.raises(InputError) as caught:
        barrel("tarnbrook-31", **options)
    assert all(each in str(caught.value).replace("−", "-") for each in named)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("calibre = ", "not valid TOML"),
        ("[above]\nhole_m = 1", "above.hole_m: no such line"),
        ("[barrel]\nspan_mm = 0", "barrel.span_mm"),
        ("[above]\nhole_mm = 1.0\nhole_long_mm = 1.1", "oval"),
        ('[directions]\nturns = "left"', "directions.turns"),
        ("[directions]\ncrown_wheel_deg = nan", "directions.crown_wheel_deg"),
        ("u_mm = inf", "u_mm"),
    ],
)
def test_a_faulty_file_is_named_with_its_line(tmp_path, text, named):
    faulty = tmp_path / "faulty.toml"
    faulty.write_text(text)
    with pytest.raises(InputError, match=named):
        barrel("tarnbrook-31", measured=str(faulty))


def test_a_missing_file_says_what_is_shipped():
    with pytest.raises(InputError, match="leaning-barrel"):
        barrel(measured="nowhere.toml")


def test_two_different_calibres_are_in_conflict():
    with pytest.raises(InputError, match=r"Wendelmoor 43.*Tarnbrook 31"):
        barrel("wendelmoor-43", measured="leaning-barrel")
    with pytest.raises(InputError, match="name a calibre"):
        barrel()


def test_an_own_copy_of_the_calibres_sheet_agrees_with_the_measurements(capsys, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(shipped_text("tarnbrook-31"), encoding="utf-8")
    assert figures(capsys, str(own), measured="leaning-barrel")["calibre"] == "Tarnbrook 31"


def leans(capsys, **options):
    said = told(capsys, **options)
    table = said[said.index("Lean (degrees") : said.index("Gap left")]
    return {
        line.split("  ")[1].strip(): float(line.split("±")[0].split()[-1])
        for line in table.splitlines()
        if "±" in line
    }


def test_free_leans_most_and_every_stance_has_its_line(capsys):
    found = leans(capsys, measured="leaning-barrel")
    assert list(found) == ["as far as it can", "under way", "winding"]
    assert found["as far as it can"] == max(found.values())


def test_under_way_is_said_from_the_worst_to_the_kindest_and_over_what(capsys):
    said = " ".join(told(capsys, measured="leaning-barrel").split())
    assert "Under way, held by the mesh and the click, at the worst 0.041" in said
    assert "Not known, so taken over all click directions." in said
    assert "While it is wound, by the mesh and the crown wheel, 0.050" in said


def test_with_the_click_s_place_known_there_is_one_figure_and_nothing_taken(capsys, tmp_path):
    said = " ".join(told(capsys, measured=placed(tmp_path, "click_deg = 300")).split())
    assert "taken over" not in said
    assert "at the kindest" not in said
    assert "Under way, held by the mesh and the click, 0." in said


def placed(tmp_path, line):
    """The shipped example with one more line of directions."""
    text = (files("sideshake.wear") / "examples" / "leaning-barrel.toml").read_text("utf-8")
    mine = tmp_path / "placed.toml"
    mine.write_text(f"{text}{line}\n", encoding="utf-8")
    return str(mine)


def test_which_bound_of_the_holes_was_taken_is_said(capsys, tmp_path):
    cylinders = " ".join(told(capsys, measured="leaning-barrel").split())
    assert "The holes below and above count as cylinders" in cylinders
    assert "With mouths worn wide the barrel would lean 2.04" in cylinders
    text = (files("sideshake.wear") / "examples" / "leaning-barrel.toml").read_text("utf-8")
    mouths = text.replace("[below]", "hole_in_mm = 1.014\nhole_out_mm = 1.03\n\n[below]")
    mine = tmp_path / "mouths.toml"
    mine.write_text(mouths, encoding="utf-8")
    measured = " ".join(told(capsys, measured=str(mine)).split())
    assert "The hole above counts by its mouths" in measured
    assert "The hole below counts as a cylinder:" in measured


def test_a_sheet_without_thicknesses_counts_as_bell_mouthed_and_says_so(capsys, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(re.sub(r", thickness_mm = [\d.]+", "", shipped_text("tarnbrook-31")), "utf-8")
    said = " ".join(told(capsys, str(own)).split())
    assert "The holes below and above count as bell-mouthed: their length is not known" in said
    assert "With mouths worn wide" not in said


def test_a_fusee_s_barrel_is_said_and_not_loaded(capsys, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        shipped_text("tarnbrook-31").replace('kind = "going"', 'kind = "fusee"'), "utf-8"
    )
    said = " ".join(told(capsys, str(own)).split())
    assert "pulls a fusee's chain" in said
    assert "Under way, held" not in said
    assert "stands still" not in said
    assert "fusee" not in told(capsys, "tarnbrook-31")


def test_a_sheet_without_the_lid_s_lines_says_what_it_assumes(capsys, tmp_path):
    own = tmp_path / "own.toml"
    text = shipped_text("tarnbrook-31")
    own.write_text(
        "\n".join(each for each in text.splitlines() if not each.startswith("on_arbor_above")),
        "utf-8",
    )
    said = " ".join(told(capsys, str(own)).split())
    assert "no source: hole in the lid, arbor in the lid." in said
    assert "hole lid" not in said
    assert "so assumed" not in told(capsys, "tarnbrook-31")


def test_json_has_each_stance_with_its_lean_and_every_gap(capsys):
    found = figures(capsys, measured="leaning-barrel")["stances"]
    assert [each["name"] for each in found] == ["as far as it can", "under way", "winding"]
    for each in found:
        assert [gap["gap"]["name"] for gap in each["gaps"]] == ["plate", "bridge", "centre wheel"]
        assert all(0 <= gap["sampled"] <= 1 for gap in each["gaps"])
        assert all(0 <= gap["at_deg"] < 360 for gap in each["gaps"])


def test_a_watch_wound_by_a_key_is_told_so(capsys, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        shipped_text("tarnbrook-31").replace('by = "crown wheel"', 'by = "key"'), "utf-8"
    )
    said = " ".join(told(capsys, str(own), measured="leaning-barrel").split())
    assert "While it is wound, by a key," in said
    assert "by a key" not in told(capsys, "tarnbrook-31")


def test_directions_are_asked_for_only_where_none_are_known(capsys):
    assert "Give [directions]" in told(capsys, "tarnbrook-31")
    assert "Give [directions]" not in told(capsys, measured="leaning-barrel")


ROUND = """calibre = "tarnbrook-31"
above = { hole_mm = 0.925, pivot_mm = 0.90 }
below = { hole_mm = 1.01, pivot_mm = 0.90 }
lid = { hole_mm = 1.215, pivot_mm = 1.200 }
floor = { hole_mm = 1.215, pivot_mm = 1.200 }
directions = { centre_wheel_deg = 0, crown_wheel_deg = 180, turns = "counter-clockwise" }
"""


def test_the_play_at_the_teeth_is_each_bearing_s_by_its_nearness(capsys, tmp_path):
    # plays 0.110 below, 0.025 above, teeth at 0.75 of 2.70: (0.110 x 0.722 + 0.025 x 0.278) / 2
    mine = tmp_path / "mine.toml"
    mine.write_text(ROUND)
    mesh = figures(capsys, measured=str(mine))["mesh"]
    most = (0.110 * (1 - 0.75 / 2.7) + 0.025 * 0.75 / 2.7) / 2
    assert mesh["at_most"]["change_mm"]["value"] == pytest.approx(most)
    assert mesh["under_pull"] is None  # where the click is was not written down


def test_the_loads_under_way_move_the_teeth_once_the_click_s_place_is_known(capsys, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(ROUND.replace("turns =", "click_deg = 300, turns ="))
    found = figures(capsys, measured=str(mine))
    moved = found["mesh"]["under_pull"]["change_mm"]["value"]
    # no further than all the play there, the barrel's own 0.015 included
    assert 0 < abs(moved) < found["mesh"]["at_most"]["change_mm"]["value"] + 0.0075
    assert found["pivot_moves_mm"]["below"]["value"] == pytest.approx(0.110 / 2)
