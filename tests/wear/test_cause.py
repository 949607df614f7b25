import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.quantities import Measured
from sideshake.wear.bearing import Hole
from sideshake.wear.cause import Thrust, WearCause, axis_off, cause_of

ALL_ROUND = tuple(float(each) for each in range(0, 360, 15))


def oval(axis_deg, *, u=0.003, axis_u=0.0):
    return Hole(
        long_mm=Measured(1.10, u),
        short_mm=Measured(1.03, u),
        long_axis_deg=axis_deg,
        long_axis_u_deg=axis_u,
    )


def thrusts(mesh=90.0, click=40.0, winding=180.0, *, u=6.0):
    places = ((WearCause.MESH, mesh), (WearCause.CLICK, click), (WearCause.WINDING, winding))
    return tuple(
        Thrust(cause=cause, directions_deg=ALL_ROUND if at is None else (at,), u_deg=u)
        for cause, at in places
    )


@pytest.mark.parametrize(
    ("axis_deg", "cause"),
    [
        (0.0, WearCause.WINDING),
        (180.0, WearCause.WINDING),
        (91.0, WearCause.MESH),
        (271.0, WearCause.MESH),
        (38.0, WearCause.CLICK),
        (220.0, WearCause.CLICK),
        (135.0, WearCause.NEITHER),
    ],
)
def test_the_long_axis_points_at_the_cause(axis_deg, cause):
    assert cause_of(oval(axis_deg), thrusts()).cause is cause


@pytest.mark.parametrize(
    ("axis_deg", "said", "not_said"),
    [
        (0.0, "thrust of winding", ("click", "mesh")),
        (91.0, "pull of the mesh", ("click", "thrust of winding")),
        (38.0, "load under way, which the click makes", ("winding", "mesh")),
    ],
)
def test_each_cause_is_said_alone_when_it_alone_can_be(axis_deg, said, not_said):
    sentence = cause_of(oval(axis_deg), thrusts()).sentence
    assert said in sentence
    assert not any(each in sentence for each in not_said)


def test_the_owner_is_not_told_winding_for_what_the_click_did():
    # the same axis, first along winding alone, then along the click alone
    assert cause_of(oval(0.0), thrusts(click=40.0, winding=0.0)).cause is WearCause.WINDING
    assert cause_of(oval(0.0), thrusts(click=0.0, winding=60.0)).cause is WearCause.CLICK


def test_two_thrusts_that_lie_together_are_both_said():
    found = cause_of(oval(10.0), thrusts(mesh=90.0, click=5.0, winding=12.0))
    assert found.cause is WearCause.SEVERAL
    assert "the thrust of winding (" in found.sentence
    assert "the click's load under way (" in found.sentence
    assert "mesh" not in found.sentence
    assert "too close together" in found.sentence


def test_a_click_whose_place_is_not_known_is_said_beside_winding():
    found = cause_of(oval(2.0, u=0.004), thrusts(click=None, winding=10.0, u=8.0))
    assert found.cause is WearCause.SEVERAL
    assert "Write down the click's place (click_deg)" in found.sentence


def test_an_axis_off_everything_known_asks_for_what_is_not():
    found = cause_of(oval(135.0), thrusts(click=None))
    assert found.cause is WearCause.UNKNOWN
    assert "follows neither the pull of the mesh nor the thrust of winding" in found.sentence
    assert "click_deg" in found.sentence


def test_probabilities_are_bayes_by_hand():
    # one thrust 10 degrees off, u = 10 degrees in all: 0.02420 a degree against 1 / 180 for none
    # and two too far to count: 0.02420 / (0.02420 + 0.005556) = 0.813
    hole = oval(10.0, u=0.0, axis_u=8.0)
    found = cause_of(hole, thrusts(mesh=90.0, click=100.0, winding=0.0, u=6.0))
    winding = next(each for each in found.candidates if each.cause is WearCause.WINDING)
    assert winding.probability == pytest.approx(0.813, abs=0.001)
    assert winding.off_deg == pytest.approx(10.0)
    assert "(81 %)" in found.sentence


def test_a_rough_axis_tells_less_than_a_sharp_one():
    sharp, rough = (
        cause_of(oval(0.0, axis_u=each), thrusts(click=40.0)).candidates for each in (3.0, 30.0)
    )
    assert sharp[2].probability > rough[2].probability


def test_an_ovality_within_its_doubt_is_none():
    assert cause_of(oval(0.0, u=0.04), thrusts()).cause is WearCause.ROUND


def test_a_round_hole_tells_nothing():
    assert cause_of(Hole(long_mm=Measured(1.1, 0.003)), thrusts()).cause is WearCause.ROUND


def test_without_directions_the_cause_stays_open():
    assert cause_of(oval(0.0), thrusts(None, None, None)).cause is WearCause.UNKNOWN
    assert cause_of(oval(0.0), ()).cause is WearCause.UNKNOWN


def test_a_standing_arbor_is_named_and_a_turning_one_too():
    standing = cause_of(oval(90.0), thrusts())
    turning = cause_of(oval(90.0), thrusts()[:1], arbor_turns=True)
    assert "stands still" in standing.sentence
    assert "turns while the watch runs" in turning.sentence


@given(st.floats(-720, 720), st.floats(-720, 720))
def test_an_axis_has_no_sense(axis, thrust):
    assert axis_off(axis, thrust) == pytest.approx(axis_off(axis + 180.0, thrust), abs=1e-6)
    assert 0 <= axis_off(axis, thrust) <= 90
