import pytest

from sideshake.core.quantities import Measured
from sideshake.drawings.daily_rates import BOTTOM, RIGHT, TOP, WIDTH, daily_rates_drawing, sheet_for
from sideshake.drawings.shapes import Circle, DrawnLine, ShapeRole, Text
from sideshake.timing.daily_rates.criteria import NOTICE, ClockComparison, Run
from sideshake.timing.daily_rates.rules import MovementSize


def runs(*rates, u=0.2):
    states = [ClockComparison(at_s=0.0, state_s=Measured(0.0, u))]
    for day, rate in enumerate(rates, start=1):
        before = states[-1].state_s.value
        states.append(ClockComparison(at_s=86400.0 * day, state_s=Measured(before + rate, u)))
    return [Run(day=day, begun=states[day - 1], ended=states[day]) for day in range(1, len(states))]


def dots(drawing):
    return [each.centre for each in drawing.shapes if isinstance(each, Circle)]


def test_a_faster_day_is_drawn_higher_and_a_later_one_further_right():
    slow, fast = dots(daily_rates_drawing(runs(1.0, 5.0), MovementSize.LARGE))
    assert fast[1] > slow[1]
    assert fast[0] > slow[0]


def test_whiskers_are_the_interval_to_scale():
    days = runs(2.0)
    sheet = sheet_for(days)
    rate = days[0].rate_s_per_day
    drawn = [
        each
        for each in daily_rates_drawing(days, MovementSize.LARGE).shapes
        if isinstance(each, DrawnLine)
        and each.role is ShapeRole.DIMENSION
        and each.start[0] == each.end[0]
    ]
    ends = sorted((drawn[0].start[1], drawn[0].end[1]))
    assert ends == pytest.approx(
        [sheet.at(1, rate.value - rate.expanded)[1], sheet.at(1, rate.value + rate.expanded)[1]]
    )


def test_the_mean_of_the_first_ten_is_drawn_at_its_height():
    days = runs(1.0, 5.0)
    picture = daily_rates_drawing(days, MovementSize.LARGE)
    brass = [
        each
        for each in picture.shapes
        if isinstance(each, DrawnLine) and each.role is ShapeRole.ACCENT
    ]
    assert [each.start[1] for each in brass] == pytest.approx([sheet_for(days).at(1, 3.0)[1]])


@pytest.mark.parametrize(
    ("size", "limits"), [(MovementSize.LARGE, "−4 to +6"), (MovementSize.SMALL, "−5 to +8")]
)
def test_the_limits_of_the_mean_are_those_of_the_size(size, limits):
    words = [each.words for each in daily_rates_drawing([], size).shapes if isinstance(each, Text)]
    assert f"limits of the mean: {limits}" in words
    assert any(NOTICE in line for line in words)


@pytest.mark.parametrize("rates", [(), (0.0,), (-200.0, 180.0), (0.001, 0.002)])
def test_everything_stays_on_the_sheet(rates):
    picture = daily_rates_drawing(runs(*rates), MovementSize.LARGE)
    for x, y in dots(picture):
        assert BOTTOM <= y <= TOP
        assert 0 < x < RIGHT
    assert all(0 < each.at[0] < WIDTH for each in picture.shapes if isinstance(each, Text))
