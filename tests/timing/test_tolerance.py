import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.timing.tolerance import ToleranceCheck, ToleranceOutcome, chronograph_verdict


def figure(value, u=0.0, **limits):
    return ToleranceCheck(
        what="fall", value=Measured(value, u), unit="°", source="a book", **limits
    )


def test_on_an_exact_limit_it_is_kept():
    assert figure(40.0, at_most=40.0).outcome is ToleranceOutcome.KEPT
    assert figure(40.0, at_least=40.0).outcome is ToleranceOutcome.KEPT
    assert figure(40.1, at_most=40.0).outcome is ToleranceOutcome.BEYOND


def test_near_a_limit_it_is_a_probability():
    """One standard uncertainty below: 84.1 % (any table of the normal distribution)."""
    near = figure(39.0, 1.0, at_most=40.0)
    assert near.probability_kept == pytest.approx(0.8413, abs=1e-4)
    assert near.sentence == (
        "Fall 39.0 ± 2.0° (at most 40°): near the limit, kept with a probability of 84 %. "
        "Limit: a book."
    )


def test_both_sides_count():
    """Within one standard uncertainty on either side: 68.3 %."""
    assert figure(0.0, 1.0, at_least=-1, at_most=1).probability_kept == pytest.approx(
        0.6827, abs=1e-4
    )
    assert figure(-9.0, 0.5, at_least=-6, at_most=6).outcome is ToleranceOutcome.BEYOND


def test_the_worst_of_several_must_be_further_off():
    """Bonferroni: for the worst of four, 1.25 % instead of 5 % must remain."""
    off = {"value": Measured(42.0, 1.0), "what": "fall", "unit": "°", "source": "", "at_most": 40.0}
    assert ToleranceCheck(**off).outcome is ToleranceOutcome.BEYOND
    assert ToleranceCheck(**off, chances=4).outcome is ToleranceOutcome.NEAR


def test_the_excess_is_a_share_of_the_limit():
    assert figure(60.0, at_most=50.0).excess == pytest.approx(0.2)
    assert figure(198.0, at_least=220.0).excess == pytest.approx(0.1)
    assert figure(-9.0, at_least=-6.0, at_most=6.0).excess == pytest.approx(0.5)
    assert figure(12.0, at_least=0.0, at_most=10.0).excess == pytest.approx(0.4)
    assert figure(-2.0, at_least=0.0).excess == pytest.approx(2.0)
    assert figure(45.0, at_most=50.0).excess < 0


@pytest.mark.parametrize(
    ("cost", "outcome"),
    [(25.0, ToleranceOutcome.KEPT), (55.0, ToleranceOutcome.BEYOND), (41.0, ToleranceOutcome.NEAR)],
)
def test_the_chronographs_cost_against_a_published_limit(cost, outcome):
    """At most 40 degrees (one maker's instruction, secondary trade page, trade-facts 3.5.10)."""
    verdict = chronograph_verdict(Measured(cost, 2.0), Measured(40.0), source="the instruction")
    assert verdict.outcome is outcome


def test_an_uncertain_limit_makes_the_verdict_uncertain():
    limit = Measured(40.0, 5.0)
    assert (
        chronograph_verdict(Measured(45.0, 1.0), limit, source="").outcome is ToleranceOutcome.NEAR
    )


def test_a_limit_is_needed_and_has_an_order():
    with pytest.raises(InputError, match="least or a most"):
        figure(1.0)
    with pytest.raises(InputError, match="from least to most"):
        figure(1.0, at_least=5.0, at_most=4.0)
