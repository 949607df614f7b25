"""Balance and hairspring, answer by answer: a balance swung step by step, and counter-cases.

The swung balance knows Newton's law alone (tests/swinging_balance.py); strip and expansion are put
into it as a handbook of mechanics has them. Numbers with a source are named where they stand.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import sheet_at
from sideshake.timing.balance.known import ABOVE_NOTHING, WORDS, KnownOfBalance, known_from
from sideshake.timing.balance.metals import RIMS, SPRINGS
from sideshake.timing.balance.sums import QUESTIONS, balance_sums
from tests.swinging_balance import rate_s_per_day, swing_s, weight_torque

J_MG_CM2, BEATS = 10.0, 28800
J = J_MG_CM2 * 1e-10
K = 6.317e-7
"""The balance of a published worksheet (trade-facts 4.2.3): 4 Hz, k 6.317e-7 N·m/rad."""


def exact(**values):
    return KnownOfBalance(
        **{
            name: value if isinstance(value, str | int | Measured) else Measured(value)
            for name, value in values.items()
        }
    )


def told(key, known):
    answers, _ = balance_sums(known)
    return next((each for each in answers if each.key == key), None)


def figures(key, known):
    return {each.what: each.value for each in told(key, known).figures}


SWUNG = {"beats_per_hour": BEATS, "inertia_mg_cm2": J_MG_CM2}


def test_the_strength_wanted_makes_the_swung_balance_beat():
    wanted = figures("strength", exact(**SWUNG))["strength wanted"].value * 1e-6
    assert wanted == pytest.approx(K, rel=1e-3)
    assert 7200 / swing_s(J, wanted, 200.0) == pytest.approx(BEATS, rel=1e-6)


STRIP = {"height_mm": 0.15, "thickness_mm": 0.035, "length_mm": 120.0, "elastic_gpa": 200.0}


def strip_stiffness(e=200e9, b=0.15e-3, t=0.035e-3, length=0.120):
    """A clamped strip bent by a couple turns by M L / (E I), I = b t³/12 (any handbook)."""
    return e * b * t**3 / 12 / length


def test_a_measured_spring_beats_as_the_swung_balance_does():
    found = figures("spring", exact(**SWUNG, **STRIP))
    k = strip_stiffness()
    assert found["strength of the spring"].value == pytest.approx(k * 1e6)
    assert found["beats with it"].value == pytest.approx(7200 / swing_s(J, k, 150.0), rel=1e-6)
    right = found["length that beats 28800"].value * 1e-3
    assert 7200 / swing_s(J, strip_stiffness(length=right), 150.0) == pytest.approx(BEATS, rel=1e-6)


@pytest.mark.parametrize(
    ("thickness", "u", "said"),
    [
        (0.035, 0.0001, "It is too strong for 28800: that would take a length of"),
        (0.028, 0.0001, "It is too weak for 28800"),
        (0.0312, 0.0005, "Within its doubt that is 28800: it may be the right one"),
    ],
)
def test_a_spring_is_too_strong_too_weak_or_may_be_right(thickness, u, said):
    known = exact(**SWUNG, **{**STRIP, "thickness_mm": Measured(thickness, u)})
    sentence = told("spring", known).sentence
    assert said in sentence
    assert sum(each in sentence for each in ("too strong", "too weak", "may be the right")) == 1


def test_the_modulus_of_a_named_metal_is_taken_when_none_was_measured():
    known = exact(**SWUNG, **{k: v for k, v in STRIP.items() if k != "elastic_gpa"})
    assert told("spring", known) is None
    (why,) = [each.reason for each in balance_sums(known)[1] if each.key == "spring"]
    assert "neither the spring's modulus of elasticity nor its metal" in why
    with_metal = replace(known, spring="carbon steel")
    assert "gives" in told("spring", with_metal).sentence


@pytest.mark.parametrize("by", [0.01, 2.0, -2.0])
def test_a_shortened_spring_gains_what_the_swung_balance_gains(by):
    known = exact(length_mm=120.0, shortened_mm=by)
    rate = figures("length", known)["rate by that length"].value
    k = strip_stiffness()
    swung = rate_s_per_day(swing_s(J, k * 120 / (120 - by), 200.0), swing_s(J, k, 200.0))
    assert rate == pytest.approx(swung, abs=1e-3)
    says = ("Shortened", "gains") if by > 0 else ("Lengthened", "loses")
    assert all(word in told("length", known).sentence for word in says)


def test_one_second_a_day_is_23_ppm_of_the_length():
    # trade-facts 4.2
    found = figures("rate", exact(length_mm=100.0, rate_wanted_s_per_day=1.0))["shorter by"]
    assert found.value / 100.0 == pytest.approx(23e-6, abs=0.2e-6)


def test_the_index_moves_the_pins_and_back():
    known = exact(length_mm=120.0, index_deg=2.0, pins_radius_mm=3.0)
    found = figures("index", known)
    assert found["way of the pins"].value == pytest.approx(3.0 * math.radians(2.0))
    assert "towards fast" in told("index", known).sentence
    wanted = replace(known, rate_wanted_s_per_day=found["rate by the index"])
    assert figures("rate", wanted)["index towards fast"].value == pytest.approx(2.0)
    slower = replace(known, index_deg=Measured(-2.0))
    assert "towards slow" in told("index", slower).sentence
    assert "loses" in told("index", slower).sentence


@pytest.mark.parametrize("micrograms", [500.0, -20_000.0])
def test_weight_on_the_rim_changes_the_swung_balance_s_rate(micrograms):
    known = exact(inertia_mg_cm2=J_MG_CM2, weight_ug=micrograms, at_mm=4.5)
    rate = figures("weight", known)["rate by the weight"].value
    heavier = J + micrograms * 1e-9 * (4.5e-3) ** 2
    swung = rate_s_per_day(swing_s(heavier, K, 200.0), swing_s(J, K, 200.0))
    assert rate == pytest.approx(swung, rel=1e-5)
    says = ("added", "loses") if micrograms > 0 else ("taken", "gains")
    assert all(word in told("weight", known).sentence for word in says)


def test_warmth_grows_the_swung_balance_and_softens_its_spring():
    known = exact(rim="brass", spring="carbon steel", warmer_c=1.0)
    rate = figures("temperature", known)["rate by that warmth"].value
    rim, metal = RIMS["brass"], SPRINGS["carbon steel"]
    grown = 1 + metal.per_c.value
    k = strip_stiffness(
        e=200e9 * (1 + metal.elastic_per_c.value),
        b=0.15e-3 * grown, t=0.035e-3 * grown, length=0.120 * grown,
    )  # fmt: skip
    swung = rate_s_per_day(
        swing_s(J * (1 + rim.per_c.value) ** 2, k, 200.0), swing_s(J, strip_stiffness(), 200.0)
    )
    assert rate == pytest.approx(swung, rel=2e-3)
    # trade-facts 4.3.8: -10 to -12, and 4.3.9: Berthoud's 393 s for 60 °F is 11.8
    assert -12 < rate < -10


def test_a_compensated_spring_is_said_to_change_neither_way():
    alloy = exact(rim="brass", spring="self-compensating alloy", warmer_c=15.0)
    assert "15 °C warmer its rate changes by 0 ± 6 s a day" in told("temperature", alloy).sentence
    steel = replace(alloy, spring="carbon steel", warmer_c=Measured(-15.0))
    assert "15 °C colder it gains 158 ± 20 s a day" in told("temperature", steel).sentence


def lost_j(amplitude_deg, quality, friction_nm=0.0):
    """Return what one swing to and fro loses: the swing integrated with both kinds of friction."""
    c = math.sqrt(J * K) / quality

    def falls(_, state):
        angle, speed = state
        drag = c * speed + friction_nm * math.tanh(speed / 1e-3)
        return speed, -(K * angle + drag) / J, drag * speed

    start = [math.radians(amplitude_deg), 0.0, 0.0]
    period = 2 * math.pi * math.sqrt(J / K)
    return solve_ivp(
        lambda t, y: falls(t, y[:2]), (0, period), start, method="DOP853", rtol=1e-8, atol=1e-12
    ).y[2, -1]


SWING = {"quality_factor": 200.0, "lying_deg": 270.0}


def test_the_power_is_what_the_swung_balance_loses():
    used = figures("power", exact(**SWUNG, **SWING))["power used"].value
    swung_uw = lost_j(270.0, 200.0) * BEATS / 7200 * 1e6
    assert used == pytest.approx(swung_uw, rel=0.02)  # it loses 1.5 % of its amplitude on the way


def test_hanging_it_loses_by_both_frictions_what_it_lost_lying():
    known = exact(**SWUNG, **SWING, mass_mg=60.0, pivot_mm=0.09)
    hung = figures("hanging", known)["amplitude hanging"]
    load = 0.125 * 60e-6 * 9.80665 * 0.045e-3
    assert lost_j(hung.value, 200.0, load) == pytest.approx(lost_j(270.0, 200.0), rel=0.02)
    # trade-facts 4.9, for friction of 0.10 and 0.15: 241 and 228 degrees
    assert 228 < hung.value < 241
    assert hung.holds(241.0)
    assert hung.holds(228.0)


@pytest.mark.parametrize("swing", [180.0, 270.0])
def test_the_spot_found_makes_the_swung_balance_s_rate(swing):
    # trade-facts 4.2.3: 23.8 µg·cm makes 19.081 s a day at 270 degrees
    known = exact(**SWUNG, spot_s_per_day=19.081, swing_deg=swing, at_mm=5.0)
    found = figures("spot", known)
    mg_mm = found["unbalance"].value * 0.01
    swung = swing_s(J, K, swing, torque_nm=weight_torque(mg_mm, 0.0))
    assert abs(rate_s_per_day(swung, swing_s(J, K, swing))) == pytest.approx(19.081, rel=3e-3)
    assert found["weight there"].value == pytest.approx(found["unbalance"].value * 2)
    if swing == 270.0:
        assert found["unbalance"].value == pytest.approx(23.8, abs=0.05)


def test_near_220_degrees_no_spot_is_weighed():
    known = exact(**SWUNG, spot_s_per_day=19.0, swing_deg=222.0)
    assert told("spot", known) is None
    (why,) = [each.reason for each in balance_sums(known)[1] if each.key == "spot"]
    assert "hardly shows (209 to 231°)" in why


DOUBTFUL = {
    "beats_per_hour": 18000,
    "rim": "brass",
    "spring": "carbon steel",
    **{
        name: Measured(value, 0.02 * abs(value))
        for name, value in {
            "inertia_mg_cm2": 14.0, "mass_mg": 70.0, "pivot_mm": 0.1, "quality_factor": 200.0,
            "lying_deg": 280.0, "height_mm": 0.12, "thickness_mm": 0.03, "length_mm": 110.0,
            "elastic_gpa": 200.0, "shortened_mm": 0.05, "index_deg": 2.0, "pins_radius_mm": 2.6,
            "rate_wanted_s_per_day": -30.0, "weight_ug": 400.0, "at_mm": 5.0, "warmer_c": 15.0,
            "spot_s_per_day": 25.0, "swing_deg": 270.0,
        }.items()
    },
}  # fmt: skip
WIDER = {"rate for one degree more", "rate by that warmth", "amplitude hanging"}
"""They carry doubts of their own besides: of metals, and of friction."""


def test_every_figure_s_doubt_is_what_drawn_values_scatter():
    random = np.random.default_rng(7)
    known = KnownOfBalance(**DOUBTFUL)
    drawn = {}
    for _ in range(300):
        values = {
            name: Measured(random.normal(value.value, value.u))
            if isinstance(value, Measured)
            else value
            for name, value in DOUBTFUL.items()
        }
        for answer in balance_sums(KnownOfBalance(**values))[0]:
            for figure in answer.figures:
                drawn.setdefault(figure.what, []).append(figure.value.value)
    answers, still_open = balance_sums(known)
    assert still_open == ()
    assert len(answers) == len(QUESTIONS)
    for figure in (each for answer in answers for each in answer.figures):
        scatter = np.std(drawn[figure.what])
        assert figure.value.u > 0
        if figure.what in WIDER:
            assert figure.value.u > scatter
        else:
            assert figure.value.u == pytest.approx(scatter, rel=0.15), figure.what


def test_what_is_not_known_stays_open_and_is_named():
    answers, still_open = balance_sums(exact(**SWUNG))
    assert [each.key for each in answers] == ["strength"]
    lacks = {each.key: each.lacks for each in still_open}
    assert lacks["weight"] == ("weight_ug", "at_mm")
    assert set(WORDS) >= {name for names in lacks.values() for name in names}


@pytest.mark.parametrize("name", ABOVE_NOTHING)
def test_what_cannot_be_is_refused(name):
    with pytest.raises(InputError, match="above 0"):
        KnownOfBalance(**{name: 0 if name == "beats_per_hour" else Measured(-1.0)})


def test_metals_that_nobody_knows_are_refused():
    with pytest.raises(InputError, match=r"rim.*cheese.*brass"):
        exact(rim="cheese")
    with pytest.raises(InputError, match="hairspring"):
        exact(spring="brass")


def test_a_spring_cannot_be_shortened_away():
    with pytest.raises(InputError, match="100 mm cannot be shortened by 101 mm"):
        balance_sums(exact(length_mm=100.0, shortened_mm=101.0))


def test_a_sheet_tells_what_it_knows_and_no_more():
    known = known_from(sheet_at("tarnbrook-31"))
    assert known["inertia_mg_cm2"] == Measured(14.0, 0.7)
    assert known["spring"] == "self-compensating alloy"
    assert "rim" not in known  # "monometallic, with screws" names no metal
    assert KnownOfBalance(**known).beats_per_hour == 18000
