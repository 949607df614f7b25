"""The picture of before and after: what stands in it is what was compared."""

import re
import xml.etree.ElementTree as ET
from functools import partial

import pytest

from sideshake.pictures.before_after import before_after_chart
from sideshake.pictures.page import svg_text
from sideshake.quantities import Measured
from sideshake.timing.again import AS_HEARD
from sideshake.timing.compare import compare as compare_watches
from sideshake.timing.conditions import Conditions
from sideshake.timing.positions import Position
from sideshake.timing.shared import Figures

compare = partial(compare_watches, again=AS_HEARD)


def read(swing, rate, position=Position.CH, *, error=0.4) -> Figures:
    return Figures(
        conditions=Conditions(position=position, wound="full"),
        amplitude_deg=Measured(swing, 2.0),
        rate_s_per_day=Measured(rate, 0.5),
        beat_error_ms=None if error is None else Measured(error, 0.05),
    )


@pytest.fixture(scope="module")
def one():
    return compare([read(205, -48, error=1.2)], [read(272, 4)])


def panels(compared) -> list[dict]:
    return before_after_chart(compared).to_dict()["vconcat"]


def rows(compared, panel: int) -> list[dict]:
    """Return the marks' data of one panel."""
    drawn = before_after_chart(compared).to_dict()
    names = [layer["data"].get("name") for layer in drawn["vconcat"][panel]["layer"]]
    tables = [drawn["datasets"][name] for name in names if name]
    return next(each for each in tables if "low" in each[0])


def test_each_bar_is_the_95_percent_interval(one):
    before, after = rows(one, 0)
    assert (before["when"], before["value"], before["low"], before["high"]) == (
        "before", 205, 201, 209,
    )  # fmt: skip
    assert (after["when"], after["value"]) == ("after", 272)


def test_before_and_after_are_two_shapes(one):
    (point,) = [layer for layer in panels(one)[0]["layer"] if layer["mark"]["type"] == "point"]
    scale = point["encoding"]["shape"]["scale"]
    assert dict(zip(scale["domain"], scale["range"], strict=True)) == {
        "before": "circle", "after": "diamond",
    }  # fmt: skip


def test_the_frame_holds_every_bar_and_zero_where_zero_is_the_aim(one):
    for number, aim in ((0, False), (1, True), (2, True)):
        axis = next(
            layer["encoding"]["x"]["scale"]["domain"]
            for layer in panels(one)[number]["layer"]
            if layer["mark"]["type"] == "point"
        )
        for mark in rows(one, number):
            assert axis[0] < mark["low"] < mark["high"] < axis[1]
        assert (axis[0] < 0 < axis[1]) is aim


def test_a_round_has_a_row_for_each_position_and_each_mean():
    before = [read(205, -48), read(203, -44, Position.FH), read(170, -60, Position.H6)]
    after = [read(272, 4), read(270, 6, Position.FH), read(240, -2, Position.H6)]
    places = list(dict.fromkeys(each["place"] for each in rows(compare(before, after), 0)))
    assert places == ["CH, dial up", "FH, dial down", "6H, crown left", "mean lying: CH, FH"]


def test_a_figure_that_was_not_read_both_times_has_no_panel():
    assert len(panels(compare([read(205, -48, error=None)], [read(272, 4)]))) == 2


def test_the_drawing_is_sound_svg_that_says_the_changes(one):
    svg = svg_text(before_after_chart(one))
    ET.fromstring(svg)
    said = re.sub(r"<[^>]+>", " ", svg)
    assert "+67 ± 6°: better" in said
    assert "It swings 67 ± 6° further than before" in svg  # for those who cannot see it
