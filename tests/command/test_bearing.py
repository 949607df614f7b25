"""`sideshake bearing`: a file or numbers judged, in words and in figures."""

import json

import pytest

from sideshake.command.bearing import bearing
from sideshake.core.errors import InputError


def told(capsys, *args, **options) -> str:
    bearing(*args, **options)
    return " ".join(capsys.readouterr().out.split())


def figures(capsys, *args, **options):
    bearing(*args, as_json=True, **options)
    return json.loads(capsys.readouterr().out)


def test_the_shipped_example_says_what_is_worn_and_what_is_not(capsys):
    said = told(capsys, measured="worn-train")
    assert "Third wheel, above: worn. Play 0.054 ± 0.005 mm" in said
    assert "Third wheel, below: leave it." in said
    assert "Escape wheel, below: no verdict yet. Measure the hole" in said
    assert "Third wheel: it leans up to 0.86 ± 0.08°" in said
    assert "Balance" not in said


def test_numbers_alone_are_enough(capsys):
    found = figures(
        capsys, "tarnbrook-31", place="third.above", hole_mm="0.250+-0.006", pivot_mm="0.198+-0.004"
    )
    third = found["bearings"]["third.above"]
    assert found["schema"] == "sideshake.bearing"
    assert third["verdict"] == "worn"
    assert third["play_mm"]["value"] == pytest.approx(0.052)
    # by hand: (0.052 - 0.040) / sqrt(0.003^2 + 0.002^2) = 3.33, so 0.99956 beyond
    assert third["worn_probability"] == pytest.approx(0.99956, abs=2e-5)


def test_options_are_laid_over_the_file(capsys):
    found = figures(capsys, measured="worn-train", place="third.below", hole_mm="0.260+-0.004")
    assert found["bearings"]["third.below"]["verdict"] == "worn"
    assert found["bearings"]["third.above"]["verdict"] == "worn"


def test_without_a_sheet_what_is_usual_is_expected(capsys):
    said = told(capsys, place="rotor", play_mm="0.050+-0.010")
    assert "Rotor on its post: worn." in said
    assert "What is normal is from the trade's table" in said
    with_sheet = told(capsys, "lindquell-25", place="rotor", play_mm="0.050+-0.010")
    assert "What is normal is from the sheet of Lindquell 25" in with_sheet


@pytest.mark.parametrize(
    ("options", "why"),
    [
        ({}, "nothing is measured"),
        ({"hole_mm": "0.2"}, "of which bearing"),
        ({"place": "barrel.above", "hole_mm": "0.9"}, "sideshake barrel"),
        ({"place": "fifth.above", "hole_mm": "0.2"}, r"no place .* 'fifth\.above'"),
        ({"place": "third.above", "hole_mm": "wide"}, "cannot read 'wide'"),
        ({"sheet": "vennick-41", "measured": "worn-train"}, "are of tarnbrook-31"),
        ({"measured": "leaning-barrel"}, "a bearing is a table"),
    ],
)
def test_what_cannot_be_judged_is_told_in_a_line(options, why):
    with pytest.raises(InputError, match=why):
        bearing(**options)


def test_a_file_with_a_fault_names_it(tmp_path):
    path = tmp_path / "a.toml"
    for text, why in (
        ("third = 3", "a bearing is a table"),
        ("[third.above]\nhole = 3", "third.above: hole: no such line"),
        ("u_mm = -1\n[rotor]\nplay_mm = 0.03", "u_mm: a number of mm above 0"),
        ("[third.above]\nhole_short_mm = 0.2", "without hole_long_mm"),
    ):
        path.write_text(text, encoding="utf-8")
        with pytest.raises(InputError, match=why):
            bearing(measured=str(path))
