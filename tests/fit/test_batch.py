from itertools import combinations, pairwise

import numpy as np
import pytest

from sideshake.errors import InputError, NotEnough
from sideshake.fit.batch import Prices, best_batch, coverage_curve, covering
from sideshake.fit.jewel import Seat
from sideshake.quantities import Measured

PRICES = Prices(per_size=80.0, per_piece=6.0, pieces_per_size=10)


def seat(pivot, *, wear=0.1, thickness=0.5, room=2.6):
    return Seat(
        pivot_mm=Measured(pivot, 0.002),
        play_mm=(0.02, 0.04),
        old_hole_mm=pivot + wear,
        plate_thickness_mm=thickness,
        room_mm=room,
    )


def most_covered(able, sizes):
    columns = range(able.shape[1])
    return max(
        np.count_nonzero(able[:, list(taken)].any(axis=1)) for taken in combinations(columns, sizes)
    )


@pytest.mark.parametrize("seed", range(12))
def test_the_programme_finds_the_best_that_trying_all_finds(seed):
    random = np.random.default_rng(seed)
    able = (random.random((14, 8)) < 0.2).astype(float)
    for sizes in (1, 2, 3):
        taken = covering(able, sizes)
        assert np.count_nonzero(taken) <= sizes
        assert np.count_nonzero(able[:, taken].any(axis=1)) == most_covered(able, sizes)


def test_one_size_serves_pivots_that_lie_close():
    found = best_batch((seat(0.90), seat(0.905), seat(0.91)), 1, prices=PRICES)
    assert (found.served, len(found.sizes)) == (3, 1)
    play = [found.sizes[0].hole_mm - pivot for pivot in (0.90, 0.905, 0.91)]
    assert all(0.02 - 1e-9 <= each <= 0.04 + 1e-9 for each in play)


def test_no_size_more_than_needed_is_bought():
    found = best_batch((seat(0.90), seat(0.90)), 5, prices=PRICES)
    assert len(found.sizes) == 1
    assert found.cost == 140.0


def test_the_curve_rises_in_cost_and_coverage_to_the_end():
    seats = tuple(seat(0.80 + 0.015 * step) for step in range(10))
    curve = coverage_curve(seats, prices=PRICES)
    assert [each.cost for each in curve] == sorted(each.cost for each in curve)
    assert all(one.served < two.served for one, two in pairwise(curve))
    gains = np.diff([0] + [each.served for each in curve])
    assert list(gains) == sorted(gains, reverse=True)
    assert curve[-1].coverage == 1.0


def test_a_plate_too_thin_or_too_narrow_is_not_served():
    found = best_batch((seat(0.90), seat(0.90, room=1.2)), 2, prices=PRICES)
    assert (found.served, found.repairs) == (1, 2)
    with pytest.raises(NotEnough):
        best_batch((seat(0.90, room=1.0),), 1, prices=PRICES)


def test_an_empty_batch_is_refused():
    with pytest.raises(InputError):
        best_batch((), 1, prices=PRICES)
    with pytest.raises(InputError):
        best_batch((seat(0.9),), 0, prices=PRICES)
    with pytest.raises(InputError):
        Prices(per_size=-1.0, per_piece=1.0, pieces_per_size=1)


def test_a_jewel_much_thinner_than_the_plate_does_not_serve():
    thin_and_thick = (seat(0.90, thickness=0.2), seat(0.90, thickness=1.0))
    assert best_batch(thin_and_thick, 1, prices=PRICES).served == 1
    assert best_batch(thin_and_thick, 2, prices=PRICES).served == 2
