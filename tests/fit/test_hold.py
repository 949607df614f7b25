"""What holds a pressed part: both ends of the range, against a ring solved step by step."""

import math
import re

import numpy as np
import pytest
from scipy.linalg import solve_banded

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import Seat, choose_part
from sideshake.fit.materials import BRASS, BRASS_SOFT, BRONZE, RUBY
from sideshake.fit.press import Joint, PressedRing, compliance, hold


def joint(outside=1.5, bore=0.92, around=4.5, *, plate=BRASS, part=RUBY, length=0.6):
    return Joint(
        inner=PressedRing(outside_mm=outside, bore_mm=bore, material=part),
        outer=PressedRing(outside_mm=around, bore_mm=0.0, material=plate),
        interference_mm=0.01,
        length_mm=length,
    )


def seat(**other):
    sizes = {"pivot_mm": Measured(0.896, 0.002), "play_mm": (0.017, 0.033), "old_hole_mm": 1.012}
    return Seat(**{**sizes, "plate_thickness_mm": 0.6, "room_mm": 2.8, **other})


def seat_pressure_mpa(metal, inside_mm, outside_mm, opened_mm):
    """Return the pressure that opens a hole's diameter by so much: plane stress, ideal plasticity.

    From scratch: a ring of 300 elements whose stiffness is lowered wherever von Mises' stress is
    above the yield stress, solved again until nothing changes (method of variable moduli: Hencky's
    deformation theory, Ilyushin's iteration). Nothing of the module under test is used.
    """
    nodes = np.linspace(inside_mm / 2, outside_mm / 2, 301)
    middle, width = (nodes[1:] + nodes[:-1]) / 2, np.diff(nodes)
    radial = np.array([-1 / width, 1 / width])
    hoop = np.array([0.5 / middle, 0.5 / middle])
    young = np.full(middle.size, metal.elastic_mpa)
    for _ in range(400):
        poisson = 0.5 - (0.5 - metal.poisson) * young / metal.elastic_mpa
        stiff, cross = young / (1 - poisson**2), young * poisson / (1 - poisson**2)
        entry = stiff * (outer(radial, radial) + outer(hoop, hoop))
        entry += cross * (outer(radial, hoop) + outer(hoop, radial))
        moved = solved_mm(entry * middle * width, opened_mm / 2)
        strain_r = (radial * [moved[:-1], moved[1:]]).sum(axis=0)
        strain_t = (hoop * [moved[:-1], moved[1:]]).sum(axis=0)
        stress_r, stress_t = (
            stiff * strain_r + cross * strain_t,
            stiff * strain_t + cross * strain_r,
        )
        mises = np.sqrt(stress_r**2 - stress_r * stress_t + stress_t**2)
        before, young = young, np.minimum(metal.elastic_mpa, young * metal.yield_mpa / mises)
        if np.allclose(before, young, rtol=1e-6):
            break
    return -stress_r[0]


def outer(one, other):
    return np.einsum("ie,je->ije", one, other)


def solved_mm(entry, inner_mm):
    """Return how far each node moves out when the innermost is moved by so much."""
    count = entry.shape[-1] + 1
    bands = np.zeros((3, count))
    bands[1, :-1] += entry[0, 0]
    bands[1, 1:] += entry[1, 1]
    bands[0, 1:] = entry[0, 1]
    bands[2, :-1] = entry[1, 0]
    force = np.zeros(count)
    bands[1, 0], bands[0, 1], force[0] = 1.0, 0.0, inner_mm
    return solve_banded((1, 1), bands, force)


def simulated_mpa(asked, interference_mm):
    """Return the pressure at which hole and part meet, by halving the pressure's range."""
    inner = asked.inner
    ratio = (inner.outside_mm**2 + inner.bore_mm**2) / (inner.outside_mm**2 - inner.bore_mm**2)
    soft_mm = inner.outside_mm / inner.material.elastic_mpa * (ratio - inner.material.poisson)
    low, high = 0.0, interference_mm / soft_mm
    for _ in range(30):
        tried = (low + high) / 2
        opened = interference_mm - soft_mm * tried
        got = seat_pressure_mpa(
            asked.outer.material, inner.outside_mm, asked.outer.outside_mm, opened
        )
        low, high = (tried, high) if got > tried else (low, tried)
        if high - low < 0.5:
            break
    return (low + high) / 2


def test_the_simulated_ring_is_lame_s_while_nothing_yields():
    opened = 0.0005
    ratio = (4.5**2 + 1.5**2) / (4.5**2 - 1.5**2)
    lame = opened / 1.5 * BRASS.elastic_mpa / (ratio + BRASS.poisson)
    assert seat_pressure_mpa(BRASS, 1.5, 4.5, opened) == pytest.approx(lame, rel=0.01)


@pytest.mark.parametrize(
    ("sizes", "plate", "interference_mm"),
    [
        ((1.5, 0.92, 4.5), BRASS, 0.002),
        ((1.5, 0.92, 4.5), BRASS, 0.011),
        ((1.5, 0.92, 4.5), BRASS_SOFT, 0.006),
        ((0.8, 0.22, 2.4), BRASS_SOFT, 0.002),
        ((0.8, 0.22, 2.4), BRASS_SOFT, 0.011),
        ((2.3, 1.2, 3.4), BRASS, 0.011),
    ],
)
def test_the_true_pressure_lies_in_the_range(sizes, plate, interference_mm):
    asked = joint(*sizes, plate=plate)
    true = simulated_mpa(asked, interference_mm)
    found = hold(asked, interference_mm=(interference_mm, interference_mm))
    print(f"{found.low_mpa:.0f} <= {true:.0f} <= {found.high_mpa:.0f} MPa")  # noqa: T201 (read with -s)
    assert found.low_mpa <= true <= found.high_mpa
    lame = interference_mm / compliance(asked)
    assert true <= 1.01 * lame


def test_both_ends_by_hand():
    # Lame: ruby 1.5/0.92 in hard brass 4.5 gives 31.5 MPa for each µm: (1.25 + 0.31) / 97 GPa and
    # (2.206 - 0.28) / 380 GPa over 1.5 mm; 1.5 pi 0.6 = 2.827 mm²
    found = hold(joint(), interference_mm=(0.002, 0.011))
    assert found.low_mpa == pytest.approx(31.5, abs=0.1)
    assert found.high_mpa == pytest.approx(11 * 31.5, abs=1)
    assert found.low_n == pytest.approx(0.10 * 2.827 * 0.5 * 31.5, rel=0.01)
    assert found.high_n == pytest.approx(0.35 * 2.827 * 347, rel=0.01)
    assert found.words == "It holds against a push of at least 4.4 N, of 350 N at most."


def test_a_joint_that_yields_counts_on_its_first_yield_alone():
    # wide plate: first yield at 0.577 of the yield stress; the softest half-hard brass has 135 MPa
    asked = joint(0.8, 0.22, 80.0, plate=BRASS_SOFT)
    found = hold(asked, interference_mm=(0.008, 0.011))
    assert found.low_mpa == pytest.approx(0.75 * 180 / math.sqrt(3), rel=1e-3)
    assert found.high_mpa == pytest.approx(1.2 * 1.25 * 180)


def test_a_seat_without_sure_interference_may_be_loose():
    found = hold(joint(), interference_mm=(0.0005, 0.006))
    assert (found.low_n, found.may_be_loose) == (0.0, True)
    assert found.words.startswith("It may be loose; at best")


def test_a_sure_seat_is_not_said_to_be_loose():
    assert "loose" not in choose_part(seat()).hold.words
    assert choose_part(seat(interference_mm=0.006)).hold.may_be_loose


def test_a_bush_that_yields_first_is_the_bound():
    thin = joint(1.2, 0.92, 3.6, part=BRONZE)
    # by hand: its bore yields at 0.75 x 450 / 4.852 MPa, before the seat
    assert hold(thin, interference_mm=(0.010, 0.010)).low_mpa == pytest.approx(69.6, abs=0.1)


def test_limits_the_wrong_way_round_are_refused():
    with pytest.raises(InputError, match=re.escape("0.02")):
        hold(joint(), interference_mm=(0.02, 0.01))
