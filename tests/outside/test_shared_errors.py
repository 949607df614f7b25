"""Values that share errors, against the GUM's own examples (JCGM 100:2008, 5.2.2 and H.2)."""

import numpy as np
import pytest
from uncertainties import correlation_matrix, umath

from sideshake.core.correlated import SharedErrors, mean_parts, with_common, with_share
from sideshake.core.quantities import Measured

TEN_OHM = [Measured(1000.0)] * 10
"""5.2.2: each of ten resistors was compared, without error of its own, with one of 1000 Ω, known
to 100 mΩ; in a row they make 10 kΩ, known to 1 Ω, not to the 0.32 Ω of independent ones."""

H2_READ = np.array(
    [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ]
)
"""Table H.2: voltage (V), current (A) and phase (rad), each read five times at the same moments;
table H.4: resistance, reactance and impedance (Ω) that follow, and how they go together."""
H4 = {"R": (127.732, 0.071), "X": (219.847, 0.295), "Z": (254.260, 0.236)}
H4_CORRELATED = np.array([[1.0, -0.588, -0.485], [-0.588, 1.0, 0.993], [-0.485, 0.993, 1.0]])


def test_ten_resistors_compared_with_one_standard():
    row = with_common([(1.0, each) for each in TEN_OHM], 0.1)
    assert (row.value, row.u) == (10_000.0, pytest.approx(1.0))
    told = [Measured(each.value, 0.1) for each in TEN_OHM]
    as_factor = with_share([(1.0, each) for each in told], 0.1 / 1000.0)
    assert as_factor.u == pytest.approx(1.0)
    as_independent = with_common([(1.0, each) for each in told], 0.0)
    assert as_independent.u == pytest.approx(0.32, abs=0.005)


def test_ten_resistors_by_errors_with_a_name():
    known = SharedErrors()
    row = sum(known.value(each.value, 0.0, {"standard": 0.1}) for each in TEN_OHM)
    assert (row.nominal_value, row.std_dev) == (10_000.0, pytest.approx(1.0))
    apart = sum(known.value(1000.0, 0.0, {("standard", number): 0.1}) for number in range(10))
    assert apart.std_dev == pytest.approx(0.32, abs=0.005)


def test_the_mean_of_resistors_is_as_unsure_as_their_standard():
    assert with_common(mean_parts(TEN_OHM), 0.1).u == pytest.approx(0.1)


def test_the_impedance_of_h2():
    """Three values that go together are made of three errors that do not (Cholesky)."""
    known, halves = SharedErrors(), np.linalg.cholesky(np.cov(H2_READ) / 5)
    volt, ampere, phase = (
        known.value(float(mean), 0.0, dict(enumerate(half)))
        for mean, half in zip(H2_READ.mean(axis=1), halves, strict=True)
    )
    assert volt.std_dev == pytest.approx(0.0032, abs=5e-5)
    found = [volt / ampere * umath.cos(phase), volt / ampere * umath.sin(phase), volt / ampere]
    for one, (value, u) in zip(found, H4.values(), strict=True):
        assert one.nominal_value == pytest.approx(value, abs=0.0006)
        assert one.std_dev == pytest.approx(u, abs=0.0006)
    assert correlation_matrix(found) == pytest.approx(H4_CORRELATED, abs=0.0006)
    apart = known.value(4.999, volt.std_dev) / known.value(19.661e-3, ampere.std_dev)
    assert apart.std_dev < 0.9 * H4["Z"][1]
