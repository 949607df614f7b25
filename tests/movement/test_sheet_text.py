"""A sheet written anew reads as the same sheet: every value, doubt and source.

The outside measure is Python's own reader of TOML (tomllib, TOML 1.0): what is written here must be
read there as the same tables.
"""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.movement.line_numbers import line_number
from sideshake.movement.sheet_file import sheet_from_text, shipped_names, shipped_text
from sideshake.movement.sheet_text import remarks_of, sheet_text, tree_of
from sideshake.movement.written_lines import (
    Written,
    in_order,
    line_at,
    number_written,
    put_line,
    sources_at_lines,
    told_lines,
)

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
PLAIN = st.one_of(TEXTS, st.integers(-(2**60), 2**60), st.booleans(), st.lists(TEXTS, max_size=3))
SOURCED = st.fixed_dictionaries({"value": PLAIN, "source": TEXTS})
LINES = st.dictionaries(TEXTS, st.one_of(PLAIN, SOURCED), max_size=3)
TREES = st.dictionaries(
    TEXTS, st.one_of(PLAIN, LINES, st.lists(LINES, min_size=1, max_size=3)), max_size=4
)


@pytest.mark.parametrize("name", shipped_names())
def test_each_example_reads_the_same_after_it_was_written_anew(name):
    text = shipped_text(name)
    again = sheet_text(tree_of(text), remarks_of(text))
    assert sheet_from_text(again) == sheet_from_text(text)
    assert remarks_of(again) == remarks_of(text)
    assert sheet_text(tree_of(again), remarks_of(again)) == again


@pytest.mark.parametrize("name", shipped_names())
def test_order_and_place_of_sources_change_nothing_that_is_read(name):
    tree = tree_of(shipped_text(name))
    sources_at_lines(tree)
    again, before = sheet_from_text(sheet_text(in_order(tree))), sheet_from_text(shipped_text(name))
    assert set(again.sources) == set(before.sources)
    assert again.model_copy(update={"sources": ()}) == before.model_copy(update={"sources": ()})


@given(TREES)
def test_any_tree_is_read_by_pythons_own_reader_as_it_was(tree):
    assert tomllib.loads(sheet_text(tree)) == tree


@pytest.mark.parametrize(
    ("written", "kept"),
    [("0.920", "0.920"), ("1_000.50", "1_000.50"), ("5e-3", "5e-3"), ("24", "24")],
)
def test_a_number_keeps_the_digits_it_was_written_with(written, kept):
    assert f"hole_mm = {kept}" in sheet_text(tree_of(f"hole_mm = {written}"))


def test_remarks_are_found_behind_texts_that_hold_the_sign():
    text = 'name = "No #5" # engraved\nkind = \'a # b\'\n"""x"""= """\n# no remark\n"""\n# last'
    assert remarks_of(text) == "engraved\nlast"


def test_what_is_no_toml_is_refused_with_its_line():
    with pytest.raises(InputError, match="line 2"):
        tree_of('name = "A"\nteeth = ?\n')


def test_a_source_that_stands_apart_goes_to_its_line_and_that_of_a_section_stays():
    tree = tree_of(
        'name = "A"\njewels = 17\n[[sources]]\nkey = "jewels"\ntext = "engraved"\n'
        '[[sources]]\nkey = "barrel"\nfrom_memory = true\n'
    )
    sources_at_lines(tree)
    assert line_at(tree, "jewels") == Written(value=17, source="engraved")
    assert [each["key"] for each in tree["sources"]] == ["barrel"]


def test_a_line_is_put_and_taken_at_a_dotted_key():
    tree = {"name": "A"}
    put_line(tree, "barrel.above.hole_mm", Written(value="0.92+-0.01", from_memory=True))
    assert tree["barrel"] == {"above": {"hole_mm": {"value": "0.92+-0.01", "from_memory": True}}}
    put_line(tree, "barrel.above.hole_mm", None)
    assert line_at(tree, "barrel.above.hole_mm") is None


def test_a_typed_number_is_written_as_one_and_a_doubt_as_text():
    assert sheet_text({"a": number_written("0.920")}) == "a = 0.920\n"
    assert sheet_text({"a": number_written("0.92 ± 0.01")}) == 'a = "0.92 ± 0.01"\n'
    assert sheet_text({"a": number_written("00.1")}) == 'a = "00.1"\n'  # no number of TOML's


def test_lines_are_told_with_their_source_for_the_history():
    told = told_lines('name = "A"\n[train]\narbors = [{ name = "third", pinion = { value = 10, '
                      'source = "counted", from_memory = true } }]\n[calendar]\n')  # fmt: skip
    assert told == {
        "name": "A",
        "train.arbors.0.name": "third",
        "train.arbors.0.pinion": "10 (counted, from memory)",
        "calendar": "there",
    }


SHEET = """name = "A"

[barrel]
teeth = 80
above = { hole_mm = 0.9 }

[train]
arbors = [
  { name = "barrel", wheel = 80 },
  { name = "third", pinion = 10 },
]

[[bearings]]
arbor = "third"

[[bearings]]
arbor = "fourth"
"""


def test_a_key_is_not_found_in_what_stands_in_quotes():
    """Counter-case: in the words of a weak point it would be told as the line that is wrong."""
    text = 'jewels = "many"\nweak_points = [\n"jewels = 5",\n"""\njewels = 7\n[barrel]\n""",\n]\n'
    assert line_number(text, "jewels") == 1
    assert line_number(text + "[barrel] # 'new'\nteeth = 0\n", "barrel.teeth") == 10
    assert line_number('name = "A"\n["barrel"]\n"teeth" = 80\n', "barrel.teeth") == 3


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("name", 1), ("barrel", 3), ("barrel.teeth", 4), ("barrel.above.hole_mm", 5),
        ("train.arbors.1.pinion", 10), ("bearings.1.arbor", 17), ("mainspring.height_mm", None),
    ],
)  # fmt: skip
def test_a_key_is_found_in_its_line(key, line):
    assert line_number(SHEET, key) == line
