from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.batch import BatchPrices, best_batch, coverage_curve, covering
from sideshake.fit.jewel import Origin, Seat, choose_part, play_inside

PRICES = BatchPrices(per_size=80.0, per_piece=6.0, pieces_per_size=10)


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
        BatchPrices(per_size=-1.0, per_piece=1.0, pieces_per_size=1)


@pytest.mark.parametrize(("one", "other"), [(0.2, 1.0), (0.5, 0.6)])
def test_a_jewel_thinner_than_the_plate_asks_does_not_serve(one, other):
    thin_and_thick = (seat(0.90, thickness=one), seat(0.90, thickness=other))
    assert best_batch(thin_and_thick, 1, prices=PRICES).served == 1
    found = best_batch(thin_and_thick, 2, prices=PRICES)
    assert found.served == 2
    assert sorted(part.thickness_mm for part in found.sizes) == [one, other]


def test_plates_alike_to_the_twentieth_share_a_size():
    assert (
        best_batch((seat(0.9, thickness=0.5), seat(0.9, thickness=0.54)), 1, prices=PRICES).served
        == 2
    )


def workbench(seed, count=30):
    """Return repairs as they come: pivots of any size, plates and room of several kinds."""
    random = np.random.default_rng(seed)
    return tuple(
        Seat(
            pivot_mm=Measured(round(random.uniform(0.86, 0.92), 3), random.choice([0.002, 0.004])),
            play_mm=(0.017, 0.033),
            old_hole_mm=1.02,
            plate_thickness_mm=random.choice([0.5, 0.6]),
            room_mm=random.choice([1.3, 2.2, 2.8]),
        )
        for _ in range(count)
    )


@pytest.mark.parametrize("seed", range(3))
def test_a_batch_promises_what_jewel_accepts(seed):
    # the sizes laid in the drawer, each repair asked on its own: the two must agree to the piece
    repairs = workbench(seed)
    for batch in coverage_curve(repairs, prices=PRICES):
        taken = [accepted(repair, batch.sizes) for repair in repairs]
        assert sum(each is not None for each in taken) == batch.served
        expected = sum(each.play.inside for each in taken if each)
        assert batch.right.value == pytest.approx(expected, abs=0.01 * batch.served)
    # the figures of this test are to be read, too
    print(f"{batch.served} of {batch.repairs}, play right in {batch.right.text()}")  # noqa: T201


def accepted(repair, sizes):
    try:
        fit = choose_part(repair, sizes)
    except NotEnough:
        return None
    return fit if fit.origin is Origin.DRAWER else None


def test_the_plays_promised_come_out_in_a_workshop_simulated_piece_by_piece():
    # parts made anywhere within their tolerance, pivots off by their doubt, bores that close
    repairs = workbench(5)
    batch = coverage_curve(repairs, prices=PRICES)[-1]
    random = np.random.default_rng(11)
    counts = np.zeros(4000)
    taken = [(each, accepted(each, batch.sizes)) for each in repairs]
    for seat, fit in ((seat, fit) for seat, fit in taken if fit):
        closing = fit.press.bore_closing_mm
        play = (
            fit.part.hole_mm
            + random.uniform(-0.003, 0.003, counts.size)
            - random.uniform(0, closing, counts.size)
            - random.normal(seat.pivot_mm.value, seat.pivot_mm.u, counts.size)
        )
        counts += (play >= 0.017) & (play <= 0.033)
    assert counts.mean() == pytest.approx(batch.right.value, abs=0.1)
    assert counts.std() == pytest.approx(batch.right.u, rel=0.1)


def test_holes_are_in_half_hundredths():
    found = best_batch((seat(0.9025),), 1, prices=PRICES).sizes[0].hole_mm
    assert found == pytest.approx(round(found / 0.005) * 0.005)
    assert play_inside(seat(0.9025), best_batch((seat(0.9025),), 1, prices=PRICES).sizes[0]) > 0.99


def test_a_pivot_measured_too_roughly_is_served_by_nothing():
    rough = replace(seat(0.90), pivot_mm=Measured(0.90, 0.02))
    with pytest.raises(NotEnough, match="most likely"):
        best_batch((rough,), 1, prices=PRICES)


def test_a_plate_thinner_than_any_jewel_is_not_served():
    assert best_batch((seat(0.9, thickness=0.14), seat(0.9)), 2, prices=PRICES).served == 1
