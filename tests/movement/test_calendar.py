"""The forbidden hours: hand-worked windows, laws of the dial, contradictions named."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.calendar import (
    Engagement,
    arc_from_lengths,
    common_advice,
    engagement_of,
    finger_arc,
    hand_time,
    observed,
    polymer_warning,
    quick_set,
    rule_check,
    watched,
)
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet_file import shipped_sheet


def engaged(before, after, jump=0.0):
    return Engagement(
        jump_h=Measured(jump),
        before_h=Measured(before),
        after_h=Measured(after),
        known_by="driving geometry",
    )


def test_sixty_degrees_of_finger_are_four_hours():
    both = engagement_of(Calendar(finger_arc_deg=60, arc_before_jump_deg=45))
    assert (both.before_h.value, both.after_h.value) == (3.0, 1.0)


def test_an_arc_that_is_not_split_counts_on_both_sides():
    both = engagement_of(Calendar(finger_arc_deg=60))
    assert (both.before_h.value, both.after_h.value) == (4.0, 4.0)


def test_a_wheel_that_turns_in_twelve_hours_halves_the_time():
    assert engagement_of(Calendar(finger_arc_deg=60, drive_turn_h=12)).before_h.value == 2.0


def test_an_arc_from_three_lengths_is_worked_by_hand():
    # A 3-4-5 triangle: at the edge the finger (3) stands square to the offset (4), tips at 5.
    arc = arc_from_lengths(Measured(3.0), Measured(4.0), Measured(5.0))
    assert arc.value == pytest.approx(180.0)


def test_an_arc_from_a_triangle_of_sixty_degrees():
    # Law of cosines: sides 2 and 3 with 60 degrees outside, 19 = 9 + 4 + 2*2*3*cos 60.
    arc = arc_from_lengths(Measured(2.0), Measured(3.0), Measured(19**0.5))
    assert arc.value == pytest.approx(120.0)


def test_doubtful_lengths_may_differ_more_from_the_stated_arc():
    lengths = {"finger_radius_mm": "3+-0.10", "driver_offset_mm": 4, "ring_teeth_radius_mm": 5}
    computed = finger_arc(Calendar(**lengths))
    # By hand: d cos/d finger is -1/4 here, so 2 x 0.05/4 rad.
    assert computed.u == pytest.approx(1.432, abs=0.001)
    assert finger_arc(Calendar(finger_arc_deg=177.2, **lengths)).value == 177.2
    with pytest.raises(InputError, match="177"):
        finger_arc(Calendar(finger_arc_deg=177, **lengths))
    assert finger_arc(Calendar(finger_arc_deg="172+-8", **lengths)).value == 172
    with pytest.raises(InputError, match="171"):
        finger_arc(Calendar(finger_arc_deg="171+-8", **lengths))


def test_a_finger_that_does_not_reach_the_ring_names_the_lengths():
    with pytest.raises(InputError, match=r"finger_radius_mm.*ring_teeth_radius_mm"):
        arc_from_lengths(Measured(2.0), Measured(4.0), Measured(7.0))


def test_an_arc_that_contradicts_the_lengths_names_both():
    lengths = {"finger_radius_mm": 3, "driver_offset_mm": 4, "ring_teeth_radius_mm": 5}
    assert finger_arc(Calendar(finger_arc_deg=180, **lengths)).value == 180
    with pytest.raises(InputError, match=r"60.*180"):
        finger_arc(Calendar(finger_arc_deg=60, **lengths))


def test_a_part_of_the_arc_larger_than_the_arc_names_both():
    with pytest.raises(InputError, match=r"70.*60"):
        engagement_of(Calendar(finger_arc_deg=60, arc_before_jump_deg=70))


def test_nothing_known_says_what_would_do():
    with pytest.raises(InputError, match=r"first_touch.*finger_arc_deg"):
        engagement_of(Calendar())


def test_watched_hand_times_come_before_the_geometry():
    calendar = Calendar(first_touch="21:30", jump="0:06", free="1:00", finger_arc_deg=60)
    found = engagement_of(calendar)
    assert found.known_by == "hand times watched"
    assert found.before_h.value == pytest.approx(2.6)
    assert found.after_h.value == pytest.approx(0.9)


@pytest.mark.parametrize("times", [("9:30", "12:00", "1:00"), ("21:30", "0:00", "13:00")])
def test_twelve_hour_times_are_understood(times):
    touch, jump, free = times
    found = watched(touch, jump, free=free)
    assert (found.before_h.value, found.after_h.value) == (2.5, 1.0)


@pytest.mark.parametrize("times", [("9:00", "12:00", "1:00"), ("21:00", "12:00", "13:00")])
def test_a_jump_at_twelve_is_midnight_and_never_noon(times):
    touch, jump, free = times
    found = quick_set(watched(touch, jump, free=free))
    # by hand: 21:00 - 1 h - 10 min to 1:00 + 1 h + 10 min
    assert (hand_time(found.start_h), hand_time(found.end_h)) == ("19:50", "2:10")


@given(st.integers(0, 719), st.integers(1, 300), st.integers(0, 180))
def test_no_twelve_hour_times_give_a_window_over_noon(minute, before, after):
    """Whatever stands on a twelve-hour dial: the window is round midnight, or it is asked."""
    touch, jump, free = (
        f"{(each // 60) % 12 or 12}:{each % 60:02d}"
        for each in ((minute - before) % 720, minute, (minute + after) % 720)
    )
    if 180 < minute < 540:
        with pytest.raises(InputError, match="in the morning or in the evening"):
            watched(touch, jump, free=free)
        return
    found = watched(touch, jump, free=free)
    assert min(found.jump_h.value, 24 - found.jump_h.value) <= 3
    assert found.before_h.value == pytest.approx(before / 60)
    assert found.after_h.value == pytest.approx(after / 60)


def test_a_jump_far_from_twelve_is_asked_about_unless_the_times_tell():
    with pytest.raises(InputError, match="Write 06:00 or 18:00"):
        watched("4:00", "6:00", free="7:00")
    assert watched("04:00", "06:00", free="07:00").jump_h.value == 6
    assert watched("16:00", "18:00", free="19:00").jump_h.value == 18


def test_observed_twelve_hour_times_are_midnight_too():
    found = quick_set(observed("9:00", "12:00"))
    assert (hand_time(found.start_h), hand_time(found.end_h)) == ("19:50", "1:10")


def test_a_sheet_that_says_twelve_means_midnight():
    found = quick_set(engagement_of(Calendar(jump="12:00", finger_arc_deg="60+-1")))
    assert found.start_h > 18


def test_hand_times_in_the_wrong_order_are_all_named():
    with pytest.raises(InputError, match=r"1:00.*0:00.*3:00"):
        watched("1:00", "0:00", free="3:00")


@pytest.mark.parametrize("time", ["25:00", "12:60", "noon", "-1:00"])
def test_an_impossible_hand_time_is_refused(time):
    with pytest.raises(InputError):
        watched(time, "0:00", free="1:00")


def test_the_margin_and_the_doubt_widen_both_sides():
    forbidden = quick_set(engaged(3, 1), margin_h=1.0)
    assert (forbidden.start_h, forbidden.end_h) == (20.0, 2.0)
    doubtful = quick_set(watched("21:00", "0:00", free="1:00", u_min=6), margin_h=1.0)
    assert doubtful.start_h == pytest.approx(20.0 - 0.2)
    assert doubtful.end_h == pytest.approx(2.0 + 0.2)


def test_twelve_hour_dial_arcs_worked_by_hand():
    bad, good = quick_set(engaged(3, 1)).arcs
    assert (bad.start_h, bad.end_h, bad.safe) == (8.0, 14.0, False)
    assert (good.start_h, good.length_h, good.safe) == (2.0, 6.0, True)


def test_a_dial_that_shows_morning_and_evening_leaves_more():
    good = quick_set(engaged(3, 1), shows_half_day=True).arcs[1]
    assert good.length_h == 18.0


@given(st.floats(0, 5), st.floats(0, 4.9), st.floats(0, 23.99))
def test_the_two_arcs_close_the_dial(before, after, jump):
    assume(before + after < 9.9)
    bad, good = quick_set(engaged(before, after, jump)).arcs
    assert bad.length_h + good.length_h == pytest.approx(12)
    assert good.end_h % 12 == pytest.approx(bad.start_h % 12, abs=1e-9)


@given(st.floats(0, 4), st.floats(0, 4), st.floats(1, 2), st.floats(0, 1))
def test_a_larger_margin_never_frees_an_hour(before, after, margin, more):
    assume(before + after + 2 * (margin + more) < 11.9)
    one = rule_check(quick_set(engaged(before, after), margin_h=margin), start_h=5, end_h=6)
    other = rule_check(
        quick_set(engaged(before, after), margin_h=margin + more), start_h=5, end_h=6
    )
    assert other.margin_h <= one.margin_h + 1e-9


def test_the_lower_half_of_the_dial_against_the_old_window():
    # 21:00 to 3:00 forbidden leaves exactly 3 to 9.
    rule = rule_check(quick_set(engaged(2, 2)))
    assert rule.holds
    assert rule.margin_h == pytest.approx(0)


def test_the_lower_half_fails_for_a_finger_that_begins_early():
    rule = rule_check(quick_set(engaged(3, 1)))
    assert not rule.holds
    assert rule.margin_h == pytest.approx(-1)


def test_a_rule_that_lies_in_the_forbidden_hours_fails_by_more():
    rule = rule_check(quick_set(engaged(3, 1)), start_h=10, end_h=11)
    assert rule.margin_h < -1


@pytest.mark.parametrize(
    ("start", "end", "margin"), [(2, 6, -2), (5, 7, 1), (4, 8, 0), (5, 11, -3)]
)
def test_a_rule_is_measured_at_the_end_that_is_nearer(start, end, margin):
    # 20:00 to 4:00 forbidden leaves 4 to 8
    assert rule_check(common_advice(), start_h=start, end_h=end).margin_h == pytest.approx(margin)


@pytest.mark.parametrize("rule", [(9, 3), (-1, 3), (3, 13)])
def test_an_impossible_rule_is_refused(rule):
    with pytest.raises(InputError, match="runs forward"):
        rule_check(common_advice(), start_h=rule[0], end_h=rule[1])


def test_a_margin_below_an_hour_is_refused():
    with pytest.raises(InputError, match="at least"):
        quick_set(engaged(3, 1), margin_h=0.5)


def test_a_margin_that_leaves_nothing_is_refused():
    with pytest.raises(InputError, match="no hour"):
        quick_set(engaged(3, 1), margin_h=4)


@pytest.mark.parametrize(("before", "after"), [(-1, 1), (1, -1), (7, 6)])
def test_an_impossible_engagement_is_refused(before, after):
    with pytest.raises(InputError):
        engaged(before, after)


def test_a_reading_without_width_is_refused():
    with pytest.raises(InputError, match="minutes"):
        watched("21:00", "0:00", free="1:00", u_min=0)


def test_a_polymer_wheel_is_warned_of():
    assert "hairline cracks" in polymer_warning(shipped_sheet("lindquell-25"))
    assert polymer_warning(shipped_sheet("tarnbrook-31")) == ""


def test_observed_hours_cross_midnight():
    # hand-worked: 22:10 to 0:20, each read to 5 min (95 %: 10 min), margin 1 h (trade-facts 9.11):
    # 22:10 - 1:10 = 21:00 and 0:20 + 1:10 = 1:30
    found = quick_set(observed("22:10", "00:20"))
    assert (hand_time(found.start_h), hand_time(found.end_h)) == ("21:00", "1:30")
    assert found.margin_h == pytest.approx(1 + 10 / 60)
    assert found.engagement.known_by == "observed on this watch"


@pytest.mark.parametrize(
    ("begins", "moved", "start", "end"),
    [
        ("23:58", "00:00", "22:48", "1:10"),
        ("21:00", "23:30", "19:50", "0:40"),
        ("00:05", "00:35", "22:55", "1:45"),
        ("00:00", "00:00", "22:50", "1:10"),
    ],
)
def test_observed_hours_before_at_and_after_midnight(begins, moved, start, end):
    found = quick_set(observed(begins, moved))
    assert (hand_time(found.start_h), hand_time(found.end_h)) == (start, end)


def test_times_that_were_exchanged_are_refused():
    with pytest.raises(InputError, match=r"21 h 50 min.*exchanged"):
        observed("00:20", "22:10")


@given(st.integers(0, 1439), st.integers(0, 600))
def test_every_observed_minute_is_forbidden_with_an_hour_on_either_side(begins, lasts):
    moved = (begins + lasts) % 1440
    assume(lasts + 2 * 70 < 720)
    found = quick_set(observed(*(f"{each // 60:02d}:{each % 60:02d}" for each in (begins, moved))))
    for minute in (begins - 60, begins, moved, moved + 60):
        # where the hands stand on the dial; a change that was seen at noon is told of midnight
        assert (minute / 60 - found.start_h) % 12 <= found.length_h + 1e-9
    assert abs(found.engagement.jump_h.value - 12) >= 3
