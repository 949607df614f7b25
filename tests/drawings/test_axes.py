"""Axes from 0: values lie where they should, ticks are round."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.drawings.axes import MOST_TICKS, AxesFrame, round_step, x_axis, y_axis
from sideshake.drawings.shapes import Text


def frame(most_x=10.0, most_y=100.0):
    return AxesFrame(
        lower_left=(20.0, 10.0), upper_right=(120.0, 60.0), most_x=most_x, most_y=most_y
    )


def figures(shapes):
    return {each.words: each.at for each in shapes if isinstance(each, Text)}


def test_a_value_lies_in_its_share_of_the_frame():
    assert frame().at(0, 0) == (20.0, 10.0)
    assert frame().at(5, 50) == (70.0, 35.0)
    assert frame().at(10, 100) == (120.0, 60.0)


def test_figures_stand_at_their_own_values():
    across, up = figures(x_axis(frame(), 5.0)), figures(y_axis(frame(), 50.0))
    assert {words: at[0] for words, at in across.items()} == {"0": 20.0, "5": 70.0, "10": 120.0}
    assert {words: at[1] for words, at in up.items()} == {"0": 9.0, "50": 34.0, "100": 59.0}


@given(st.floats(1e-6, 1e9))
def test_a_step_is_round_and_leaves_few_but_enough_ticks(most):
    step = round_step(most)
    assert f"{step:.0e}"[0] in "125"
    assert most / step <= MOST_TICKS * (1 + 1e-9)
    assert most / step > MOST_TICKS / 2.5 * (1 - 1e-9)


@pytest.mark.parametrize("most", [0.0, -1.0])
def test_an_axis_without_length_is_refused(most):
    with pytest.raises(InputError):
        round_step(most)
    with pytest.raises(InputError):
        frame(most_y=most)
