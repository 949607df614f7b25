"""A bearing's probability and interval against random draws made apart from the judgement.

JCGM 101:2008 (GUM Supplement 1): 6.4.7 a size with its standard uncertainty is drawn from the
normal distribution, 6.4.9.4 repeats from Student's distribution; 7.2 to 7.6 the rest. Nothing of
`wear` draws here but what is judged.
"""

import math
import random
from statistics import NormalDist, fmean, stdev

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.place_judged import PlaceStage, place_judged
from sideshake.wear.place_sizes import PlaceLines, place_sizes
from sideshake.wear.watch_places import place_named

DRAWS = 400_000
THIRD = place_named(None, "third.above")
"""A pivot of 0.2 mm: 0.010 to 0.015 mm of play is normal, 0.030 the limit (trade's table)."""
LIMIT_MM = 0.030


def judged(**lines):
    return place_judged(place_sizes(THIRD, PlaceLines(**lines)))


@pytest.mark.parametrize(
    ("hole", "pivot", "u_hole", "u_pivot"),
    [
        (0.226, 0.200, 0.003, 0.002),
        (0.230, 0.200, 0.004, 0.001),
        (0.238, 0.199, 0.006, 0.004),
        (0.212, 0.198, 0.005, 0.005),
    ],
)
def test_the_probability_is_that_of_the_draws(hole, pivot, u_hole, u_pivot):
    draw = np.random.default_rng(7)
    plays = draw.normal(hole, u_hole, DRAWS) - draw.normal(pivot, u_pivot, DRAWS)
    found = judged(hole_mm=Measured(hole, u_hole), pivot_mm=Measured(pivot, u_pivot))
    assert found.beyond == pytest.approx(float(np.mean(plays > LIMIT_MM)), abs=0.004)
    assert found.play.u == pytest.approx(float(np.std(plays)), rel=0.01)


def test_few_readings_count_as_students_distribution_says():
    """Three readings each: never surer than the draws, and within 0.10 of them.

    The house takes Student's 95 % interval for twice a normal one's standard uncertainty, which is
    careful nearer to the middle.
    """
    holes, pivots = (0.2291, 0.2323, 0.2302), (0.1988, 0.2004, 0.1996)
    draw = np.random.default_rng(8)

    def drawn(readings):
        scale = stdev(readings) / len(readings) ** 0.5
        return fmean(readings) + scale * draw.standard_t(len(readings) - 1, DRAWS)

    plays = drawn(holes) - drawn(pivots)
    found = judged(
        hole_mm=" ".join(map(str, holes)), pivot_mm=" ".join(f"{each:.4f}" for each in pivots)
    )
    by_draws = float(np.mean(plays > LIMIT_MM))
    assert found.beyond == pytest.approx(by_draws, abs=0.10)
    assert abs(found.beyond - 0.5) <= abs(by_draws - 0.5) + 0.005


def test_the_interval_holds_the_truth_as_often_as_it_says():
    """1500 bearings read three times each; few readings make it hold a little more than 95 %."""
    draw = random.Random(9)

    def read(size):
        return " ".join(f"{draw.gauss(size, 0.003):.4f}" for _ in range(3))

    held = 0
    for _each in range(1500):
        pivot = draw.uniform(0.19, 0.21)
        play = draw.uniform(0.008, 0.060)
        found = judged(hole_mm=read(pivot + play), pivot_mm=read(pivot))
        held += abs(found.play.value - play) <= found.play.expanded
    assert 0.945 <= held / 1500 <= 0.999


def test_of_bearings_called_worn_with_a_probability_so_many_are():
    """Plays spread evenly: in each fifth of the probability the share that is worn agrees."""
    draw = random.Random(10)
    told: dict[int, list[tuple[float, bool]]] = {}
    for _each in range(3000):
        play = draw.uniform(0.0, 0.09)
        read = Measured(draw.gauss(play, 0.006), 0.006)
        if read.value < 0:
            continue
        chance = judged(play_mm=read, pivot_mm=Measured(0.2)).beyond
        told.setdefault(min(int(chance * 5), 4), []).append((chance, play > LIMIT_MM))
    for cases in told.values():
        worn = fmean(is_worn for _chance, is_worn in cases)
        meant = fmean(chance for chance, _is_worn in cases)
        assert worn == pytest.approx(meant, abs=4 * (0.25 / len(cases)) ** 0.5)


def test_a_pivot_nobody_measured_is_drawn_worn_one_way():
    """The sheet's pivot 0.200 thinned by a fifth of what its hole grows: the mixture by hand."""
    sheet = shipped_sheet("tarnbrook-31")  # third: 0.200 in 0.215, so 0.015 sound
    place = place_named(sheet, "third.above")
    draw = random.Random(11)

    def thinned():
        mean = 2.0 if draw.random() < 0.25 else 0.2
        return 0.2 * 0.015 * draw.expovariate(1 / mean)

    plays = [
        draw.gauss(0.236, 0.002) - (draw.gauss(0.200, 0.002) - thinned()) for _ in range(60_000)
    ]
    by_draws = sum(each > 0.040 for each in plays) / len(plays)
    found = place_judged(place_sizes(place, PlaceLines(hole_mm=Measured(0.236, 0.002))), sheet)
    assert found.play is None
    assert found.beyond == pytest.approx(by_draws, abs=0.015)


def measured_two_ways(long_mm, short_mm):
    return judged(
        hole_long_mm=Measured(long_mm, 0.002),
        hole_short_mm=Measured(short_mm, 0.002),
        pivot_mm=Measured(0.200, 0.001),
    )


def test_an_oval_is_real_as_rarely_in_round_holes_as_it_says():
    """Round holes read two ways: as many are told oval as the 1 % allows."""
    draw = random.Random(12)
    told = 0
    for _each in range(4000):
        short, long = sorted(draw.gauss(0.215, 0.002) for _way in range(2))
        told += measured_two_ways(long, short).is_oval
    assert 0.004 <= told / 4000 <= 0.017


def test_an_oval_is_real_from_where_one_round_hole_in_a_hundred_reads_so():
    """2.5758 standard deviations of the difference of two readings: both tails hold 1 %."""
    edge_mm = NormalDist().inv_cdf(1 - 0.01 / 2) * math.hypot(0.002, 0.002)
    assert not measured_two_ways(0.215 + 0.999 * edge_mm, 0.215).is_oval
    assert measured_two_ways(0.215 + 1.001 * edge_mm, 0.215).is_oval


def test_a_bearing_left_alone_is_hardly_ever_worn():
    """What is said to be left is beyond the limit in fewer than 1 of 20."""
    draw = random.Random(13)
    left, wrong = 0, 0
    for _each in range(3000):
        play = draw.uniform(0.005, 0.045)
        read = Measured(abs(draw.gauss(play, 0.004)), 0.004)
        if judged(play_mm=read, pivot_mm=Measured(0.2)).stage is PlaceStage.LEAVE:
            left += 1
            wrong += play > LIMIT_MM
    assert left > 500
    assert wrong / left < 0.05
