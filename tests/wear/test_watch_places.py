"""Which places a movement has, and what is expected of a size typed there."""

import pytest

from sideshake.core.errors import InputError
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.wear.place_typed import expected, slip_in
from sideshake.wear.watch_places import place_named, watch_places


def names(sheet):
    return [each.name for each in watch_places(sheet)]


@pytest.mark.parametrize("name", shipped_names())
def test_every_name_and_table_of_a_movement_stands_once(name):
    places = watch_places(shipped_sheet(name))
    assert len({each.name for each in places}) == len({each.table for each in places})
    assert all(len(f"{each.table}.barrel_endshake_mm") <= 60 for each in places)


def test_the_sheet_tells_which_places_there_are():
    chronograph = names(shipped_sheet("tarnbrook-31"))
    assert {"runner.above", "minute-counter.below", "intermediate.above"} <= set(chronograph)
    assert "rotor" not in chronograph
    automatic = names(shipped_sheet("lindquell-25"))
    assert {"rotor", "date-driver"} <= set(automatic)
    assert "runner.above" not in automatic
    assert "pallets.above" not in names(shipped_sheet("vennick-41"))  # a cylinder escapement
    assert {"rotor", "runner.above", "pallets.above", "date-ring"} <= set(names(None))


def test_a_place_has_the_sheets_sizes_or_the_usual_ones():
    sheet = shipped_sheet("tarnbrook-31")
    third, fourth = place_named(sheet, "third.above"), place_named(sheet, "fourth.above")
    assert (third.hole_mm.value, third.normal_play.source) == (0.215, "calibre sheet")
    assert third.rim_radius_mm.value == pytest.approx(75 * 0.10 / 2)
    assert fourth.hole_mm is None
    assert fourth.normal_play.source.startswith("the trade's table")
    assert place_named(sheet, "balance.above").pivot_mm.value == 0.100
    with pytest.raises(InputError, match=r"no place of this movement is called 'fifth\.above'"):
        place_named(sheet, "fifth.above")


def test_a_point_at_the_wrong_place_is_noticed_and_a_worn_size_is_not():
    third = place_named(shipped_sheet("tarnbrook-31"), "third.above")
    about = expected(third, "hole_mm")
    assert slip_in(2.15, about).meant_mm == pytest.approx(0.215)
    assert slip_in(0.0215, about).meant_mm == pytest.approx(0.215)
    assert slip_in(21.5, about).words == "100 times too large"
    assert slip_in(215.0, about).words == "1000 times too large"  # micrometres
    for worn in (0.215, 0.28, 0.17):
        assert slip_in(worn, about) is None
    assert slip_in(0.9, about) is None  # no power of ten makes it right: nothing is guessed
    assert expected(third, "thickness_mm") is None


def test_a_play_is_asked_about_only_where_it_cannot_be_one():
    third = place_named(None, "third.above")
    about = expected(third, "play_mm")
    assert slip_in(0.12, about) is None  # ten times a sound play: worn, not mistyped
    assert slip_in(1.2, about).meant_mm == pytest.approx(0.12)
