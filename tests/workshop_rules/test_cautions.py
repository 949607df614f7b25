import pytest

from sideshake.core.errors import InputError
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.workshop_rules.cautions import KnownOfWatch, cautions, suspects_radium


def keys(known, sheet=None):
    return [each.key for each in cautions(known, sheet)]


# Public-health publications: radium paint from about the 1910s to the 1960s.
@pytest.mark.parametrize(
    ("known", "suspect"),
    [
        (KnownOfWatch(), True),
        (KnownOfWatch(luminous=True), True),
        (KnownOfWatch(year_from=1940, year_to=1945, luminous=True), True),
        (KnownOfWatch(year_from=1940, luminous=None), True),
        (KnownOfWatch(year_from=1969, year_to=1980, luminous=True), True),
        (KnownOfWatch(year_from=1970, luminous=True), False),
        (KnownOfWatch(year_to=1909, luminous=True), False),
        (KnownOfWatch(year_from=1940, luminous=False), False),
        (KnownOfWatch(year_from=1985, burn_marks=True), True),
        (KnownOfWatch(luminous=False, burn_marks=True), True),
        (KnownOfWatch(year_from=1965, luminous=True, marked_t=True), True),
    ],
)
def test_radium_is_suspected_by_age_and_by_burn_marks(known, suspect):
    assert suspects_radium(known) is suspect
    assert bool({"radium-age", "radium-marks"} & set(keys(known))) is suspect


def test_a_dead_glow_clears_nothing():
    assert "dead-lume" in keys(KnownOfWatch(luminous=True, lume_dead=True))
    assert "dead-lume" not in keys(KnownOfWatch(year_from=1990, luminous=True, lume_dead=True))


def test_a_mark_of_tritium_does_not_speak_for_the_hands():
    found = {each.key: each for each in cautions(KnownOfWatch(year_from=1965, marked_t=True))}
    assert "Hands may have been exchanged" in found["tritium"].text
    assert "radium-age" in found


def test_spring_fluids_water_and_local_rules_are_always_told():
    assert {"mainspring", "solvents", "water-claims", "local-rules"} <= set(
        keys(KnownOfWatch(year_from=1990, luminous=False))
    )


def test_what_is_known_brings_its_caution():
    known = KnownOfWatch(year_from=1990, luminous=False, magnetised=True, water_damage=True)
    found = keys(known, shipped_sheet("lindquell-25"))
    assert {"magnetism", "water-damage", "polymer"} <= set(found)
    assert not {"magnetism", "water-damage", "polymer"} & set(keys(KnownOfWatch(year_from=1990)))


def test_what_can_hurt_comes_first_and_the_rules_last():
    found = cautions(KnownOfWatch(luminous=True, magnetised=True))
    grave = [each.grave for each in found]
    assert grave == sorted(grave, reverse=True)
    assert found[-1].key == "local-rules"


def test_whoever_can_be_hurt_is_named():
    found = {each.key: each.text for each in cautions(KnownOfWatch(magnetised=True))}
    assert "pacemakers" in found["magnetism"]
    assert "shellac" in found["solvents"]
    assert "eye protection" in found["mainspring"]
    assert "authority" in found["local-rules"]
    assert "waterproof" in found["water-claims"]


@pytest.mark.parametrize(
    "years", [{"year_from": 1950, "year_to": 1940}, {"year_from": 40}, {"year_to": 19450}]
)
def test_impossible_years_are_refused(years):
    with pytest.raises(InputError):
        KnownOfWatch(**years)
