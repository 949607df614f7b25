"""Metal rings photographed behind light, against a coordinate measuring machine.

Source: github agpoyraz/Concentricity_Measurement (MIT), 2025-05-27; telecentric lens, white burnt
out, light coded in proportion. Scale and one edge offset are fitted over both rims of the first
four parts; what is left is form: the punched edge is not the same through the thickness. All parts
stand in `make bench`.
"""

import csv
import math

import numpy as np
import pytest
from real_rounds import FOLDER, ring_rims

RINGS = FOLDER / "rings"
PARTS = (1, 3, 5, 7)

pytestmark = pytest.mark.skipif(not RINGS.exists(), reason=f"no photographs in {RINGS}")


@pytest.fixture(scope="module")
def seen():
    with (RINGS / "cmm.csv").open() as stream:
        table = {int(row["part"]): row for row in csv.DictReader(stream)}
    return [(table[part], *ring_rims(part)) for part in PARTS]


def test_both_diameters_agree_with_the_machine_to_a_few_microns(seen):
    true = np.array([float(row[name]) for row, *_ in seen for name in ("outer_mm", "inner_mm")])
    told = np.array([2 * rim.fit.ellipse.r for _, outer, inner in seen for rim in (outer, inner)])
    design = np.column_stack([told, np.tile([1.0, -1.0], len(seen))])
    answer = np.linalg.lstsq(design, true, rcond=None)[0]
    left_um = 1000 * (true - design @ answer)
    assert np.median(np.abs(left_um)) < 3.0
    assert abs(1000 * answer[1]) < 6.0  # edge offset that nobody told: on the diameter
    assert 1000 * answer[0] == pytest.approx(17.398, abs=0.01)


def test_most_of_the_burning_out_is_taken_back(seen):
    for _, outer, inner in seen:
        assert inner.bright_inside
        assert not outer.bright_inside
        assert inner.burnt > 0.8
        assert inner.cut_px > 0.15


def test_the_oval_agrees_with_the_machine_s_largest_and_smallest(seen):
    """The machine's roundness is of the radius, and holds other forms than ovals too."""
    for row, _, inner in seen:
        oval_mm = 4 * math.hypot(inner.fit.ellipse.p, inner.fit.ellipse.q) * 0.017398
        assert oval_mm / 2 < float(row["inner_roundness_mm"]) * 2
