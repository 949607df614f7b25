"""Where a loaded axis settles: hand statics, and the work found again by a general optimiser."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from sideshake.wear.settle import MouthSection, settle

NONE = np.array([np.inf])


def section(share, long_mm, across_mm=None, axis_deg=0.0, *, upper=False):
    across_mm = long_mm if across_mm is None else across_mm
    sizes = (np.atleast_1d(float(each)) for each in (share, long_mm, across_mm))
    names = ("share", "long_mm", "across_mm")
    return MouthSection(**dict(zip(names, sizes, strict=True)), axis_deg=axis_deg, upper=upper)


def rest(sections, lower, upper, furthest=NONE):
    loads = (np.array([complex(lower)]), np.array([complex(upper)]))
    found = settle(sections, loads, furthest)
    return found.lower[0], found.upper[0]


def mouths(share, length, long_mm, across_mm=None, axis_deg=0.0, *, upper=False):
    return [
        section(share + side * length / 2, long_mm, across_mm, axis_deg, upper=upper)
        for side in (-1, 1)
    ]


def test_by_hand_a_pull_between_two_short_holes_takes_both_pivots_its_way():
    # 1 N at a quarter of the span: 3/4 N below, 1/4 N above, both the same way
    lower, upper = rest([section(0.0, 0.01), section(1.0, 0.05, upper=True)], 0.75j, 0.25j)
    assert (lower, upper) == (pytest.approx(0.01j), pytest.approx(0.05j))


def test_by_hand_a_force_beyond_the_upper_hole_sends_the_lower_pivot_back():
    # 1 N at 1.2 spans: 1.2 N above, -0.2 N below
    lower, upper = rest([section(0.0, 0.01), section(1.0, 0.05, upper=True)], -0.2, 1.2)
    assert (lower, upper) == (pytest.approx(-0.01), pytest.approx(0.05))


def test_by_hand_two_cylinders_pressed_apart_touch_at_their_outer_mouths():
    # half plays 0.01 and 0.05 at 0.1 below and 0.1 above the middles: slope 0.06 / 1.2
    holes = [*mouths(0.0, 0.2, 0.01), *mouths(1.0, 0.2, 0.05, upper=True)]
    lower, upper = rest(holes, -1.0, 1.0)
    assert upper - lower == pytest.approx(0.05)
    assert lower == pytest.approx(-0.01 + 0.1 * 0.05)


def test_a_long_tight_hole_holds_the_axis_alone():
    # it can lean by its own play over its own length: 0.002 / 0.4 per span
    holes = [*mouths(0.0, 0.4, 0.001), *mouths(1.0, 0.2, 0.05, upper=True)]
    lower, upper = rest(holes, -1.0, 1.0)
    assert abs(upper - lower) == pytest.approx(0.005, rel=1e-5)


def test_shoulders_stop_the_lean():
    holes = [section(0.0, 0.01), section(1.0, 0.05, upper=True)]
    lower, upper = rest(holes, -1.0, 1.0, np.array([0.03]))
    assert abs(upper - lower) == pytest.approx(0.03, rel=1e-5)


def test_an_oval_hole_is_touched_where_the_force_is_square_to_its_rim():
    # half axes 2 and 1 along x and y, force at 45 degrees: (4, 1) / sqrt(5)
    holes = [section(0.0, 2.0, 1.0), section(1.0, 2.0, 1.0, upper=True)]
    lower, _ = rest(holes, 1 + 1j, 1 + 1j)
    assert lower == pytest.approx((4 + 1j) / math.sqrt(5))


def test_a_case_alone_settles_as_it_does_among_many():
    random = np.random.default_rng(3)
    size = 50
    sizes = random.uniform(0.01, 0.06, size)
    holes = [
        MouthSection(
            share=np.full(size, place),
            long_mm=sizes * factor,
            across_mm=sizes * factor * 0.7,
            axis_deg=20.0,
            upper=place > 0.5,
        )
        for place, factor in ((-0.1, 1.0), (0.1, 1.0), (0.9, 2.0), (1.1, 2.0))
    ]
    loads = tuple(random.standard_normal((2, size, 2)) @ np.array([1, 1j]))
    all_of_them = settle(holes, loads, np.full(size, np.inf))
    one = settle(
        [
            MouthSection(
                share=each.share[7:8],
                long_mm=each.long_mm[7:8],
                across_mm=each.across_mm[7:8],
                axis_deg=20.0,
                upper=each.upper,
            )
            for each in holes
        ],
        (loads[0][7:8], loads[1][7:8]),
        NONE,
    )
    assert one.upper[0] == pytest.approx(all_of_them.upper[7], abs=1e-6)


def random_case(random):
    axis = random.uniform(0, 180)
    small, large, narrow = random.uniform([0.005, 0.02, 0.3], [0.03, 0.08, 1.0])
    holes = [
        *mouths(0.0, random.uniform(0.05, 0.3), small),
        *mouths(1.0, random.uniform(0.05, 0.3), large, large * narrow, axis, upper=True),
    ]
    loads = random.standard_normal(4)
    return holes, complex(*loads[:2]), complex(*loads[2:]), random.uniform(0.02, 0.2)


def work_by_optimiser(holes, lower, upper, furthest):
    """Return the most work, found by sequential quadratic programming from several starts."""

    def room(each):
        turn = math.radians(each.axis_deg)

        def left(p):
            x, y = p[:2] + each.share[0] * (p[2:] - p[:2])
            along = x * math.cos(turn) + y * math.sin(turn)
            across = -x * math.sin(turn) + y * math.cos(turn)
            return 1 - (along / each.long_mm[0]) ** 2 - (across / each.across_mm[0]) ** 2

        return {"type": "ineq", "fun": left}

    apart = {"type": "ineq", "fun": lambda p: 1 - np.sum((p[2:] - p[:2]) ** 2) / furthest**2}
    pull = np.array([lower.real, lower.imag, upper.real, upper.imag]) * 100
    starts = np.random.default_rng(1).uniform(-0.002, 0.002, (3, 4))
    return max(
        -minimize(
            lambda p: -pull @ p,
            start,
            jac=lambda p: -pull,
            method="SLSQP",
            constraints=[*map(room, holes), apart],
            options={"ftol": 1e-12, "maxiter": 500},
        ).fun
        / 100
        for start in starts
    )


@pytest.mark.parametrize("seed", range(12))
def test_a_general_optimiser_finds_the_same_work(seed):
    holes, lower, upper, furthest = random_case(np.random.default_rng(seed))
    at = rest(holes, lower, upper, np.array([furthest]))
    work = (lower.conjugate() * at[0] + upper.conjugate() * at[1]).real
    assert work == pytest.approx(work_by_optimiser(holes, lower, upper, furthest), rel=1e-5)


@pytest.mark.parametrize(("low", "high"), [(0.15, 0.15), (1e-5, 0.05), (0.05, 1e-5), (1e-5, 1e-5)])
@pytest.mark.parametrize("furthest", [1e-4, 0.01, math.inf])
def test_tight_holes_and_tight_shoulders_are_settled_too(low, high, furthest):
    # any warning of the arithmetic would fail this; pressed apart, the lean is the least of what
    # the shoulders, both holes together and each hole alone allow
    holes = [*mouths(0.0, 0.3, low), *mouths(1.0, 0.3, high, upper=True)]
    lower, upper = rest(holes, -1.0, 1.0, np.array([furthest]))
    allowed = min(furthest, (low + high) / 1.3, 2 * low / 0.3, 2 * high / 0.3)
    assert abs(upper - lower) == pytest.approx(allowed, rel=1e-4)
    for each in holes:
        assert abs(lower + each.share[0] * (upper - lower)) <= each.long_mm[0] * (1 + 1e-6)
