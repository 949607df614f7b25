"""Which two belong beside each other: rounds first, heard alike, the last ones, in order."""

import pytest

from sideshake.analysis.comparison import ToCompare, compared_pair, usual_pair
from sideshake.core.quantities import Measured
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position


def read(position="CH", swing=250.0, wound="full"):
    how = Conditions(position=Position(position), wound=wound)
    return ReadingFigures(
        conditions=how, amplitude_deg=None if swing is None else Measured(swing, 1.5)
    )


def one(taken, *, after=False, **how):
    return ToCompare(readings=(read(**how),), taken=taken, after=after)


def whole(taken, *, after=False, **how):
    readings = tuple(read(position=position, **how) for position in ("CH", "FH"))
    return ToCompare(readings=readings, taken=taken, after=after, whole_round=True)


def test_the_last_after_the_work_stands_against_the_last_before_it():
    found = [one(1), one(2), one(3, after=True), one(4, after=True, swing=271.0)]
    pair = usual_pair(found)
    assert (pair.before, pair.after) == (found[1], found[3])
    (change,) = pair.compared.differences
    assert change.change.value == pytest.approx(21.0)


def test_a_round_goes_before_single_readings():
    found = [whole(1), one(2), whole(3, after=True), one(4, after=True)]
    pair = usual_pair(found)
    assert (pair.before, pair.after) == (found[0], found[2])


@pytest.mark.parametrize(
    "found",
    [
        [],
        [one(1), one(2)],
        [one(1, after=True), one(2)],
        [one(1, position="6H"), one(2, after=True)],
        [one(1, wound="24h"), one(2, after=True)],
        [one(1, swing=None), one(2, after=True)],
    ],
    ids=["nothing", "none after", "the wrong way", "another position", "another wind", "no figure"],
)
def test_what_was_not_heard_alike_before_and_after_is_no_pair(found):
    assert usual_pair(found) is None


def test_a_pair_further_back_is_taken_where_the_last_have_no_figure():
    found = [one(1), one(2, swing=None), one(3, after=True)]
    assert usual_pair(found).before == found[0]
    assert compared_pair(found[1], found[2]) is None
