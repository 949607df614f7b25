"""One bearing judged, and what is said of it: each sentence with its counter-case."""

import math

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.bearing import Bearing, Hole, probability_worn, side_shake
from sideshake.wear.place_judged import PlaceStage, movement_judged, worn_places
from sideshake.wear.place_sizes import PlaceLines
from sideshake.wear.place_words import (
    lean_sentence,
    next_size,
    not_told,
    place_details,
    place_sentence,
    worn_title,
)

SHEET = shipped_sheet("tarnbrook-31")
L = PlaceLines


def at(name, **lines):
    return movement_judged(SHEET, {name: L(**lines)}).at(name)


def test_play_and_probability_are_the_barrels_own_arithmetic():
    found = at("third.above", hole_mm="0.240+-0.006", pivot_mm="0.198+-0.004")
    bearing = Bearing(
        hole=Hole(long_mm=Measured(0.240, 0.003)),
        pivot_mm=Measured(0.198, 0.002),
        normal_mm=(0.010, 0.020),
    )
    assert found.play == side_shake(bearing)
    assert found.beyond == pytest.approx(probability_worn(bearing))
    assert found.limit_mm == pytest.approx(0.040)


def test_each_stage_is_reached():
    assert at("third.above").stage is PlaceStage.OPEN
    assert at("third.above", pivot_mm="0.2").stage is PlaceStage.MEASURE
    sound = at("third.above", hole_mm="0.215+-0.002", pivot_mm="0.2+-0.002")
    assert sound.stage is PlaceStage.LEAVE
    begun = at("third.above", hole_mm="0.236+-0.002", pivot_mm="0.2+-0.002")
    assert begun.stage is PlaceStage.WATCH
    worn = at("third.above", hole_mm="0.260+-0.002", pivot_mm="0.2+-0.002")
    assert worn.stage is PlaceStage.WORN
    assert place_sentence(at("third.above")) == "Third wheel, above: nothing is measured here."
    assert "no verdict yet. Measure the hole: with pin gauges" in place_sentence(
        at("third.above", pivot_mm="0.2")
    )
    assert place_sentence(sound).startswith("Third wheel, above: leave it. Play 0.0150 ± 0.0028")
    assert place_sentence(worn).startswith("Third wheel, above: worn. ")


def test_a_pivot_guessed_from_its_hole_gives_no_verdict_the_sheets_may():
    guessed = at("fourth.above", hole_mm="0.160+-0.002")
    assert guessed.stage is PlaceStage.MEASURE
    assert next_size(guessed).size == "pivot"
    by_sheet = at("third.above", hole_mm="0.2151+-0.001")
    assert by_sheet.stage is PlaceStage.LEAVE
    assert "as far as can be told without measuring the pivot" in place_sentence(by_sheet)


def test_half_worn_is_called_probably_worn():
    half = at("third.above", hole_mm="0.2425+-0.006", pivot_mm="0.200+-0.004")
    assert 0.5 < half.beyond < 0.95
    assert "probably worn" in place_sentence(half)
    sure = at("third.above", hole_mm="0.27+-0.006", pivot_mm="0.200+-0.004")
    assert "probably worn" not in place_sentence(sure)


def test_an_oval_is_said_only_where_it_is_real():
    real = at("third.above", hole_long_mm="0.250+-0.004", hole_short_mm="0.220+-0.004")
    assert "The hole is oval by 0.030" in " ".join(place_details(real))
    scatter = at("third.above", hole_long_mm="0.222+-0.004", hole_short_mm="0.220+-0.004")
    told = " ".join(place_details(scatter))
    assert "The hole is oval" not in told
    assert "an oval and no scatter of the readings has a probability of 52 %" in told
    assert scatter.oval_chance == pytest.approx(math.erf(0.5))
    one_way = at("third.above", hole_mm="0.22")
    assert one_way.oval is None
    assert any(each.startswith("Whether the hole is oval") for each in untold("third.above"))


def untold(name, **lines):
    lines = lines or {"hole_mm": "0.22", "pivot_mm": "0.2"}
    whole = movement_judged(SHEET, {name: L(**lines)})
    return not_told(whole.at(name), whole)


def test_what_cannot_be_told_goes_as_it_is_measured():
    assert any("endshake" in each for each in untold("third.above"))
    both = {"hole_mm": "0.22", "pivot_mm": "0.2", "endshake_mm": "0.04"}
    assert not any("endshake" in each for each in untold("third.above", **both))
    lean = next(each for each in untold("third.above") if "leans" in each)
    assert lean == (
        "How far the arbor leans: the play below and the distance of its two bearings were not "
        "measured."
    )


def test_an_arbor_leans_by_half_its_plays_over_the_span():
    lines = {"hole_mm": "0.240+-0.002", "pivot_mm": "0.200+-0.002"}
    found = movement_judged(
        SHEET, {"third.above": L(**lines, span_mm="2.40+-0.02"), "third.below": L(**lines)}
    )
    lean = found.leans[0]
    assert math.tan(math.radians(lean.lean.angle_deg.value)) == pytest.approx(0.040 / 2.40)
    # 75 teeth of module 0.10 at the fourth's pinion: 3.75 mm
    assert lean.lean.rim_move_mm.value == pytest.approx(3.75 * 0.040 / 2.40)
    assert "its wheel's rim moves" in lean_sentence(lean)
    assert movement_judged(SHEET, {"third.above": L(**lines, span_mm=2.4)}).leans == ()


def test_a_lean_that_no_arbor_has_is_told_as_a_wrong_size():
    lines = {"play_mm": "0.20+-0.02", "span_mm": "0.50"}
    whole = movement_judged(SHEET, {"third.above": L(**lines), "third.below": L(**lines)})
    assert whole.leans == ()
    assert "it would be more than 10°" in " ".join(not_told(whole.at("third.above"), whole))
    assert "10°" not in " ".join(untold("third.above"))


def test_an_unmeasured_pivot_passes_through_the_short_way():
    oval = {"hole_long_mm": "0.30+-0.004", "hole_short_mm": "0.19+-0.004"}
    found = at("third.above", **oval)  # the sheet's pivot of 0.200 is not this watch's
    assert found.sizes.pivot.value.value < 0.19
    assert at("fourth.above", **oval).sizes.pivot.value.value < 0.19
    wide = at("third.above", hole_long_mm="0.30+-0.004", hole_short_mm="0.22+-0.004")
    assert wide.sizes.pivot.new.value == 0.200


def test_a_lean_without_a_wheel_tells_no_rim():
    lines = {"play_mm": "0.012+-0.002"}
    found = movement_judged(
        SHEET, {"balance.above": L(**lines, span_mm=4.0), "balance.below": L(**lines)}
    )
    assert "rim" not in lean_sentence(found.leans[0])


def test_the_better_known_of_two_plays_counts_and_a_contradiction_is_told():
    lines = {"hole_mm": "0.230+-0.006", "pivot_mm": "0.200+-0.006"}
    finer = at("third.above", **lines, play_mm="0.028+-0.002")
    assert (finer.play.value, finer.play.u) == (pytest.approx(0.028), 0.001)
    coarser = at("third.above", **lines, play_mm="0.028+-0.050")
    assert coarser.play.value == pytest.approx(0.030)
    assert not any("cannot both be right" in each for each in place_details(finer))
    apart = at("third.above", **lines, play_mm="0.060+-0.004")
    assert any("cannot both be right" in each for each in place_details(apart))


def test_endshake_is_told_as_more_or_less_only_where_it_is():
    for value, word in (("0.09+-0.01", "it is more"), ("0.008+-0.004", "it is less")):
        told = " ".join(place_details(at("third.above", endshake_mm=value, pivot_mm="0.2")))
        assert word in told
    usual = " ".join(place_details(at("third.above", endshake_mm="0.04+-0.01", pivot_mm="0.2")))
    assert "Endshake 0.040 ± 0.010 mm; usual is 0.020 to 0.060" in usual
    assert "it is" not in usual


def test_what_is_worn_is_named_as_far_as_it_is_shown():
    grown = at("third.above", hole_mm="0.260+-0.004", pivot_mm="0.200+-0.002")
    assert worn_title(grown) == "Worn hole: third wheel, above"
    thin = at("third.above", hole_mm="0.2155+-0.004", pivot_mm="0.170+-0.002")
    assert worn_title(thin) == "Worn pivot: third wheel, above"
    both = at("third.above", hole_mm="0.240+-0.004", pivot_mm="0.180+-0.002")
    assert worn_title(both) == "Worn bearing: third wheel, above"
    felt = at("third.above", play_mm="0.060+-0.004")
    assert worn_title(felt) == "Worn bearing: third wheel, above"


def test_a_rotor_that_rubs_is_worn_whatever_its_play():
    sheet = shipped_sheet("lindquell-25")
    loose = movement_judged(sheet, {"rotor": L(play_mm="0.050+-0.010")}).at("rotor")
    assert loose.stage is PlaceStage.WORN
    assert "rubs there with a probability" in place_sentence(loose)
    tight = movement_judged(sheet, {"rotor": L(play_mm="0.010+-0.002")}).at("rotor")
    assert tight.stage is PlaceStage.LEAVE
    assert "rubs there" not in place_sentence(tight)
    assert movement_judged(None, {"rotor": L(play_mm="0.010+-0.002")}).at("rotor").rotor == ()


def test_the_doubt_names_what_to_measure_again():
    hole = at("third.above", hole_mm="0.230+-0.012", pivot_mm="0.200+-0.002")
    assert next_size(hole).words.startswith("The hole makes 97 % of the doubt")
    pivot = at("third.above", hole_mm="0.230+-0.002", pivot_mm="0.200+-0.012")
    assert next_size(pivot).size == "pivot"


def test_sizes_that_cannot_be_together_are_refused_by_the_places_name():
    with pytest.raises(InputError, match=r"third wheel, above: the pivot 0\.25 mm is larger"):
        at("third.above", hole_mm="0.20+-0.002", pivot_mm="0.25+-0.002")
    with pytest.raises(InputError, match="both hole_mm"):
        at("third.above", hole_mm="0.20", hole_long_mm="0.21")
    smaller = at("third.above", hole_mm="0.18+-0.002")  # than the sheet's pivot: not this watch's
    assert smaller.stage is PlaceStage.MEASURE


def test_the_worn_are_listed_with_the_surest_first():
    found = movement_judged(
        SHEET,
        {
            "third.above": L(hole_mm="0.2425+-0.006", pivot_mm="0.200+-0.004"),
            "fourth.above": L(play_mm="0.09+-0.004"),
            "escape.above": L(play_mm="0.010+-0.002"),
        },
    )
    assert [each.place.name for each in worn_places(found)] == ["fourth.above", "third.above"]
