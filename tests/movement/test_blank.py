"""The blank sheet is valid as it is, and with every example line brought to life."""

import pytest

from sideshake.movement.blank import blank_sheet
from sideshake.movement.sheet import CalibreSheet, section_of
from sideshake.movement.sheet_file import sheet_from_text


def live(text):
    """Return the sheet's text with the # taken away from every example line."""
    lines = text.splitlines()
    return "\n".join(x[1:] if x.startswith("#") and not x.startswith("# ") else x for x in lines)


def keys(section):
    for key, field in section.model_fields.items():
        yield key
        inner = section_of(field.annotation)
        if inner is not None and key != "sources":
            yield from keys(inner)


def test_the_blank_sheet_is_valid_and_empty():
    sheet = sheet_from_text(blank_sheet("Mine"))
    assert sheet.name == "Mine"
    assert sheet.barrel is None


@pytest.mark.parametrize("name", ['the "small" 12', "a\\b", "two\nlines", "Änne № 5"])
def test_a_blank_sheet_of_any_name_is_valid(name):
    assert sheet_from_text(blank_sheet(name)).name == name


def test_every_example_is_valid():
    sheet = sheet_from_text(live(blank_sheet()))
    assert sheet.barrel.above.hole_mm.value == 0.92
    assert sheet.train.arbors[0].name == "third"
    assert sheet.bearings[0].side == "above"


def test_every_line_of_the_sheet_is_in_the_blank_one():
    text = blank_sheet()
    for key in keys(CalibreSheet):
        if key not in {"sources", "invented"}:
            assert any(f"{mark}{key}" in text for mark in ("#", "[", ".")) or key == "name", key


def test_every_line_has_a_meaning():
    for line in blank_sheet().splitlines():
        if line.startswith("#") and " = " in line and not line.startswith("# "):
            assert line.split(" # ")[-1].strip()
