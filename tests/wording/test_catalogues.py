"""The catalogues hold what the code says, all of it, with the same figures in every language."""

import importlib.util
import re
import string
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = importlib.util.spec_from_file_location("wording_script", ROOT / ".ci/wording.py")
wording = importlib.util.module_from_spec(SCRIPT)
SCRIPT.loader.exec_module(wording)
CATALOGUES = sorted(wording.LOCALE.glob("*/LC_MESSAGES/papers.po"))
SAME_EVERYWHERE = {("hand time", "{words}")}
"""Said with other figures: where a language counts the hours to twenty-four."""


@pytest.fixture(scope="module")
def marked():
    return {(each.context, each.id) for each in wording.marked() if each.id}


def named(text):
    """Return the figures that a message is filled in with."""
    fields = {name for _text, name, _spec, _how in string.Formatter().parse(text) if name}
    return fields | set(re.findall(r"%\((\w+)\)", text))


def test_there_is_a_catalogue_for_each_language_but_english():
    from sideshake.wording import Language

    assert {path.parts[-3] for path in CATALOGUES} == {each.value for each in Language} - {"en"}


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.parts[-3])
def test_a_catalogue_holds_every_message_that_is_marked_and_no_other(path, marked):
    """`make wording` brings it up to date."""
    assert {(each.context, each.id) for each in wording.catalogue_of(path) if each.id} == marked


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.parts[-3])
def test_every_message_is_translated(path):
    lacking = [each.id for each in wording.catalogue_of(path) if each.id
               and not wording.is_said(each.string)]  # fmt: skip
    assert lacking == []


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.parts[-3])
def test_a_translation_is_filled_in_with_the_same_figures(path):
    for each in wording.catalogue_of(path):
        if not each.id or (each.context, each.id) in SAME_EVERYWHERE:
            continue
        said = [each.id] if isinstance(each.id, str) else list(each.id)
        told = [each.string] if isinstance(each.string, str) else list(each.string)
        wanted = set().union(*map(named, said))
        for one in told:
            # a singular may leave the number out
            assert named(one) <= wanted, each.id
        assert named(told[-1]) == named(said[-1]), each.id


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.parts[-3])
def test_what_the_program_reads_is_what_is_translated_in(path):
    kept = wording.catalogue_of(path)
    assert path.with_suffix(".mo").read_bytes() == wording.mo_bytes(kept)
    assert path.read_bytes() == wording.po_bytes(kept)
