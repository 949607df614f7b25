"""What a worn bearing asks for: its finding, its job, its new part."""

import pytest

from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.place_judged import movement_judged
from sideshake.wear.place_sizes import PlaceLines
from sideshake.workshop_rules.findings import BY_KEY
from sideshake.workshop_rules.place_fit import new_part_sentence
from sideshake.workshop_rules.place_work import FINDINGS, evidence_of, finding_for, job_for

SHEET = shipped_sheet("tarnbrook-31")
WORN = {"hole_mm": "0.700+-0.004", "pivot_mm": "0.598+-0.004"}


def at(name, **lines):
    return movement_judged(SHEET, {name: PlaceLines(**lines)}).at(name)


@pytest.mark.parametrize("key", sorted({*FINDINGS.values(), "bearing-worn", "balance-pivot-worn"}))
def test_every_finding_of_a_bearing_is_a_usual_one_with_a_job(key):
    assert key in BY_KEY
    assert key in job_for(key).answers


def test_the_finding_follows_from_the_place_and_what_is_worn_there():
    assert finding_for(at("third.above", play_mm="0.06+-0.004")) == "bearing-worn"
    assert finding_for(at("stem", play_mm="0.3+-0.004")) == "crown-worn"
    pivot = at("balance.above", hole_mm="0.110+-0.002", pivot_mm="0.080+-0.002")
    assert finding_for(pivot) == "balance-pivot-worn"
    assert finding_for(at("balance.above", play_mm="0.06+-0.004")) == "bearing-worn"


def test_the_evidence_holds_verdict_and_details():
    told = evidence_of(at("third.above", hole_long_mm="0.26+-0.004", hole_short_mm="0.22+-0.004"))
    assert "Third wheel, above" in told
    assert "The hole is oval by" in told


def test_a_worn_hole_in_metal_gets_a_part_of_the_same_fit():
    told = new_part_sentence(at("centre.below", **WORN))
    assert told.startswith("What would serve here: a ruby jewel 0.625 × 1.200 × 0.500 mm")
    assert told.endswith("is taken as 0.5 mm thick.")
    measured = new_part_sentence(at("centre.below", **WORN, thickness_mm=0.6))
    assert "0.625 × 1.200 × 0.600 mm" in measured
    assert "is taken as" not in measured


def test_without_room_for_a_jewel_it_is_a_bush_and_without_room_for_that_it_is_said():
    bush = new_part_sentence(at("centre.below", **WORN, room_mm=0.95, thickness_mm=0.6))
    assert "phosphor bronze bush" in bush
    none = new_part_sentence(at("centre.below", **WORN, room_mm=0.80, thickness_mm=0.6))
    assert none.startswith("No phosphor bronze part fits")


def test_of_a_jewelled_hole_only_the_new_jewels_hole_is_told():
    told = new_part_sentence(at("third.above", hole_mm="0.26+-0.004", pivot_mm="0.2+-0.004"))
    assert told.startswith("A new jewel here has a hole of 0.22 mm and the outside of the old one")


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("third.above", {"hole_mm": "0.215+-0.002", "pivot_mm": "0.2+-0.002"}),  # sound
        ("centre.below", {"play_mm": "0.1+-0.004"}),  # hole and pivot not measured
        ("stem", {"hole_mm": "1.4+-0.004", "pivot_mm": "1.2+-0.004"}),  # no place for a jewel
    ],
)
def test_nothing_is_told_of_a_part_where_none_is_wanted_or_known(name, lines):
    assert new_part_sentence(at(name, **lines)) == ""
