import math

import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.poise import CENTRE, SPOT, SeenFrom, paper_deg, poise_drawing
from sideshake.drawings.shapes import Circle, Fill, Text, on_circle
from sideshake.drawings.svg import svg_text
from sideshake.timing.poise.heavy_spot import Poise

RATES = {
    position: Measured(rate, 1.0)
    for position, rate in (("12H", 3.0), ("3H", 20.0), ("6H", 3.0), ("9H", -14.0))
}


def drawn(dial_deg, seen):
    poise = Poise(
        size_s_per_day=Measured(17.0, 1.0),
        dial_deg=Measured(dial_deg, 3.0),
        amplitude_deg=Measured(270.0, 1.0),
    )
    return poise_drawing(poise, RATES, seen=seen)


def spot_of(drawing):
    return max(
        (each for each in drawing.shapes if isinstance(each, Circle) and each.fill is Fill.INK),
        key=lambda each: each.radius,
    )


def place_of(drawing, words):
    return next(
        each.at for each in drawing.shapes if isinstance(each, Text) and each.words == words
    )


@pytest.mark.parametrize(("seen", "side"), [(SeenFrom.DIAL, 1), (SeenFrom.BACK, -1)])
def test_a_spot_at_3_lies_on_the_side_of_the_crown(seen, side):
    picture = drawn(90.0, seen)
    assert (spot_of(picture).centre[0] - CENTRE[0]) * side == pytest.approx(SPOT)
    assert (place_of(picture, "3H")[0] - CENTRE[0]) * side > SPOT


def test_a_spot_at_2_is_drawn_where_2_stands_on_a_dial():
    assert spot_of(drawn(60.0, SeenFrom.DIAL)).centre == pytest.approx(
        on_circle(CENTRE, SPOT, 30.0)
    )


def test_from_the_back_everything_is_as_in_a_mirror():
    for angle in (0.0, 77.0, 200.0):
        mirrored = 180.0 - paper_deg(angle, SeenFrom.DIAL)
        assert math.cos(math.radians(paper_deg(angle, SeenFrom.BACK) - mirrored)) == pytest.approx(
            1.0
        )


def test_the_picture_says_its_side_and_all_four_rates(words):
    picture = drawn(90.0, SeenFrom.BACK)
    told = words(svg_text(picture))
    assert "seen from the back" in told
    for rate in ("+20 ± 2", "−14 ± 2", "+3 ± 2"):
        assert rate in told.replace(".0", "")
    lines = [each.words for each in picture.shapes if isinstance(each, Text)]
    assert sum("spot lowest" in line for line in lines) == 1


def test_everything_stays_on_the_sheet():
    picture = drawn(200.0, SeenFrom.BACK)
    for each in picture.shapes:
        if isinstance(each, Text):
            assert 0 < each.at[1] < picture.height - each.height
            assert 0 < each.at[0] < picture.width
