"""The card's geometry: three sizes that cannot be mistaken, however they lie or are mirrored."""

from itertools import permutations

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.photo.card import (
    DOTS_A_RING,
    HALF_SIDE,
    Print,
    ScaleCardSize,
    dot_pitch_mm,
    dots,
    large_places,
    places_mm,
)


def turned_and_mirrored(size):
    """Return every list of places that the larger dots can take, as the card lies or mirrored."""
    return {
        tuple(sorted((sign * place + turn) % DOTS_A_RING for place in large_places(size)))
        for sign in (1, -1)
        for turn in range(DOTS_A_RING)
    }


def test_no_card_looks_like_another_or_like_itself_turned_or_mirrored():
    every = [turned_and_mirrored(size) for size in ScaleCardSize]
    assert [len(each) for each in every] == [2 * DOTS_A_RING] * 3
    assert all(not (one & other) for one, other in permutations(every, 2))


@pytest.mark.parametrize("size", ScaleCardSize)
def test_dots_lie_apart_on_the_card_and_outside_the_window(size):
    drawn = dots(size)
    places, radii = places_mm(size), np.array([each.radius_mm for each in drawn])
    apart = np.linalg.norm(places[:, None] - places[None], axis=2) - radii[:, None] - radii[None]
    np.fill_diagonal(apart, np.inf)
    assert apart.min() > 0.1 * size.value / 2
    reach = np.linalg.norm(places, axis=1)
    assert (reach - radii).min() > size.value / 2 * 1.1
    assert np.abs(places).max() + radii.max() < size.value / 2 * HALF_SIDE
    assert sum(each.large for each in drawn) == 3


def test_the_smallest_dot_is_many_dots_of_an_office_printer():
    """600 dots an inch (common practice, no source) make 0.042 mm; the smallest dot has 16."""
    smallest = min(each.radius_mm for each in dots(ScaleCardSize.SMALL))
    assert 2 * smallest / (25.4 / 600) > 16


def test_dots_of_the_inner_ring_are_a_pitch_apart():
    places = places_mm(ScaleCardSize.MIDDLE)[:DOTS_A_RING]
    chords = np.linalg.norm(np.diff(places, axis=0), axis=1)
    pitch = dot_pitch_mm(ScaleCardSize.MIDDLE)
    assert chords == pytest.approx(pitch * np.sinc(1 / DOTS_A_RING), rel=1e-9)


def test_a_print_that_came_out_short_across_moves_dots_across_only():
    short = Print(across_mm=Measured(99.0, 0.02), along_mm=Measured(100.0, 0.01))
    drawn, printed = places_mm(ScaleCardSize.SMALL), places_mm(ScaleCardSize.SMALL, short)
    assert printed[:, 0] == pytest.approx(0.99 * drawn[:, 0])
    assert printed[:, 1] == pytest.approx(drawn[:, 1])
    assert short.relative_u == pytest.approx(0.0002)


@pytest.mark.parametrize("line", [Measured(97.0, 3.0), Measured(90.0, 0.02), Measured(3.94, 0.01)])
def test_a_line_that_cannot_be_right_is_refused(line):
    with pytest.raises(InputError, match="calliper"):
        Print(across_mm=line, along_mm=Measured(100.0, 0.02))
