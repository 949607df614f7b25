"""ISO 286 limits up to 3 mm three ways: the package pressfit, a table, the standard's formulas."""

import json
import math
from pathlib import Path

import pressfit
import pytest

from sideshake.fit.limits import GRADES_UM, clearance, limits

TABLE = Path(__file__).parents[3] / "shared" / "data" / "tables" / "iso286_from_pressfit.json"
GRADES = range(5, 12)
LETTERS = "defghkmnpsu"


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("letter", LETTERS)
def test_fits_agree_with_the_package_pressfit(letter, grade):
    theirs = pressfit.fit(f"2 H7/{letter}{grade}")
    ours = clearance(limits("H7", 2.0), limits(f"{letter}{grade}", 2.0))
    assert (ours.lower_um, ours.upper_um) == theirs.clearance_um


def test_grades_and_deviations_agree_with_the_table():
    if not TABLE.exists():
        pytest.skip(f"the shared table {TABLE.name} is not on this machine")
    table = json.loads(TABLE.read_text(encoding="utf-8"))
    for grade, row in table["IT_um"].items():
        assert GRADES_UM[grade] == row[0]
    for letter, row in table["shaft_fundamental_deviation_main_um"].items():
        shaft = limits(f"{letter}6", 2.0)
        assert row[0] == (shaft.upper_um if letter in "defgh" else shaft.lower_um)
    for letter in "su":
        rows = table["shaft_fundamental_deviation_subband_um"][letter]
        assert limits(f"{letter}6", 2.0).lower_um == rows[0][1]


MIDDLE_MM = math.sqrt(1.0 * 3.0)
"""ISO 286-1: the first step is reckoned with the geometric mean of 1 and 3 mm."""
UNIT_UM = 0.45 * MIDDLE_MM ** (1 / 3) + 0.001 * MIDDLE_MM


@pytest.mark.parametrize(
    ("grade", "formula_um"),
    [
        ("01", 0.3 + 0.008 * MIDDLE_MM),
        ("0", 0.5 + 0.012 * MIDDLE_MM),
        ("1", 0.8 + 0.020 * MIDDLE_MM),
    ],
)
def test_the_finest_grades_follow_the_standard_s_straight_lines(grade, formula_um):
    assert GRADES_UM[grade] == pytest.approx(formula_um, abs=0.05)


@pytest.mark.parametrize("grade", ["2", "3", "4"])
def test_grades_2_to_4_are_a_geometric_row_between_1_and_5(grade):
    ratio = (GRADES_UM["5"] / GRADES_UM["1"]) ** 0.25
    assert GRADES_UM[grade] == pytest.approx(GRADES_UM["1"] * ratio ** (int(grade) - 1), abs=0.4)


@pytest.mark.parametrize(("grade", "units"), [("5", 7), ("6", 10), ("7", 16), ("8", 25)])
def test_grades_5_to_8_follow_the_tolerance_unit_within_the_standard_s_rounding(grade, units):
    # 3.8, 5.4, 8.7, 13.6 µm before rounding up to the row 4, 6, 10, 14
    assert 0 <= GRADES_UM[grade] - units * UNIT_UM < 1.4


@pytest.mark.parametrize(("grade", "units"), [("9", 40), ("10", 64), ("11", 100)])
def test_coarser_grades_stand_above_the_formula_in_the_first_step(grade, units):
    # 21.7, 34.7, 54.2 µm: the printed 25, 40, 60 continue the row 4 6 10 16 25 40 60 instead
    assert 1.0 < GRADES_UM[grade] / (units * UNIT_UM) < 1.16


def test_every_fifth_grade_from_6_is_ten_times_coarser():
    # ISO 286-1: from IT6 on the value is multiplied by 10 at each fifth step
    for grade in range(6, 14):
        tenfold = GRADES_UM[str(grade + 5)] / GRADES_UM[str(grade)]
        assert tenfold == pytest.approx(10.0, rel=0.001)


@pytest.mark.parametrize(
    ("letter", "formula_um"), [("d6", -16 * MIDDLE_MM**0.44), ("e6", -11 * MIDDLE_MM**0.41)]
)
def test_wide_clearances_follow_the_standard_s_formulas(letter, formula_um):
    assert limits(letter, 2.0).upper_um == pytest.approx(formula_um, abs=0.5)
