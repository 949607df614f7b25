"""Energy. The loss model is held against a swing integrated step by step."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.energy import (
    Losses,
    amplitude_at,
    balance_power_uw,
    barrel_power_uw,
    bearing_loss,
    half_swing_s,
    hanging_amplitude,
    losses_more,
    losses_of,
    pivot_friction,
    stiffness,
    torque_missing,
    torque_share,
)
from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet


def losses(nominal=270.0, viscous=0.8, *, u=0.0):
    return Losses(nominal_deg=Measured(nominal), viscous_share=Measured(viscous, u))


def lost_in_one_swing(start, *, q, dry):
    """Return the energy a freely decaying oscillator (k = omega = 1) loses in one full swing."""

    def motion(_time, state):
        angle, speed = state
        return [speed, -angle - speed / q - dry * np.tanh(speed / 1e-5)]

    end = solve_ivp(motion, (0, 2 * np.pi), [start, 0.0], rtol=1e-9, atol=1e-11, method="LSODA")
    angle, speed = end.y[:, -1]
    return (start**2 - angle**2 - speed**2) / 2


def test_the_loss_per_swing_agrees_with_an_integrated_swing():
    # Formula: pi k a²/Q + 4 R a, for losses so small that the amplitude hardly falls (5 per mille).
    start, q, dry = 4.7, 2000.0, 0.0005
    formula = np.pi * start**2 / q + 4 * dry * start
    assert lost_in_one_swing(start, q=q, dry=dry) == pytest.approx(formula, rel=5e-3)


def seconds_to_half(*, q, viscous, times=1.0, hz=2.5):
    """Return when a swing of a balance (k = omega = 1) has fallen to half, integrated throughout.

    At amplitude 1 its losses are those of `q`, of which the share `viscous` is viscous.
    """
    damping = times * viscous / q
    dry = times * (1 - viscous) * np.pi / (4 * q)  # 4 R a = (1 - s) pi a²/Q at a = 1

    def motion(_time, state):
        angle, speed = state
        return [speed, -angle - damping * speed - dry * np.tanh(speed / 1e-4)]

    def fallen(_time, state):
        return np.hypot(*state) - 0.5

    fallen.terminal = True
    end = solve_ivp(motion, (0, 9 * q), [1.0, 0.0], events=fallen, rtol=1e-8, atol=1e-10,
                    method="LSODA")  # fmt: skip
    return float(end.t_events[0][0]) / (2 * np.pi * hz)


@pytest.mark.parametrize(("viscous", "times"), [(1.0, 1.0), (0.8, 1.0), (0.8, 1.65), (0.0, 1.0)])
def test_a_free_swing_falls_to_half_as_integrated(viscous, times):
    found = half_swing_s(
        losses(viscous=viscous), 18000, quality_factor=Measured(200.0), times=Measured(times)
    )
    assert found.value == pytest.approx(
        seconds_to_half(q=200.0, viscous=viscous, times=times), rel=0.02
    )


def test_losses_and_torque_tell_of_one_amplitude_alike():
    """At full torque, losses grown so far give the same amplitude as the torque missing."""
    loss, swing = losses(), Measured(200.0)
    more, left = losses_more(loss, swing).value, 1 - torque_missing(loss, swing).value
    assert (1 + more) * left == pytest.approx(1.0)
    # losses (1 + more)(s x² + (1 - s) x) = 1 at x = 200/270, solved as a polynomial
    x = max(np.roots([0.8 * (1 + more), 0.2 * (1 + more), -1.0]))
    assert x == pytest.approx(200 / 270)


def test_the_usual_share_is_taken_where_the_sheet_has_none():
    text = 'name = "A"\n[nominal]\nlying_full_deg = 280\nhanging_full_deg = 240'
    found = losses_of(sheet_from_text(text), hanging=True)
    assert (found.nominal_deg, found.viscous_share.value) == (Measured(240, 10.0), 0.8)
    assert losses_of(shipped_sheet("tarnbrook-31")).nominal_deg.value == 285


@pytest.mark.parametrize(("beats", "q", "times"), [(0, 200, 1), (18000, 0, 1), (18000, 200, 0)])
def test_a_swing_that_cannot_be_is_refused(beats, q, times):
    with pytest.raises(InputError, match="above 0"):
        half_swing_s(losses(), beats, quality_factor=Measured(q), times=Measured(times))


def test_nominal_torque_gives_the_nominal_amplitude():
    assert amplitude_at(losses(), Measured(1.0)).value == pytest.approx(270)
    assert torque_missing(losses(), Measured(270.0)).value == pytest.approx(0)


def test_dry_friction_alone_is_proportional():
    assert amplitude_at(losses(viscous=0.0), Measured(0.75)).value == pytest.approx(202.5)


@given(st.floats(0.05, 2.0), st.floats(0.0, 1.0))
def test_amplitude_and_torque_are_each_others_inverse(share, viscous):
    loss = losses(viscous=viscous, nominal=180)
    swing = amplitude_at(loss, Measured(share))
    if swing.value < 360:
        assert torque_share(loss, swing).value == pytest.approx(share, rel=1e-9)


@given(st.floats(0.1, 1.4), st.floats(0.01, 0.5), st.floats(0.0, 1.0))
def test_more_torque_never_less_amplitude(share, more, viscous):
    loss = losses(viscous=viscous)
    assert (
        amplitude_at(loss, Measured(share + more)).value > amplitude_at(loss, Measured(share)).value
    )


def test_doubt_about_the_friction_reaches_the_answer():
    doubtful = torque_missing(losses(u=0.15), Measured(215.0, 3.0))
    sure = torque_missing(losses(), Measured(215.0, 3.0))
    assert doubtful.value == sure.value
    assert doubtful.u > sure.u > 0


def test_friction_at_the_pivots_lowers_the_hanging_amplitude():
    still = hanging_amplitude(
        Measured(270.0),
        stiffness_nm=Measured(6.3e-7),
        quality_factor=Measured(200.0),
        pivot_load_nm=Measured(0.0),
    )
    assert still.value == pytest.approx(270)


def test_the_balances_power_is_worked_by_hand():
    # 12 mg cm² at 18000: k = 12e-10 (5 pi)² = 2.9609e-7 N m; 270° = 4.7124 rad; Q 200; T 0.4 s.
    assert stiffness(Measured(12.0), 18000).value == pytest.approx(2.9609e-7, rel=1e-4)
    power = balance_power_uw(
        Measured(270.0), 18000, inertia_mg_cm2=Measured(12.0), quality_factor=Measured(200.0)
    )
    assert power.value == pytest.approx(np.pi * 2.9609e-7 * 4.7124**2 / 200 / 0.4 * 1e6, rel=1e-4)


def test_the_barrels_power_is_torque_times_speed():
    assert barrel_power_uw(Measured(8.0), 8.0).value == pytest.approx(
        8e-3 * 2 * np.pi / 28800 * 1e6
    )


@pytest.mark.parametrize(
    ("wrong", "part"),
    [
        (lambda: losses(nominal=0), "amplitude"),
        (lambda: losses(nominal=400), "amplitude"),
        (lambda: losses(viscous=1.1), "share"),
        (lambda: torque_share(losses(), Measured(0.0)), "amplitude"),
        (lambda: torque_share(losses(), Measured(361.0)), "amplitude"),
        (lambda: amplitude_at(losses(), Measured(0.0)), "without torque"),
        (lambda: stiffness(Measured(0.0), 18000), "above 0"),
        (lambda: stiffness(Measured(10.0), 0), "above 0"),
        (lambda: barrel_power_uw(Measured(8.0), 0.0), "0 h"),
        (
            lambda: bearing_loss(Measured(0.1), bearing_mm=Measured(0.0), pitch_mm=Measured(5.4)),
            "above 0",
        ),
        (
            lambda: bearing_loss(Measured(0.1), bearing_mm=Measured(6.0), pitch_mm=Measured(5.4)),
            r"6\.0.*5\.4",
        ),
        (
            lambda: hanging_amplitude(
                Measured(270.0),
                stiffness_nm=Measured(0.0),
                quality_factor=Measured(200.0),
                pivot_load_nm=Measured(0.0),
            ),
            "above 0",
        ),
    ],
)
def test_the_impossible_is_refused(wrong, part):
    with pytest.raises(InputError, match=part):
        wrong()


def test_pivot_friction_is_worked_by_hand():
    # 0.1 x 60e-6 kg x 9.80665 x 0.045e-3 m
    friction = pivot_friction(Measured(0.1), mass_mg=Measured(60.0), pivot_mm=Measured(0.09))
    assert friction.value == pytest.approx(2.6478e-9, rel=1e-4)
