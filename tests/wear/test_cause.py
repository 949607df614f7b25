import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.quantities import Measured
from sideshake.wear.bearing import Hole
from sideshake.wear.cause import Cause, axis_off, cause_of


def oval(axis_deg, *, u=0.003):
    return Hole(long_mm=Measured(1.10, u), short_mm=Measured(1.03, u), long_axis_deg=axis_deg)


@pytest.mark.parametrize(
    ("axis_deg", "cause"),
    [
        (0.0, Cause.WINDING),
        (180.0, Cause.WINDING),
        (95.0, Cause.MESH),
        (275.0, Cause.MESH),
        (45.0, Cause.NEITHER),
    ],
)
def test_the_long_axis_points_at_the_cause(axis_deg, cause):
    assert cause_of(oval(axis_deg), winding_deg=180.0, mesh_deg=90.0).cause is cause


def test_thrusts_that_lie_together_cannot_be_told_apart():
    assert cause_of(oval(10.0), winding_deg=0.0, mesh_deg=20.0).cause is Cause.BOTH_POSSIBLE


def test_an_ovality_within_its_doubt_is_none():
    assert cause_of(oval(0.0, u=0.04), winding_deg=0.0, mesh_deg=90.0).cause is Cause.ROUND


def test_a_round_hole_tells_nothing():
    round_hole = Hole(long_mm=Measured(1.1, 0.003))
    assert cause_of(round_hole, winding_deg=0.0, mesh_deg=90.0).cause is Cause.ROUND


def test_without_directions_the_cause_stays_open():
    assert cause_of(oval(0.0), winding_deg=None, mesh_deg=None).cause is Cause.UNKNOWN


def test_a_standing_arbor_is_named_and_a_turning_one_too():
    standing = cause_of(oval(90.0), winding_deg=0.0, mesh_deg=90.0)
    turning = cause_of(oval(90.0), winding_deg=0.0, mesh_deg=90.0, arbor_turns=True)
    assert "stands still" in standing.sentence
    assert "turns while the watch runs" in turning.sentence


@given(st.floats(-720, 720), st.floats(-720, 720))
def test_an_axis_has_no_sense(axis, thrust):
    assert axis_off(axis, thrust) == pytest.approx(axis_off(axis + 180.0, thrust), abs=1e-6)
    assert 0 <= axis_off(axis, thrust) <= 90
