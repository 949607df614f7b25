"""The versions: one place for both, and an ear that answers otherwise has another number."""

import copy
import tomllib
from pathlib import Path

import ear_answers
import pytest

from sideshake.core.version import EAR, FIRST_EAR, PROGRAM

ROOT = Path(__file__).parents[1]


def test_the_package_takes_its_version_from_the_one_place():
    tree = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    assert "version" not in tree["project"]
    assert tree["project"]["dynamic"] == ["version"]
    found = tree["tool"]["setuptools"]["dynamic"]["version"]
    assert found == {"attr": "sideshake.core.version.PROGRAM"}
    assert PROGRAM[0].isdecimal()


def test_this_ear_is_later_than_the_first():
    assert EAR > FIRST_EAR


@pytest.fixture(scope="module")
def now():
    return ear_answers.answers()


def test_other_answers_have_another_ear(now):
    ear, before = ear_answers.kept()
    assert ear_answers.unlike(before, now) == [], (
        "the ear answers otherwise than before: raise EAR in src/sideshake/core/version.py, then "
        "run "
        "`python tests/ear_answers.py`"
    )
    assert ear == EAR, "EAR was raised: run `python tests/ear_answers.py`"


def test_the_sounds_ask_for_every_figure_and_for_none(now):
    full = [each for each in now.values() if each]
    assert len(full) >= 3
    assert all(each["rate_s_per_day"] and each["beat_error_ms"] for each in full)
    assert sum(bool(each["amplitude_deg"]) for each in full) >= 3
    assert {} in now.values()


# The check itself: half a standard uncertainty is noticed, the last digits are not.


@pytest.mark.parametrize("figure", ["rate_s_per_day", "amplitude_deg", "beat_error_ms"])
def test_half_an_uncertainty_is_another_answer(now, figure):
    other = copy.deepcopy(now)
    value, u = other["slow, clear"][figure]
    other["slow, clear"][figure] = [value + 0.5 * u, u]
    assert len(ear_answers.unlike(now, other)) == 1
    other["slow, clear"][figure] = [value, 1.5 * u]
    assert len(ear_answers.unlike(now, other)) == 1
    other["slow, clear"][figure] = None
    assert len(ear_answers.unlike(now, other)) == 1


def test_the_last_digits_are_the_same_answer(now):
    other = copy.deepcopy(now)
    for figures in other.values():
        for name in ("rate_s_per_day", "amplitude_deg", "beat_error_ms"):
            if figures.get(name):
                figures[name] = [x * (1 + 1e-7) for x in figures[name]]
    assert ear_answers.unlike(now, other) == []


def test_a_reading_where_there_was_none_is_another_answer(now):
    assert ear_answers.unlike(now, {**now, "too faint": now["slow, clear"]})
    assert ear_answers.unlike({**now, "too faint": now["slow, clear"]}, now)


def test_other_answers_under_the_same_number_are_not_written_down(now, tmp_path, monkeypatch):
    place = tmp_path / "answers.json"
    monkeypatch.setattr(ear_answers, "KEPT", place)
    monkeypatch.setattr(ear_answers, "answers", lambda: now)
    assert "are written down" in ear_answers.write(same_ear=False)
    monkeypatch.setattr(ear_answers, "answers", lambda: {**now, "too faint": now["slow, clear"]})
    before = place.read_bytes()
    assert f"raise EAR above {EAR} first" in ear_answers.write(same_ear=False)
    assert place.read_bytes() == before
    assert "are written down" in ear_answers.write(same_ear=True)
    assert place.read_bytes() != before
