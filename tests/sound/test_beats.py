"""Worked by hand."""

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.sound.beats import Beats


def beats(index):
    index = np.array(index, np.int64)
    return Beats(0.2 * index, index, np.ones(index.size, np.float32))


def test_numbers_tell_side_and_missing():
    some = beats([3, 4, 6, 9])
    assert some.side.tolist() == [1, 0, 0, 1]
    assert (some.count, some.missing) == (4, 3)


def test_no_beats_miss_nothing():
    none = Beats.join(())
    assert (none.count, none.missing, none.side.size) == (0, 0, 0)


def test_joined_parts_keep_their_order():
    assert Beats.join((beats([0, 1]), beats([2, 5]))).index.tolist() == [0, 1, 2, 5]


def test_between_takes_the_end_and_leaves_the_start():
    assert beats([5, 10, 15]).between(1.0, 3.0).index.tolist() == [10, 15]


def test_what_is_joined_or_taken_apart_keeps_all_that_is_told_of_each_beat():
    """Five columns, each with numbers of its own."""
    index = np.arange(4)
    told = [10.0 + index, index, np.float32(20) + index, 30.0 + index, 40.0 + index]
    whole = Beats(*told)
    joined = Beats.join((whole.part(slice(0, 1)), whole.between(10.5, 13.0)))
    for name, column in zip(
        ("arrival_s", "index", "strength", "middle_s", "unlock_s"), told, strict=True
    ):
        assert getattr(joined, name).tolist() == column.tolist()


@pytest.mark.parametrize("index", [[1, 1], [2, 1]])
def test_numbers_must_rise(index):
    with pytest.raises(InputError):
        beats(index)


def test_parts_that_overlap_cannot_be_joined():
    with pytest.raises(InputError):
        Beats.join((beats([0, 1, 2]), beats([2, 3])))


def test_unequal_lengths_are_refused():
    with pytest.raises(InputError):
        Beats(np.zeros(2), np.arange(3), np.zeros(3, np.float32))
