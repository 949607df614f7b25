import importlib

import pytest

from sideshake.command.main import app

IMPORT_PATHS = ["hear", "clock", "demo", "train", "spring", "balance", "winding", "quickset",
                "barrel", "jewel", "batch"]  # fmt: skip


@pytest.mark.parametrize("name", IMPORT_PATHS)
def test_every_command_can_be_loaded(name):
    assert callable(getattr(importlib.import_module(f"sideshake.command.{name}"), name))
    assert name in app


def test_the_help_names_commands_and_exit_codes(sideshake):
    said = sideshake("--help")
    assert said.code == 0
    assert "hear How a watch runs, from recordings of its ticking or live." in said.text.replace(
        "│", ""
    )
    assert "2 if something given cannot be used, 3 if it holds no answer" in said.text
    assert "130 if stopped" in said.text


def test_the_help_of_clock_says_what_to_record(sideshake):
    text = sideshake("clock", "--help").text
    assert "Record a quartz watch or clock that steps once a second" in text
    assert "for five minutes" in text


@pytest.mark.parametrize("tokens", [["listen"], ["hear"], ["clock", "a.wav", "b.wav"]])
def test_a_command_line_that_makes_no_sense_ends_with_2(sideshake, tokens):
    assert sideshake(*tokens).code == 2
