import pytest

from sideshake.core.errors import InputError
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.findings import USUAL, SeenFinding, usual_findings

TARNBROOK = shipped_sheet("tarnbrook-31")


def test_weak_points_come_before_the_usual_findings():
    found = usual_findings(TARNBROOK)
    assert [each.weak_point for each in found[:3]] == [True, True, False]
    assert found[0].title.startswith("Known weak point: ")
    assert "wears oval" in found[0].title


def test_findings_are_those_of_the_mechanisms_there():
    keys = {each.key for each in usual_findings(TARNBROOK)}
    assert "reset-off" in keys
    assert not keys & {"rotor-rubs", "date-late", "corrector-cracked"}
    assert "corrector-cracked" in {
        each.key for each in usual_findings(shipped_sheet("lindquell-25"))
    }


def test_without_a_sheet_everything_may_be_found():
    assert usual_findings(None) == USUAL


def test_a_key_stands_for_one_finding():
    keys = [each.key for each in USUAL]
    assert len(set(keys)) == len(keys)


def test_every_finding_is_told_to_the_owner_in_a_sentence():
    for each in USUAL:
        assert each.plain[0].isupper()
        assert each.plain.endswith(".")
        jargon = ("amplitude", "endshake", "cannon pinion", "arbor", "lume ")
        assert not [word for word in jargon if word in each.plain.lower()]


def test_a_finding_has_a_usual_key_or_words_of_its_own():
    assert SeenFinding(key="oil-dried").title == "Oil dried or gummed"
    assert SeenFinding(text="Third wheel repinned").plain == "Third wheel repinned"
    assert SeenFinding(key="weak-point-1", text="It shows").title == "It shows"
    for fault in ({}, {"text": "  "}, {"key": "no-such"}, {"key": "weak-point-1"}):
        with pytest.raises(InputError):
            SeenFinding(**fault)
