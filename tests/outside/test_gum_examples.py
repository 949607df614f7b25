"""Propagation against the examples of GUM Annex H (JCGM 100:2008)."""

import json
import math
from pathlib import Path

import pytest

from sideshake.core.quantities import Measured, propagate

EXAMPLES = Path(__file__).parents[3] / "shared" / "data" / "tables" / "gum" / "gum_H1_H2_H3.json"


def example(name):
    if not EXAMPLES.exists():
        pytest.skip(f"the shared file {EXAMPLES.name} is not on this machine")
    return json.loads(EXAMPLES.read_text(encoding="utf-8"))[name]


def input_of(line):
    """A line with its standard uncertainty; a rectangle's, an arcsine's (GUM 4.3.7, H.1.3.4)."""
    u = line.get("u", line.get("rect_half_width", 0.0) / math.sqrt(3.0))
    return Measured(line["value"], line.get("arcsine_half_width", 0.0) / math.sqrt(2.0) or u)


def end_gauge(standard, *rest):
    d0, d1, d2, alpha, d_alpha, d_theta, theta_bar, delta = rest
    warm = standard * d_alpha * (theta_bar + delta)
    return standard + d0 + d1 + d2 - warm - standard * alpha * d_theta


NAMES = ["l_s", "d0", "d1", "d2", "alpha_s", "d_alpha", "d_theta", "theta_bar", "Delta"]


def test_the_end_gauge_of_h1():
    held = example("H1_end_gauge")
    lines = {name: {"value": 0.0, **held["inputs"][name]} for name in NAMES}
    found = propagate(end_gauge, *(input_of(lines[name]) for name in NAMES))
    assert found.value == pytest.approx(held["expected"]["l_nm"], abs=0.5)
    # the GUM prints 32 nm, rounded
    assert found.u == pytest.approx(held["expected"]["u_nm"], abs=0.5)


@pytest.mark.parametrize("name", ["l_s", "d_theta", "d2", "d0", "d1"])
def test_the_parts_of_the_end_gauge_s_uncertainty(name):
    held = example("H1_end_gauge")
    lines = {each: {"value": 0.0, **held["inputs"][each]} for each in NAMES}
    alone = [
        input_of(lines[each]) if each == name else Measured(lines[each]["value"]) for each in NAMES
    ]
    assert propagate(end_gauge, *alone).u == pytest.approx(
        held["expected"]["components_nm"][name], rel=0.002
    )
