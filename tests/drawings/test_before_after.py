"""The picture of before and after: what stands in it is what was compared."""

import re
import xml.etree.ElementTree as ET
from functools import partial

import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.before_after import before_after_drawing, figure_drawing
from sideshake.drawings.shapes import Circle, DrawnLine, Fill, Named, Polyline, Text
from sideshake.drawings.svg import svg_text
from sideshake.timing.compare.compared import compare as compare_watches
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.difference import ComparedFigure
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position
from sideshake.timing.repeatability import AS_HEARD

compare = partial(compare_watches, again=AS_HEARD)


def read(swing, rate, position=Position.CH, *, error=0.4) -> ReadingFigures:
    return ReadingFigures(
        conditions=Conditions(position=position, wound="full"),
        amplitude_deg=Measured(swing, 2.0),
        rate_s_per_day=Measured(rate, 0.5),
        beat_error_ms=None if error is None else Measured(error, 0.05),
    )


@pytest.fixture(scope="module")
def one():
    return compare([read(205, -48, error=1.2)], [read(272, 4)])


def drawn(compared):
    return before_after_drawing(compared.differences)


def marks(compared) -> list[Named]:
    return [each for each in drawn(compared).shapes if isinstance(each, Named)]


def value_x(mark: Named) -> float:
    """Return where a figure's mark stands."""
    for part in mark.shapes:
        if isinstance(part, Circle):
            return part.centre[0]
        if isinstance(part, Polyline):
            return sum(point[0] for point in part.points) / 4
    raise AssertionError("no mark")


def words(compared) -> list[str]:
    return [each.words for each in drawn(compared).shapes if isinstance(each, Text)]


def test_each_bar_is_the_95_percent_interval(one):
    before, after = marks(one)[:2]
    assert before.words == "before: 205 ± 4°"
    assert after.words == "after: 272 ± 4°"
    per_deg = (value_x(after) - value_x(before)) / (272 - 205)
    lines = [part for part in before.shapes if isinstance(part, DrawnLine)]
    ends = [x for line in lines for x, _ in (line.start, line.end)]
    assert min(ends) == pytest.approx(value_x(before) - 4 * per_deg)
    assert max(ends) == pytest.approx(value_x(before) + 4 * per_deg)


def test_before_and_after_are_two_shapes(one):
    before, after = marks(one)[:2]
    assert [part.fill for part in before.shapes if isinstance(part, Circle)] == [Fill.NONE]
    assert [part.fill for part in after.shapes if isinstance(part, Polyline)] == [Fill.INK]


def test_every_bar_lies_within_the_frame(one):
    for mark in marks(one):
        for part in mark.shapes:
            if isinstance(part, DrawnLine):
                assert 8 < part.start[0] < part.end[0] < 92


def test_zero_is_drawn_where_zero_is_the_aim(one):
    """An amplitude has no aim of 0; rate and beat error have, and each row has a line there."""
    upright = [
        each for each in drawn(one).shapes
        if isinstance(each, DrawnLine) and each.start[0] == each.end[0]
        and each.end[1] - each.start[1] > 5
    ]  # fmt: skip
    assert len(upright) == 2
    rate = marks(one)[2:4]
    per_s = (value_x(rate[1]) - value_x(rate[0])) / 52
    zeros = [each.start[0] for each in upright]
    assert any(x == pytest.approx(value_x(rate[1]) - 4 * per_s) for x in zeros)


def test_a_round_has_a_row_for_each_position_and_each_mean():
    before = [read(205, -48), read(203, -44, Position.FH), read(170, -60, Position.H6)]
    after = [read(272, 4), read(270, 6, Position.FH), read(240, -2, Position.H6)]
    said = words(compare(before, after))
    for place in ("CH, dial up", "FH, dial down", "6H, crown left", "mean lying: CH, FH"):
        assert said.count(place) == 3
    assert len(marks(compare(before, after))) == 2 * 4 * 3


def test_a_figure_that_was_not_read_both_times_has_no_rows():
    compared = compare([read(205, -48, error=None)], [read(272, 4)])
    assert len(marks(compared)) == 4
    assert "beat error, ms" not in words(compared)


def test_the_drawing_is_sound_svg_that_says_the_changes(one):
    svg = svg_text(drawn(one))
    ET.fromstring(svg)
    said = re.sub(r"<[^>]+>", " ", svg)
    assert "+67 ± 6°: better" in said
    assert "It swings 67 ± 6° further than before" in svg  # for those who cannot see it


def test_a_figure_alone_has_its_own_bars_and_no_other_figure_s(one):
    swings = [each for each in one.differences if each.what is ComparedFigure.AMPLITUDE]
    alone = figure_drawing(swings)
    told = [each.words for each in alone.shapes if isinstance(each, Named)]
    assert told == ["before: 205 ± 4°", "after: 272 ± 4°"]
    said = [each.words for each in alone.shapes if isinstance(each, Text)]
    assert "amplitude, °" in said
    assert not [each for each in said if "rate" in each or "Open circle" in each]
    assert alone.height < drawn(one).height / 2
    for each in alone.shapes:
        if isinstance(each, Text):
            assert 0 < each.at[1] < alone.height
