"""Wheels drawn with known teeth: counted, judged tooth by tooth, measured over the tips."""

import numpy as np
import pytest
from drawn_wheels import Drawn, drawn_wheel
from wheel_cases import harmed, hostile, mark, numbered, shedding

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.tooth import ToothState
from sideshake.photo.wheel import wheel


def seen(drawn, at=None, **given):
    given = {"inside": drawn.inside, "first": mark(drawn)} | given
    return wheel(drawn_wheel(drawn), at or drawn.centre, **given)


@pytest.mark.parametrize("hard", [False, True])
def test_teeth_are_counted_and_lost_ones_found(hard):
    for drawn, at in shedding(3, 5, hard=hard):
        found = seen(drawn, at)
        assert found.teeth == drawn.teeth
        assert found.probability > 0.99
        not_whole = {tooth.number for tooth in found.each if tooth.state is not ToothState.WHOLE}
        assert set(numbered(drawn, drawn.lost)) <= not_whole
        if not hard:
            assert found.those(ToothState.MISSING) == numbered(drawn, drawn.lost)
            assert not_whole == set(numbered(drawn, drawn.lost))


def test_the_diameter_over_the_tips_is_right_within_half_a_percent():
    for drawn, at in shedding(3, 6, hard=False):
        across = seen(drawn, at).tip_px
        assert across.value == pytest.approx(2 * drawn.tip, rel=0.005)
        assert across.holds(2 * drawn.tip)
        assert across.expanded < 0.03 * across.value


def test_a_scale_gives_millimetres_and_its_doubt():
    drawn = Drawn(teeth=24)
    found = seen(drawn, mm_per_px=Measured(0.02, 0.0002))
    assert found.tip_mm.value == pytest.approx(6.0, rel=0.005)
    assert found.tip_mm.u >= 0.01 * found.tip_mm.value
    assert seen(drawn).tip_mm is None


def test_harmed_teeth_are_named_by_number():
    for drawn, at in harmed(3, 8):
        found = seen(drawn, at)
        broken = {tooth for tooth, left in drawn.lost.items() if left}
        for state, teeth in (
            (ToothState.MISSING, set(drawn.lost) - broken),
            (ToothState.WORN, drawn.thin),
            (ToothState.BENT, drawn.bent),
        ):
            assert set(numbered(drawn, teeth)) <= set(found.those(state))
        (number,) = numbered(drawn, broken)
        assert found.each[number - 1].state in {ToothState.BROKEN, ToothState.WORN}
        assert len(found.those(ToothState.WHOLE)) == drawn.teeth - 4


def test_a_whole_wheel_has_no_harmed_tooth():
    assert seen(Drawn(teeth=45)).those(ToothState.WHOLE) == tuple(range(1, 46))


def test_specks_in_every_gap_of_a_third_do_not_double_the_count():
    drawn = Drawn(teeth=31)
    light = drawn_wheel(drawn)
    y, x = np.mgrid[:400, :400]
    for gap in range(0, 31, 3):
        around = drawn.turn + (gap + 0.5) * 2 * np.pi / 31
        out = drawn.root + 0.5 * drawn.height
        at = drawn.centre + out * np.array([np.cos(around), -np.sin(around)])
        light[np.hypot(x - at[0], y - at[1]) < 3] = drawn.metal
    found = wheel(light, drawn.centre)
    assert found.teeth == 31
    assert not found.those(ToothState.MISSING)


def test_half_the_teeth_missing_neither_halve_nor_shift_the_count():
    row = Drawn(teeth=31, lost=dict.fromkeys(range(15), 0.0))
    strewn = Drawn(
        teeth=30, lost=dict.fromkeys([0, 1, 4, 5, 6, 9, 12, 13, 17, 18, 22, 25, 27], 0.0)
    )
    for drawn in (row, strewn):
        found = seen(drawn)
        assert found.teeth == drawn.teeth
        assert found.those(ToothState.MISSING) == numbered(drawn, drawn.lost)


def test_every_second_tooth_lost_cannot_be_told_and_that_is_said():
    found = seen(Drawn(teeth=60, lost=dict.fromkeys(range(0, 60, 2), 0.0)))
    assert found.teeth == 30
    assert found.wide_gaps
    assert not seen(Drawn(teeth=60)).wide_gaps


def test_no_wrong_count_where_few_could_count():
    for drawn, at in hostile(5, 9):
        try:
            found = seen(drawn, at)
        except NotEnough:
            continue
        assert found.teeth == drawn.teeth


@pytest.mark.parametrize(
    ("given", "cure"),
    [
        ({"centre": (340.0, 198.8)}, "all of it"),
        ({"teeth": 60, "blur": 4.0}, "plain ground|focus|hold still"),
        ({"tilt_deg": 25.0}, "square to the camera"),
        ({"metal": 0.8}, "plain"),
        ({"teeth": 31, "tip": 16.0, "depth": 2.0, "blur": 0.5}, "go nearer|plain ground"),
        ({"depth": 0.05}, "plain ground"),
    ],
)
def test_what_cannot_be_counted_is_refused_with_its_cure(given, cure):
    with pytest.raises(NotEnough, match=cure):
        seen(Drawn(**given))


def test_numbers_run_clockwise_from_the_mark():
    drawn = Drawn(teeth=12, turn=0.0, lost={11: 0.0})  # one step clockwise of 3 o'clock
    assert seen(drawn).those(ToothState.MISSING) == (2,)
    assert seen(drawn, first=None).those(ToothState.MISSING) == (5,)  # from 12 o'clock: 3 more


def test_the_place_pressed_may_be_off_by_a_tenth_of_the_radius():
    drawn = Drawn(teeth=60)
    x, y = drawn.centre
    assert seen(drawn, (x + 15, y - 10)).teeth == 60


@pytest.mark.parametrize("at", [(-1, 5), (5, 400), (np.nan, 5)])
def test_a_point_outside_the_photograph_is_refused(at):
    with pytest.raises(InputError, match="outside the photograph"):
        wheel(np.zeros((400, 400), np.float32), at)


@pytest.mark.parametrize(
    "light", [np.zeros((9, 9)), np.zeros((90, 90, 3)), np.full((90, 90), np.nan)]
)
def test_what_is_no_picture_is_refused(light):
    with pytest.raises(InputError, match="24 rows and columns"):
        wheel(light.astype(np.float32), (5, 5))


@pytest.mark.parametrize("make", ["black", "noise", "steps"])
def test_nothing_is_counted_where_nothing_is(make):
    rng = np.random.default_rng(1)
    light = {
        "black": np.zeros((200, 200)),
        "noise": rng.random((200, 200)),
        "steps": np.add.outer(np.arange(200), np.arange(200)) // 20 % 2,
    }[make].astype(np.float32)
    with pytest.raises(NotEnough, match=r"plain ground|all of it"):
        wheel(light, (100, 100))
