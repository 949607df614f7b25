"""The hole before and after, beside each other on one scale."""

from dataclasses import replace

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.drawings.hole_pair import LARGEST, PIVOT, HoleDrawn, HolePair, hole_pair_drawing
from sideshake.drawings.shapes import Polyline, Text

OVAL = HoleDrawn(long_mm=Measured(1.012, 0.004), short_mm=Measured(0.936, 0.004))
ROUND = HoleDrawn(long_mm=Measured(0.921, 0.003))
PAIR = HolePair(name="Hole in the bridge", pivot_mm=Measured(0.896, 0.002), before=OVAL,
                after=ROUND)  # fmt: skip


def outlines(pair):
    shapes = hole_pair_drawing(pair).shapes
    return [each for each in shapes if isinstance(each, Polyline)]


def spans(outline):
    xs, ys = zip(*outline.points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_before_is_oval_and_after_is_round_on_one_scale():
    """By hand: 12 mm stand for 0.448; 0.116 of play are 1.554 mm, 5 times enlarged 7.77."""
    before, after = (spans(each) for each in outlines(PAIR))
    assert PAIR.times == 5
    assert before[0] == pytest.approx(2 * (PIVOT + 5 * PIVOT / 0.896 * 0.116))
    assert before[1] == pytest.approx(2 * (PIVOT + 5 * PIVOT / 0.896 * 0.040), abs=0.01)
    assert after[0] == pytest.approx(after[1], abs=0.01)
    assert before[0] / 2 <= LARGEST


def test_the_sizes_and_how_much_larger_the_play_is_drawn_are_told():
    said = [each.words for each in hole_pair_drawing(PAIR).shapes if isinstance(each, Text)]
    assert "oval: 1.012 ± 0.008" in said
    assert "round: 0.921 ± 0.006 mm" in said
    assert "Play drawn 5 times larger." in said
    assert not any("oval" in words for words in [
        each.words for each in hole_pair_drawing(replace(PAIR, before=ROUND)).shapes
        if isinstance(each, Text)
    ])  # fmt: skip


def test_a_pivot_larger_than_its_hole_is_refused():
    with pytest.raises(InputError, match="not smaller than the hole"):
        replace(PAIR, pivot_mm=Measured(0.95))
