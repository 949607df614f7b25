"""The command balance as a watchmaker uses it."""

import json

import pytest

from sideshake.command.balance import balance
from sideshake.core.errors import InputError, NotEnough


@pytest.fixture
def said(capsys):
    def run(*args, **options):
        balance(*args, **options)
        return " ".join(capsys.readouterr().out.split())

    return run


def test_a_sheet_alone_says_what_it_can_and_what_else_could_be_asked(said):
    text = said("tarnbrook-31")
    assert text.startswith("To beat 18000 times an hour it wants a hairspring of 0.35 ± 0.03 µN·m")
    assert "It would answer, too: this hairspring on this balance" in text
    assert "lacks" not in text


def test_a_question_that_was_begun_names_what_it_lacks(said):
    text = said("tarnbrook-31", weight_ug="500")
    assert "Weight on the rim: lacks --at-mm (its distance from the staff, mm)." in text


def test_what_an_answer_used_besides_is_not_called_a_question_begun(said):
    text = said("tarnbrook-31", length_mm="105", pins_radius_mm="2.6", rate_wanted_s_per_day="5")
    assert "° of the index" in text
    assert "lacks" not in text


def test_what_is_given_counts_before_the_sheet(said):
    assert "0.50 ± 0.00" not in said("tarnbrook-31")
    assert "To beat 21600 times an hour" in said("tarnbrook-31", beats_per_hour=21600)


def test_the_json_names_answers_and_open_questions(capsys):
    balance("tarnbrook-31", warmer_c="10", rim="brass", as_json=True)
    tree = json.loads(capsys.readouterr().out)
    assert tree["schema"] == "sideshake.balance"
    (_, rate) = tree["answers"]["temperature"]
    assert rate == {
        "what": "rate by that warmth",
        "value": {"value": 0.0, "u": pytest.approx(2.0)},
        "unit": "s a day",
    }
    assert tree["open"]["weight"] == ["weight_ug", "at_mm"]


def test_with_nothing_known_there_is_no_answer():
    with pytest.raises(NotEnough, match="lacks --beats-per-hour"):
        balance()


@pytest.mark.parametrize(
    ("given", "named"),
    [
        ({"weight_ug": "heavy"}, "--weight-ug"),
        ({"length_mm": "-3"}, "active length.*above 0"),
        ({"rim": "wood"}, "wood.*brass"),
        ({"length_mm": "1", "shortened_mm": "2"}, "cannot be shortened"),
    ],
)
def test_what_cannot_be_used_is_named(given, named):
    with pytest.raises(InputError, match=named):
        balance("tarnbrook-31", **given)
