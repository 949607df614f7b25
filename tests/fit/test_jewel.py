import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import (
    Origin,
    Part,
    Seat,
    as_made,
    choose_part,
    hole_for,
    least_outside,
    thickness_asked,
)
from sideshake.fit.materials import BRONZE


def seat(*, pivot=0.896, old=1.012, room=2.8, thickness=0.6, play=(0.017, 0.033), **more):
    return Seat(
        pivot_mm=Measured(pivot, 0.002),
        play_mm=play,
        old_hole_mm=old,
        plate_thickness_mm=thickness,
        room_mm=room,
        **more,
    )


def test_a_barrel_s_jewel_is_made_to_order():
    # by hand: 0.896 + 0.025 to the hundredth; 0.92 + 2 x 0.25 asks 1.50 of the series
    found = choose_part(seat())
    assert found.origin is Origin.ORDER
    assert (found.part.hole_mm, found.part.outside_mm, found.part.thickness_mm) == (0.92, 1.5, 0.6)


def test_a_train_jewel_is_in_the_standard_series():
    found = choose_part(seat(pivot=0.204, old=0.25, play=(0.010, 0.020), thickness=0.3))
    assert found.origin is Origin.STANDARD
    assert (found.part.hole_mm, found.part.outside_mm) == (0.22, 0.80)


def test_a_stocked_hole_that_misses_the_play_is_made_to_order_in_half_hundredths():
    # 0.200 + 0.015: the stocked 0.21 and 0.22 lie on the limits of the play wanted
    found = choose_part(seat(pivot=0.200, old=0.25, play=(0.010, 0.020), thickness=0.3))
    assert found.origin is Origin.ORDER
    assert found.part.hole_mm in (0.215, 0.220)
    assert found.part.hole_mm / 0.005 == pytest.approx(round(found.part.hole_mm / 0.005))


def test_the_drawer_comes_first_when_it_serves():
    mine = Part(outside_mm=1.60, hole_mm=0.92, thickness_mm=0.6, name="box 3")
    assert choose_part(seat(), (mine,)).part.name == "box 3"


@pytest.mark.parametrize(
    "useless",
    [
        Part(outside_mm=1.60, hole_mm=0.96, thickness_mm=0.6),  # too much play
        Part(outside_mm=1.60, hole_mm=0.92, thickness_mm=0.8),  # thicker than the bridge
        Part(outside_mm=1.60, hole_mm=0.92, thickness_mm=0.5),  # thinner than the bridge asks
        Part(outside_mm=1.30, hole_mm=0.92, thickness_mm=0.6),  # too thin a wall
        Part(outside_mm=3.00, hole_mm=0.92, thickness_mm=0.6),  # no room
        Part(outside_mm=1.60, hole_mm=0.92, thickness_mm=0.6, material=BRONZE),
    ],
)
def test_a_drawer_that_does_not_serve_is_passed_over(useless):
    assert choose_part(seat(), (useless,)).origin is Origin.ORDER


def test_the_better_play_wins_in_the_drawer():
    parts = tuple(Part(outside_mm=1.6, hole_mm=each, thickness_mm=0.6) for each in (0.915, 0.921))
    assert choose_part(seat(), parts).part.hole_mm == 0.921


def test_the_seat_cuts_the_whole_old_hole_away():
    found = choose_part(seat(old=1.7))
    assert found.part.outside_mm >= 1.7 + 0.04


def test_without_room_both_sizes_are_named():
    with pytest.raises(NotEnough, match=r"1\.42.*1\.30"):
        choose_part(seat(room=1.3))


def test_a_bush_needs_less_metal_than_a_jewel():
    assert least_outside(seat(), 0.92, BRONZE) < least_outside(seat(), 0.92)
    assert choose_part(seat(room=1.3), material=BRONZE).part.outside_mm <= 1.3


@settings(max_examples=40, deadline=None)
@given(st.floats(0.08, 2.0), st.floats(0.0, 0.2))
def test_the_hole_always_gives_a_play_near_the_middle(pivot, wear):
    asked = seat(pivot=pivot, old=pivot + wear, room=None, play=(0.010, 0.030))
    for step in (0.005, 0.01):
        assert abs(hole_for(asked, step) - pivot - 0.020) <= step / 2 + 1e-4


@pytest.mark.parametrize(("plate", "asked"), [(0.60, 0.60), (0.649, 0.60), (0.15, 0.15)])
def test_a_plate_asks_for_its_own_thickness_rounded_down_to_a_twentieth(plate, asked):
    assert thickness_asked(seat(thickness=plate)) == asked


def test_a_plate_thinner_than_any_part_has_none():
    with pytest.raises(NotEnough, match=r"0\.14 mm.*0\.15"):
        choose_part(seat(thickness=0.14))


def test_the_interference_asked_for_reaches_the_press_fit():
    light, usual = choose_part(seat(interference_mm=0.005)), choose_part(seat())
    assert usual.press.pressure_mpa == pytest.approx(2 * light.press.pressure_mpa)
    assert light.interference.below > usual.interference.below


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        (lambda: seat(pivot=1.1, old=1.0), ("1 mm", "1.1 mm")),
        (lambda: seat(play=(0.03, 0.02)), ("0.03", "0.02")),
        (lambda: seat(thickness=0.0), ("0 mm",)),
        (lambda: Part(outside_mm=1.0, hole_mm=1.0, thickness_mm=0.5), ("1 mm",)),
        (lambda: Part(outside_mm=1.0, hole_mm=0.5, thickness_mm=0.1), ("0.05", "0.1")),
        (lambda: choose_part(seat(centre_to_edge_mm=0.5)), ("0.5 mm", "1.5 mm")),
    ],
)
def test_impossible_sizes_name_the_values(wrong, named):
    with pytest.raises(InputError) as caught:
        wrong()
    assert all(each in str(caught.value) for each in named)


def test_a_bush_is_ordered_under_size_and_a_jewel_as_it_is():
    bush, jewel = choose_part(seat(), material=BRONZE), choose_part(seat())
    assert as_made(jewel) == jewel.part
    assert 0.02 <= bush.part.hole_mm - as_made(bush).hole_mm <= 0.03


def test_a_jewel_s_bore_closes_and_takes_from_the_play():
    found = choose_part(seat())
    closing = found.press.bore_closing_mm
    assert found.play.middle_mm == pytest.approx(0.92 - 0.896 - closing / 2)
    assert choose_part(seat(), material=BRONZE).play.middle_mm == pytest.approx(0.92 - 0.896)


def test_a_bush_blank_is_opened_to_size_and_a_jewel_is_not():
    blank = Part(outside_mm=2.3, hole_mm=0.5, thickness_mm=0.6, material=BRONZE, name="blank")
    bush = choose_part(seat(), (blank,), material=BRONZE)
    assert (bush.origin, bush.part.name, bush.part.hole_mm) == (Origin.DRAWER, "blank", 0.92)
    small = Part(outside_mm=1.6, hole_mm=0.5, thickness_mm=0.6)
    assert choose_part(seat(), (small,)).origin is Origin.ORDER


def test_the_seat_reaches_beyond_the_old_hole_on_each_side():
    # 1.57 + 2 x 0.02 = 1.61 is more than 1.60 of the series
    assert choose_part(seat(old=1.57)).part.outside_mm == 1.80
    assert choose_part(seat(old=1.55)).part.outside_mm == 1.60


def test_the_reamer_s_overcut_takes_from_the_interference():
    # 0.010 under, cut 0.002 to 0.005 over
    assert choose_part(seat()).interference.middle_mm == pytest.approx(0.0065)


def test_the_metal_around_ends_at_the_next_hole():
    # Lame by hand: ruby 1.50/0.92 in hard brass 3.2, 10 µm
    fit = choose_part(seat(centre_to_edge_mm=1.6))
    assert fit.press.pressure_mpa == pytest.approx(273.4, abs=0.1)
    assert fit.wall_left_mm == pytest.approx(0.85)
