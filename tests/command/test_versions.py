"""Every `--json` says which program answered; what comes from sound says by which ear."""

import json

import pytest

from sideshake.command import say
from sideshake.core.version import EAR, PROGRAM


def tree(said):
    return json.loads(said.out)


def from_sound(found):
    """The versions stand together, beside the schema's own."""
    assert list(found)[:4] == ["schema", "version", "program", "ear"]
    return (found["program"], found["ear"]) == (PROGRAM, EAR)


@pytest.mark.parametrize("names", [["old.wav"], ["old.wav", "silence.wav"], ["silence.wav"]])
def test_hear_tells_its_ear(sideshake, sounds, names):
    assert from_sound(tree(sideshake("hear", *(sounds / name for name in names), "--json")))


def test_compare_tells_its_ear(sideshake, sounds):
    said = sideshake("compare", sounds / "old.wav", sounds / "gains-5-clock-30.wav", "--json")
    assert from_sound(tree(said))


def test_clock_tells_its_ear_when_it_has_listened(sideshake, sounds):
    listened = sideshake("clock", sounds / "quartz.wav", "--within", "0", "--json")
    assert from_sound(tree(listened))


@pytest.mark.parametrize(
    "tokens",
    [
        ["clock"],
        ["train", "tarnbrook-31"],
        ["spring", "tarnbrook-31"],
        ["winding", "tarnbrook-31"],
        ["quickset", "lindquell-25"],
        ["calibre", "check", "tarnbrook-31"],
    ],
)
def test_what_is_not_heard_tells_the_program_alone(sideshake, tokens):
    found = tree(sideshake(*tokens, "--json"))
    assert list(found)[:3] == ["schema", "version", "program"]
    assert found["program"] == PROGRAM
    assert "ear" not in found


def test_the_figures_take_no_version_s_place():
    answer = say.CommandAnswer(schema="x", sentences=[], figures={"found": 1}, heard=True)
    assert json.loads(say.json_text(answer))["program"] == PROGRAM


def test_the_program_tells_both_when_asked(sideshake):
    assert sideshake("--version").text == f"{PROGRAM}, ear {EAR}"
