"""Pivots drawn with known thickness, taper, bend and groove."""

import numpy as np
import pytest
from drawn_pivots import DrawnPivot, drawn_pivot

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.pivot import pivot


def seen(drawn, at=None, **given):
    return pivot(drawn_pivot(drawn), at or drawn.middle, **given)


def thick_there(drawn, found):
    """Return how thick the drawn pivot is at the middle of the piece that was measured."""
    x, y = np.subtract(found.middle, drawn.middle)
    along = x * np.cos(drawn.turn) - y * np.sin(drawn.turn)
    return drawn.thick + drawn.taper * along


def test_thickness_is_right_within_its_interval_and_a_twentieth_of_a_pixel():
    rng = np.random.default_rng(3)
    for seed in range(6):
        thick, taper = rng.uniform(25, 80), rng.choice([0.0, 0.02, -0.03])
        drawn = DrawnPivot(
            thick=thick,
            taper=taper,
            turn=rng.uniform(0, 6),
            seed=seed,
            slope=rng.uniform(-0.4, 0.4),
        )
        reach = 0.2 * thick
        found = seen(drawn, tuple(drawn.middle + rng.uniform(-reach, reach, 2)))
        assert found.diameter_px.value == pytest.approx(thick_there(drawn, found), abs=0.05)
        assert found.diameter_px.holds(thick_there(drawn, found))


@pytest.mark.parametrize(("turn", "sign"), [(0.4, 1), (0.4 + np.pi, -1)])
def test_taper_has_its_way(turn, sign):
    found = seen(DrawnPivot(taper=0.03, turn=turn, electrons=4000))
    assert found.taper.holds(sign * 0.03)
    assert found.taper.expanded < 0.005
    assert found.axis_deg == pytest.approx(np.degrees(0.4), abs=0.2)


def test_a_straight_pivot_is_neither_bent_nor_grooved_nor_tapered():
    found = seen(DrawnPivot())
    assert not found.bent
    assert not found.grooved
    assert found.taper.holds(0.0)


def test_a_bent_pivot_is_bent_by_what_it_is():
    """Of a bow b over the length L, a piece of length l shows the share (l / L)²."""
    drawn = DrawnPivot(bow=1.5)
    found = seen(drawn)
    assert found.bent
    share = (found.length_px / drawn.long) ** 2
    assert found.bow_px.value == pytest.approx(1.5 * share, abs=0.2)


def test_a_groove_is_found_on_a_straight_pivot():
    found = seen(DrawnPivot(groove=1.5))
    assert found.grooved
    assert not found.bent


def test_a_burnt_out_ground_widens_the_interval_and_is_told():
    burnt, well = seen(DrawnPivot(ground=1.3)), seen(DrawnPivot(ground=0.7))
    assert burnt.burnt
    assert not well.burnt
    assert burnt.diameter_px.holds(60.0)
    assert burnt.diameter_px.u > 2 * well.diameter_px.u


def test_a_bright_pivot_on_a_dark_ground_is_measured_too():
    found = seen(DrawnPivot(metal=0.6, ground=0.05))
    assert found.diameter_px.holds(60.0)


def test_a_scale_gives_millimetres():
    found = seen(DrawnPivot(), mm_per_px=Measured(0.004, 0.00004))
    assert found.diameter_mm.value == pytest.approx(0.24, rel=0.01)
    assert found.diameter_mm.u >= 0.0024 * 0.99


@pytest.mark.parametrize(
    ("given", "cure"),
    [
        ({"thick": 8.0, "blur": 0.4}, "go nearer"),
        ({"blur": 6.0}, "hold still"),
        ({"long": 45.0}, "show more"),
        ({"metal": 0.7}, "plain ground"),
    ],
)
def test_what_cannot_be_measured_is_refused_with_its_cure(given, cure):
    with pytest.raises(NotEnough, match=cure):
        seen(DrawnPivot(**given))
