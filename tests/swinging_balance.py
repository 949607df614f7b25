"""A balance on its spring, swung step by step: the physics from scratch, for checks from outside.

J θ'' = −k θ − T(θ): Newton's law alone, integrated by an explicit Runge-Kutta method of order 8. No
formula of the program is used. SI units; the trade's units in the names.
"""

import math

from scipy.integrate import solve_ivp

GRAVITY = 9.80665
SECONDS_PER_DAY = 86400.0


def swing_s(inertia_kg_m2, stiffness_nm, amplitude_deg, *, torque_nm=None):
    """Return how long one swing to and fro takes, let go at rest at the amplitude."""

    def falls(_, state):
        angle, speed = state
        extra = torque_nm(angle) if torque_nm else 0.0
        return speed, (extra - stiffness_nm * angle) / inertia_kg_m2

    def back(_, state):
        return state[1]

    back.terminal, back.direction = True, -1
    about_s = 2 * math.pi * math.sqrt(inertia_kg_m2 / stiffness_nm)
    start = [math.radians(amplitude_deg), -1e-12]
    swung = solve_ivp(
        falls, (0, 1.6 * about_s), start, events=back, method="DOP853", rtol=1e-11, atol=1e-12
    )
    return float(swung.t_events[0][0])


def rate_s_per_day(changed_s, usual_s):
    """Return the rate of a swing against the usual one; plus is gaining."""
    return SECONDS_PER_DAY * (usual_s / changed_s - 1.0)


def weight_torque(unbalance_mg_mm, from_down_deg):
    """Return the torque of a heavy spot that stands so far from straight down at rest."""
    pull = unbalance_mg_mm * 1e-9 * GRAVITY

    def torque(angle):
        return -pull * math.sin(angle + math.radians(from_down_deg))

    return torque
