import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.fit.limits import GRADES_UM, SHAFT_DEVIATIONS_UM, SizeLimits, clearance, limits


@pytest.mark.parametrize(
    ("written", "upper", "lower"),
    [
        # ISO 286-2 through a secondary table: holes
        ("H6", 6, 0), ("H7", 10, 0), ("H8", 14, 0), ("H9", 25, 0), ("H11", 60, 0),
        ("K6", 0, -6), ("K7", 0, -10), ("K8", 0, -14),
        ("M6", -2, -8), ("M7", -2, -12), ("M8", -2, -16),
        ("N6", -4, -10), ("N7", -4, -14), ("N8", -4, -18),
        ("R7", -10, -20), ("P7", -6, -16), ("S7", -14, -24),
        ("J6", 2, -4), ("J7", 4, -6), ("J8", 6, -8), ("JS6", 3, -3), ("JS7", 5, -5),
        ("F7", 16, 6), ("F8", 20, 6), ("G6", 8, 2), ("G7", 12, 2),
        # shafts
        ("h1", 0, -0.8), ("h5", 0, -4), ("h9", 0, -25),
        ("f7", -6, -16), ("g5", -2, -6), ("g6", -2, -8), ("k6", 6, 0), ("m6", 8, 2),
        ("n6", 10, 4), ("p6", 12, 6), ("r6", 16, 10), ("s6", 20, 14), ("js6", 3, -3),
    ],
)  # fmt: skip
def test_limits_of_the_first_step(written, upper, lower):
    assert limits(written, 2.0) == SizeLimits(lower_um=lower, upper_um=upper)


@pytest.mark.parametrize(
    ("fit", "largest", "least"),
    [
        ("H7/f7", 26, 6), ("H7/g6", 18, 2), ("H7/h6", 16, 0), ("H7/k6", 10, -6),
        ("H7/m6", 8, -8), ("H7/n6", 6, -10), ("H7/p6", 4, -12), ("H7/r6", 0, -16),
        ("H7/s6", -4, -20), ("H6/g5", 12, 2), ("H6/h5", 10, 0), ("H6/k5", 6, -4),
        ("H6/m5", 4, -6), ("H6/n5", 2, -8), ("H6/p5", 0, -10), ("H6/r5", -4, -14),
        ("H6/s5", -8, -18),
    ],
)  # fmt: skip
def test_fits_of_the_first_step(fit, largest, least):
    # derived by hand from the limits; H7/p6 is still a transition fit at this size
    hole, shaft = (limits(each, 1.0) for each in fit.split("/"))
    assert clearance(hole, shaft) == SizeLimits(lower_um=least, upper_um=largest)


@given(st.sampled_from(sorted(SHAFT_DEVIATIONS_UM)), st.sampled_from(sorted(GRADES_UM)))
def test_a_hole_mirrors_its_shaft(letter, grade):
    shaft, hole = limits(letter + grade, 1.0), limits(letter.upper() + grade, 1.0)
    assert (hole.lower_um, hole.upper_um) == (-shaft.upper_um, -shaft.lower_um)
    assert hole.width_um == pytest.approx(GRADES_UM[grade])


@pytest.mark.parametrize(
    ("written", "size"),
    [("H7", 3.5), ("H7", 0.0), ("H19", 1.0), ("Q7", 1.0), ("J9", 1.0), ("7H", 1.0), ("hh7", 1.0)],
)
def test_what_is_not_held_is_refused(written, size):
    with pytest.raises(InputError):
        limits(written, size)


def test_limits_the_wrong_way_round_are_refused():
    with pytest.raises(InputError, match="-2"):
        SizeLimits(lower_um=3.0, upper_um=-2.0)
