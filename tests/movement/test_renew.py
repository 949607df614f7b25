"""Files written when +- meant one standard deviation."""

import pytest

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.renew import MARK, doubled, renewed
from sideshake.movement.sheet_file import sheet_from_text

OLD = """\
name = "A"  # 5+-1 in a remark stays
kind = "worn by 0.02+-0.01 or so"
[barrel]
span_mm = "2.70+-0.02"
bore_mm = { value = '10.00 ± 0.01', source = "a drawing" }
core_mm = "3.20+-0.01 standard"
height_mm = 1.45
endshake_mm = "0.03 +/- 0.01 limit"
"""


def test_a_converted_sheet_means_what_it_meant():
    barrel = sheet_from_text(renewed(OLD)).barrel
    assert barrel.span_mm == Measured(2.70, 0.02)
    assert barrel.bore_mm == Measured(10.00, 0.01)
    assert barrel.core_mm == Measured(3.20, 0.01)
    assert barrel.endshake_mm == Measured.parse("0.03+-0.01 limit")


def test_words_and_remarks_stay():
    new = renewed(OLD)
    assert "# 5+-1 in a remark stays" in new
    assert "worn by 0.02+-0.01 or so" in new
    assert 'span_mm = "2.70+-0.04"' in new


def test_nothing_is_converted_twice():
    assert renewed(OLD).startswith(MARK)
    with pytest.raises(InputError, match="already"):
        renewed(renewed(OLD))


@pytest.mark.parametrize(
    ("old", "new"),
    [('"0.9+-0.0005"', '"0.9+-0.0010"'), ('"-1+-1.5"', '"-1+-3.0"'), ('"6+-2"', '"6+-4"')],
)
def test_half_widths_are_doubled_digit_by_digit(old, new):
    assert doubled(old) == new
