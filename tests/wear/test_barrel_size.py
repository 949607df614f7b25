import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.assumed import (
    GAP_U_MM,
    JEWEL_SHARE,
    PIVOT_SHARE,
    SizeLines,
    Spot,
    bearing_known,
    endshake_known,
    gap_known,
    span_known,
)
from sideshake.wear.barrel_size import BarrelSize, SizeSource, measured, unmeasured, worn_values

SPOT = Spot(name="upper", hole="hole above", pivot="pivot above")
JEWEL = Spot(name="upper", hole="hole above", pivot="pivot above", jewelled=True)
SHEET_HOLE, SHEET_PIVOT = Measured(0.925, 0.003), Measured(0.900, 0.002)


def drawn(size, count=200_000):
    return size.drawn(count, np.random.default_rng(3))


def both(spot=SPOT, **lines):
    given = {"hole": SHEET_HOLE, "pivot": SHEET_PIVOT} | lines.pop("sheet", {})
    return bearing_known(
        spot,
        hole=SizeLines(measured=lines.get("hole"), sheet=given["hole"]),
        pivot=SizeLines(measured=lines.get("pivot"), sheet=given["pivot"]),
    )


def test_an_unmeasured_hole_only_grows_and_an_unmeasured_pivot_only_thins():
    hole, pivot = both()
    assert (hole.source, pivot.source) == (SizeSource.SHEET, SizeSource.SHEET)
    assert drawn(hole).min() > 0.925 - 5 * 0.003
    assert drawn(pivot).max() < 0.900 + 5 * 0.002
    assert hole.value.value > 0.925
    assert pivot.value.value < 0.900


def test_mean_and_spread_are_those_of_the_draws():
    for size in both():
        assert size.value.value == pytest.approx(drawn(size).mean(), abs=5e-4)
        assert size.value.u == pytest.approx(drawn(size).std(), rel=0.05)


def test_a_measured_size_has_no_wear_added_and_may_have_none():
    hole, pivot = both(hole=Measured(0.93, 0.004), pivot=Measured(0.899, 0.002))
    assert [each.source for each in (hole, pivot)] == [SizeSource.MEASURED] * 2
    assert (hole.value, pivot.value) == (Measured(0.93, 0.004), Measured(0.899, 0.002))
    with pytest.raises(InputError, match="was measured"):
        BarrelSize(name="a", words="a", source=SizeSource.MEASURED, new=Measured(1.0), wear_mm=0.1)


def test_a_jewel_hardly_wears():
    assert both(JEWEL)[0].wear_mm == pytest.approx(JEWEL_SHARE * both()[0].wear_mm)
    assert both(JEWEL)[1].wear_mm == both()[1].wear_mm == pytest.approx(-PIVOT_SHARE * 0.025)


def test_what_neither_sheet_nor_bench_knows_has_a_sound_play_of_the_table():
    hole, pivot = both(sheet={"hole": None, "pivot": None})
    assert (hole.source, pivot.source) == (SizeSource.ASSUMED, SizeSource.ASSUMED)
    # 0.40 to 1.0 mm: 0.020 to 0.030
    assert hole.new.value - pivot.new.value == pytest.approx(0.025)
    assert hole.wear_mm > 0


def test_a_pivot_known_only_by_its_measured_hole_may_stand_in_a_worn_one():
    hole, pivot = both(hole=Measured(1.05, 0.004), sheet={"hole": None, "pivot": None})
    assert (hole.source, pivot.source) == (SizeSource.MEASURED, SizeSource.ASSUMED)
    assert pivot.new.value == pytest.approx(1.05 - 0.030)
    # the play may be as much larger as an unmeasured hole's
    assert -pivot.wear_mm > 0.030


def test_a_measured_pivot_thicker_than_the_sheet_s_hole_is_no_contradiction():
    hole, _pivot = both(pivot=Measured(0.94, 0.002))
    assert hole.new.value == pytest.approx(0.94 + 0.025)


def test_a_gap_of_the_sheet_may_be_off_either_way_and_a_measured_one_is_not():
    read, said = Measured(0.2, 0.01), Measured(0.2, 0.01)
    assert gap_known("a", "a", SizeLines(measured=read)).value == read
    from_sheet = gap_known("a", "a", SizeLines(sheet=said))
    assert from_sheet.value.value == 0.2
    assert from_sheet.value.u == pytest.approx((0.01**2 + GAP_U_MM**2) ** 0.5)
    assert gap_known("a", "a", SizeLines()).source is SizeSource.ASSUMED


def test_an_endshake_grows_and_a_span_does_not():
    assert drawn(endshake_known("a", "a", SizeLines(sheet=Measured(0.03, 0.005)))).mean() > 0.034
    span = span_known("a", "a", SizeLines(sheet=Measured(2.7, 0.02)))
    assert span is not None
    assert span.value.value == 2.7
    assert span_known("a", "a", SizeLines()) is None


def test_the_endshake_is_drawn_from_its_parts_where_one_was_not_measured():
    arbor = measured("endshake of the arbor", "endshake of the arbor", Measured(0.04, 0.005))
    own = measured("endshake of the barrel", "endshake of the barrel", Measured(0.03, 0.005))
    worn = endshake_known(own.name, own.words, SizeLines(sheet=Measured(0.03, 0.005)))
    random = np.random.default_rng(4)
    assert worn_values((arbor, own), 10, random) == {}
    values = worn_values((arbor, worn), 1000, random)
    assert np.allclose(values["endshake"], values[arbor.name] + values[own.name])


def test_worn_sizes_are_printed_as_the_range_they_may_have():
    hole, _pivot = both()
    low, high = (float(each) for each in hole.text.split(" to "))
    inside = np.mean((drawn(hole) > low) & (drawn(hole) < high))
    assert inside == pytest.approx(0.95, abs=0.01)
    assert "±" in both(hole=Measured(0.93, 0.004))[0].text


def test_what_was_measured_is_not_among_the_unmeasured():
    hole, pivot = both(hole=Measured(0.93, 0.004))
    assert unmeasured((hole, pivot)) == {"upper pivot": SizeSource.SHEET}
