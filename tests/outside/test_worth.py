"""What a measurement is worth, against Raiffa & Schlaifer's closed form and against brute force."""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from sideshake.core.quantities import Measured
from sideshake.wear.worth import linear_loss_integral, normal_value, sample_value

DRAWS = 40_000


@pytest.mark.parametrize(
    ("distance", "printed"),
    [
        (0.0, 0.3989),
        (0.5, 0.1978),
        (1.0, 0.08332),
        (1.5, 0.02931),
        (2.0, 0.008491),
        (3.0, 0.000382),
    ],
)
def test_the_unit_normal_linear_loss_integral_is_the_printed_one(distance, printed):
    # Raiffa & Schlaifer (1961), table II, from memory; the integral itself by quadrature
    assert linear_loss_integral(distance) == pytest.approx(printed, rel=2e-3)
    summed = quad(lambda x: (x - distance) * norm.pdf(x), distance, np.inf)[0]
    assert linear_loss_integral(distance) == pytest.approx(summed, rel=1e-6)


def brute_force(prior, u, *, break_even, per_unit, random):
    """Simulate the whole trial: nature draws the size, the reading comes, the better act is taken.

    Written without the closed form: the mean after a reading is by conjugate normal updating, and
    what each trial costs is by the true size, not by its expectation.
    """
    true = random.normal(prior.value, prior.u, 400_000)
    reading = true + random.normal(0.0, u, true.size) if u else true
    trust = prior.u**2 / (prior.u**2 + u**2)
    believed = prior.value + trust * (reading - prior.value)
    gain = per_unit * (true - break_even)  # of acting over not acting
    with_reading = np.where(per_unit * (believed - break_even) > 0, gain, 0.0).mean()
    return with_reading - max(per_unit * (prior.value - break_even), 0.0)


CASES = [
    (Measured(0.0, 1.0), 0.5, 0.0, 10.0),
    (Measured(0.06, 0.04), 0.012, 0.0, 900.0),
    (Measured(0.02, 0.03), 0.03, 0.05, 2000.0),
    (Measured(-0.05, 0.04), 0.006, 0.0, 900.0),
    (Measured(0.03, 0.02), 0.0, 0.0, 900.0),
]


@pytest.mark.parametrize(("prior", "u", "break_even", "per_unit"), CASES)
def test_the_closed_form_is_what_brute_force_finds(prior, u, break_even, per_unit):
    random = np.random.default_rng(11)
    found = brute_force(prior, u, break_even=break_even, per_unit=per_unit, random=random)
    value = normal_value(prior, u, break_even=break_even, per_unit=per_unit)
    # one standard error of 400 000 trials is below per_unit * prior.u / 600
    assert value == pytest.approx(found, abs=4 * per_unit * prior.u / 600)


@pytest.mark.parametrize(("prior", "u", "break_even", "per_unit"), [c for c in CASES if c[1]])
def test_joint_draws_find_what_the_closed_form_says(prior, u, break_even, per_unit):
    random = np.random.default_rng(12)
    size = random.normal(prior.value, prior.u, DRAWS)
    losses = np.array([np.zeros(DRAWS), -per_unit * (size - break_even)])
    value = normal_value(prior, u, break_even=break_even, per_unit=per_unit)
    scale = per_unit * prior.u
    assert sample_value(losses, size, u) == pytest.approx(value, abs=0.01 * scale)


def test_joint_draws_find_what_nested_sampling_finds_where_the_loss_is_a_step():
    # a barrel rubs or does not: leave costs 450 if it rubs, the new hole 90 for certain; the gap
    # rests on the size measured and on another, so the reading can never settle it
    random = np.random.default_rng(13)
    size, other = random.normal(0.05, 0.03, DRAWS), random.normal(0.0, 0.02, DRAWS)
    losses = np.array([450.0 * (size + other < 0), np.full(DRAWS, 90.0)])
    u, trust = 0.012, 0.03**2 / (0.03**2 + 0.012**2)
    spent = []
    for _each in range(4000):
        reading = random.normal(0.05, 0.03) + random.normal(0.0, u)
        middle, left = 0.05 + trust * (reading - 0.05), 0.03 * math.sqrt(1 - trust)
        after = random.normal(middle, left, 400) + random.normal(0.0, 0.02, 400)
        spent.append(min(450.0 * np.mean(after < 0), 90.0))
    rubs = norm.cdf(-0.05 / math.hypot(0.03, 0.02))
    nested = min(450.0 * rubs, 90.0) - float(np.mean(spent))
    # 4000 readings of standard deviation about 30 minutes: a standard error of 0.5
    assert sample_value(losses, size, u) == pytest.approx(nested, abs=2.0)


def test_a_blunt_reading_is_worth_less_and_none_is_worth_nothing():
    random = np.random.default_rng(14)
    size = random.normal(0.03, 0.03, DRAWS)
    losses = np.array([450.0 * (size < 0), np.full(DRAWS, 90.0)])
    values = [sample_value(losses, size, u) for u in (0.003, 0.01, 0.03, 0.1, 10.0)]
    assert values == sorted(values, reverse=True)
    assert values[-1] == pytest.approx(0.0, abs=0.05)


def test_a_size_that_changes_no_decision_is_worth_nothing():
    random = np.random.default_rng(15)
    size, gap = random.normal(0.0, 1.0, DRAWS), random.normal(0.0, 1.0, DRAWS)
    losses = np.array([450.0 * (gap < 0), np.full(DRAWS, 90.0)])
    assert sample_value(losses, size, 0.1) < 0.5
    assert sample_value(losses, gap, 0.1) > 20.0
