"""What an owner is told to mind: each caution with the watch that has it, and one that has not."""

import pytest

from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.cautions import KnownOfWatch, cautions
from sideshake.workshop_rules.owner_cautions import owner_cautions

DARK = KnownOfWatch(luminous=False)
OLD, NEW = {"year_from": 1945, "year_to": 1950}, {"year_from": 1985, "year_to": 1990}
BENCH_WORDS = ("mainspring down", "Cleaning fluids", "shellac", "ammonia", "Demagnetiser", "winder")


def keys(known, sheet=None, **more):
    return [each.key.removeprefix("owner-") for each in owner_cautions(known, sheet, **more)]


@pytest.mark.parametrize(
    ("known", "first"),
    [
        (KnownOfWatch(burn_marks=True, luminous=False), "radium-marks"),
        (KnownOfWatch(luminous=True, **OLD), "radium-age"),
        (KnownOfWatch(**OLD), "radium-unknown"),
        (KnownOfWatch(luminous=True, **NEW), "water"),
        (KnownOfWatch(luminous=False, **OLD), "water"),
    ],
)
def test_radium_is_told_where_it_can_be_and_nowhere_else(known, first):
    assert keys(known)[0] == first
    grave = owner_cautions(known)[0].grave
    assert grave == first.startswith("radium")


def test_radium_says_keep_it_closed_away_from_bed_and_children_and_whom_to_ask():
    told = owner_cautions(KnownOfWatch(burn_marks=True))[0].text
    for words in ("Keep the case closed", "bedroom", "children", "authority"):
        assert words in told


def test_every_owner_is_told_of_water_and_magnets():
    assert keys(DARK) == ["water", "magnets"]


def test_stopwatch_tritium_and_date_are_told_where_they_are():
    assert "chronograph" in keys(DARK, shipped_sheet("tarnbrook-31"))
    assert "chronograph" not in keys(DARK, shipped_sheet("lindquell-25"))
    assert "tritium" in keys(KnownOfWatch(luminous=True, marked_t=True, **NEW))
    assert "tritium" not in keys(DARK)
    assert "date" in keys(DARK, date_words="Never set the date at night.")
    assert "date" not in keys(DARK)


def test_no_caution_of_the_bench_is_an_owner_s():
    for known in (DARK, KnownOfWatch(burn_marks=True, magnetised=True, water_damage=True)):
        told = " ".join(each.title + each.text for each in owner_cautions(known))
        assert not [words for words in BENCH_WORDS if words in told]
    assert "mainspring down" in cautions(DARK)[0].title
