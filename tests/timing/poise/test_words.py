import pytest

from sideshake.core.quantities import Measured
from sideshake.timing.poise.heavy_spot import Poise
from sideshake.timing.poise.words import (
    CAUTIONS,
    CHECK_FIRST,
    hour,
    say_lowest,
    say_poise,
    where_to_take_weight,
)


def spot(dial_deg, *, size=40.0, u=1.0):
    return Poise(
        size_s_per_day=Measured(size, u),
        dial_deg=Measured(dial_deg, 2.0),
        amplitude_deg=Measured(270.0, 1.0),
    )


def test_both_sides_are_named_with_their_own_direction():
    said = say_poise(spot(100.0))
    assert "dial side, 100 ± 4° clockwise from 12 o'clock (about 3 o'clock)" in said
    assert "back with 12 o'clock up, 260 ± 4° clockwise from the top" in said


@pytest.mark.parametrize(("dial_deg", "told"), [(0, 12), (14, 12), (16, 1), (250, 8), (359, 12)])
def test_the_nearest_hour(dial_deg, told):
    assert hour(dial_deg) == told


def test_beyond_straight_down_clockwise_is_left_from_the_dial_and_right_from_the_back():
    # 9 o'clock up puts 3 o'clock down and 4 o'clock to the left of it, as a turned dial shows.
    assert say_lowest(spot(120.0)).startswith("In 9H (crown down) it hangs 30° from straight down")
    assert "to the left seen from the dial side, to the right from the back" in say_lowest(
        spot(120.0)
    )


def test_straight_down_within_its_uncertainty_is_said_so():
    assert say_lowest(spot(93.0)) == "In 9H (crown down) it hangs straight down."


def test_a_small_error_is_left_alone_for_it_may_be_the_springs_own():
    # 12 to 15 s a day are natural (Kleinlein 1920).
    assert "spring's own" in where_to_take_weight(spot(10.0, size=14.0))[-1]
    assert "spring's own" not in where_to_take_weight(spot(10.0, size=40.0))[-1]


def test_the_cautions_say_that_weight_cannot_be_put_back():
    assert "cannot be put back" in CAUTIONS[0]
    assert any("magnetism" in line for line in CHECK_FIRST)
