import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.amplitude import (
    AmplitudeSpan,
    Drive,
    amplitude_gain,
    bearing_share,
    repair_gain,
    rubbing_share,
)


def drive(*, arbor_turns=False):
    return Drive(
        pivot_mm=Measured(0.9),
        toothed_plane_mm=Measured(0.75),
        pitch_radius_mm=Measured(5.6),
        amplitude_deg=210.0,
        arbor_turns=arbor_turns,
    )


def test_plain_pivot_friction_is_one_to_four_percent_of_torque():
    # hand-worked: mu r / R with mu 0.15 to 0.35, r 0.45, R 5.6
    share = bearing_share(Measured(0.9), Measured(5.6))
    assert (share.least, share.most) == pytest.approx((0.01205, 0.02813), abs=1e-5)
    assert 0.01 <= share.least <= share.most <= 0.04


def test_rubbing_takes_the_larger_share():
    assert rubbing_share(0.75, 5.6).most > bearing_share(Measured(0.9), Measured(5.6)).most


@given(st.floats(100, 320), st.floats(0, 0.2))
def test_a_lost_share_brings_amplitude_between_root_and_whole(amplitude, share):
    gain = amplitude_gain(amplitude, AmplitudeSpan(least=share, most=share))
    assert (amplitude + gain.least) ** 2 * (1 - share) == pytest.approx(amplitude**2)
    assert (amplitude + gain.most) * (1 - share) == pytest.approx(amplitude)


def test_a_standing_arbor_s_new_hole_alone_brings_nothing():
    gain = repair_gain(drive(), rubs_running=0.0, rubs_free=0.0)
    assert gain.amplitude_deg == AmplitudeSpan(least=0.0, most=0.0)
    assert "stands still" in gain.sentence


def test_a_turning_arbor_saves_the_friction_of_brass_over_ruby():
    gain = repair_gain(drive(arbor_turns=True), rubs_running=0.0, rubs_free=0.0)
    assert 0 < gain.amplitude_deg.most < 5
    assert "stands still" not in gain.sentence


def test_certain_rubbing_promises_something_and_possible_rubbing_only_perhaps():
    certain = repair_gain(drive(), rubs_running=0.99, rubs_free=1.0)
    possible = repair_gain(drive(), rubs_running=0.2, rubs_free=0.9)
    assert certain.amplitude_deg.least > 0
    assert possible.amplitude_deg.least == 0
    assert possible.amplitude_deg.most == certain.amplitude_deg.most


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: bearing_share(Measured(12.0), Measured(5.6)),
        lambda: rubbing_share(6.0, 5.6),
        lambda: amplitude_gain(400.0, AmplitudeSpan(least=0.0, most=0.1)),
        lambda: AmplitudeSpan(least=2.0, most=1.0),
    ],
)
def test_impossible_values_are_refused(wrong):
    with pytest.raises(InputError):
        wrong()
