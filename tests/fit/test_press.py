import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.fit.materials import BRASS, RUBY, Material, material
from sideshake.fit.press import Joint, PressedRing, press_fit, wall_left_mm

STEEL_200 = Material(name="steel 200", elastic_mpa=200e3, poisson=0.3)
STEEL_210 = Material(name="steel 210", elastic_mpa=210e3, poisson=0.3)


def joint(outside, around, delta, *, bore=0.0, inner=RUBY, outer=BRASS, length=0.3, friction=0.15):
    return Joint(
        inner=PressedRing(outside_mm=outside, bore_mm=bore, material=inner),
        outer=PressedRing(outside_mm=around, bore_mm=0.0, material=outer),
        interference_mm=delta,
        length_mm=length,
        friction=friction,
    )


def test_a_shaft_of_50_in_a_hub_of_80():
    # published worked example of a press fit (recomputed): 48.75 and 111.25 MPa, 45.95 kN, 1149 N·m
    found = press_fit(
        joint(50, 80, 0.04, inner=STEEL_200, outer=STEEL_200, length=40, friction=0.15)
    )
    assert found.pressure_mpa == pytest.approx(48.75)
    assert found.outer_hoop_mpa == pytest.approx(111.25)
    assert found.push_out_n == pytest.approx(45.95e3, rel=1e-3)
    assert found.torque_nmm == pytest.approx(1149e3, rel=1e-3)


def test_a_shaft_of_25_in_a_hub_of_50():
    # a second published example (recomputed): 63.0 and 105.0 MPa, 9.90 kN
    found = press_fit(
        joint(25, 50, 0.020, inner=STEEL_210, outer=STEEL_210, length=20, friction=0.1)
    )
    assert found.pressure_mpa == pytest.approx(63.0)
    assert found.outer_hoop_mpa == pytest.approx(105.0)
    assert found.push_out_n == pytest.approx(9.90e3, rel=1e-3)


def test_the_inch_form_of_the_textbook_gives_the_same():
    # same material, solid inner (Shigley): p = E delta (D2 - d2) / (2 d D2), in psi and inches
    steel = Material(name="steel", elastic_mpa=30e6, poisson=0.292)
    found = press_fit(joint(1.5, 2.5, 0.002, inner=steel, outer=steel))
    assert found.pressure_mpa == pytest.approx(12800.0)
    assert found.outer_hoop_mpa == pytest.approx(27200.0)


@pytest.mark.parametrize(
    ("ring", "around", "delta", "stresses"),
    [
        # derived by hand with brass 97 GPa, 0.31 and ruby 380 GPa, 0.28
        ((1.20, 0.30), 4.0, 0.005, (234, 281, -500)),
        ((1.20, 0.30), 4.0, 0.010, (468, 561, -999)),
        ((0.80, 0.12), 3.0, 0.010, (731, 843, -1496)),
        ((2.00, 0.80), 5.0, 0.010, (246, 340, -586)),
    ],
)
def test_ruby_rings_in_brass(ring, around, delta, stresses):
    found = press_fit(joint(ring[0], around, delta, bore=ring[1]))
    told = (found.pressure_mpa, found.outer_hoop_mpa, found.inner_bore_mpa)
    assert told == pytest.approx(stresses, abs=1.0)


def test_von_mises_and_push_out_of_the_ruby_ring():
    found = press_fit(joint(1.20, 4.0, 0.005, bore=0.30))
    assert found.outer_mises_mpa == pytest.approx(446, abs=1)
    assert found.push_out_n == pytest.approx(40, abs=0.5)


@pytest.mark.parametrize(
    ("outside", "bore", "around", "closing_um"), [(2.3, 1.2, 6.0, 4.6), (1.8, 0.9, 5.0, 4.5)]
)
def test_a_brass_bush_closes_its_bore(outside, bore, around, closing_um):
    # derived by hand: finish the bore after pressing
    found = press_fit(joint(outside, around, 0.010, bore=bore, inner=BRASS))
    assert 1000 * found.bore_closing_mm == pytest.approx(closing_um, abs=0.06)


@pytest.mark.parametrize(
    ("yield_mpa", "outside", "limit_um"),
    [
        (140, 0.8, 1.0), (140, 1.2, 1.5), (140, 2.0, 2.6),
        (220, 0.8, 1.6), (220, 1.2, 2.4), (220, 2.0, 4.0),
        (350, 0.8, 2.6), (350, 1.2, 3.8), (350, 2.0, 6.4),
    ],
)  # fmt: skip
def test_first_yield_of_a_wide_brass_plate(yield_mpa, outside, limit_um):
    # derived: wide plate, hole a quarter of the jewel; the trade's 10 µm is far beyond
    plate = Material(name="brass", elastic_mpa=97e3, poisson=0.31, yield_mpa=float(yield_mpa))
    found = press_fit(joint(outside, 1000.0, 0.010, bore=outside / 4, outer=plate))
    assert 1000 * found.elastic_limit_mm == pytest.approx(limit_um, abs=0.07)
    assert found.beyond_elastic


def test_a_gentle_fit_stays_elastic():
    found = press_fit(joint(1.2, 4.0, 0.001, bore=0.3))
    assert not found.beyond_elastic
    assert found.pressure_mpa == pytest.approx(46.8, abs=0.1)


@given(st.floats(0.0005, 0.02), st.floats(0.1, 10.0))
def test_pressure_scales_with_interference_and_not_with_the_unit(delta, factor):
    one = press_fit(joint(1.2, 4.0, delta, bore=0.3)).pressure_mpa
    assert press_fit(joint(1.2, 4.0, 2 * delta, bore=0.3)).pressure_mpa == pytest.approx(2 * one)
    scaled = joint(1.2 * factor, 4.0 * factor, delta * factor, bore=0.3 * factor)
    assert press_fit(scaled).pressure_mpa == pytest.approx(one)


@given(st.floats(1.3, 50.0))
def test_the_seat_s_surface_meets_the_ring_s(around):
    # compatibility: what the hole gives plus what the ring gives is the interference
    asked = joint(1.2, around, 0.008, bore=0.4)
    found = press_fit(asked)
    outer, inner = asked.outer.material, asked.inner.material
    opens = 1.2 / outer.elastic_mpa * (found.outer_hoop_mpa + outer.poisson * found.pressure_mpa)
    ratio = (1.2**2 + 0.4**2) / (1.2**2 - 0.4**2)
    shrinks = 1.2 / inner.elastic_mpa * found.pressure_mpa * (ratio - inner.poisson)
    assert opens + shrinks == pytest.approx(0.008)


def test_the_wall_left_is_measured_from_the_seat():
    assert wall_left_mm(1.5, 1.4) == pytest.approx(0.65)


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        (lambda: wall_left_mm(2.0, 0.9), ("2 mm", "0.9 mm")),
        (lambda: joint(1.2, 1.0, 0.01), ("1 mm", "1.2 mm")),
        (lambda: joint(1.2, 4.0, -0.01), ("-0.01",)),
        (lambda: joint(1.2, 4.0, 0.01, bore=1.2), ("1.2",)),
        (lambda: joint(1.2, 4.0, 0.01, length=0.0), ("0",)),
        (lambda: material("cheese"), ("cheese", "ruby")),
        (lambda: Material(name="x", elastic_mpa=0.0, poisson=0.3), ("0",)),
    ],
)
def test_impossible_joints_name_the_values(wrong, named):
    with pytest.raises(InputError) as caught:
        wrong()
    assert all(each in str(caught.value) for each in named)


def test_a_solid_pin_is_squeezed_by_the_pressure_alone():
    found = press_fit(joint(1.2, 4.0, 0.002))
    assert found.inner_bore_mpa == -found.pressure_mpa
    assert found.bore_closing_mm == 0
    assert math.isfinite(found.elastic_limit_mm)


def test_a_thin_bush_yields_before_its_seat():
    # by hand: the seat yields at 330 / sqrt(1.25² + 1.25 + 1) = 169 MPa, the bush's bore at
    # 450 / 4.852 = 92.7 MPa; 10 µm give 173.6 MPa
    found = press_fit(joint(1.2, 3.6, 0.010, bore=0.92, inner=material("phosphor bronze")))
    assert found.pressure_mpa == pytest.approx(173.6, abs=0.1)
    assert 1000 * found.elastic_limit_mm == pytest.approx(10 * 92.7 / 173.6, abs=0.01)
