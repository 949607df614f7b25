"""Contrast by WCAG 2.2: relative luminance and ratio, success criteria 1.4.3 and 1.4.11."""

import pytest

from sideshake.drawings.style import BRASS, FADED, INK, PAPER, RUBY, table


def luminance(colour):
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(("colour", "least"), [(INK, 4.5), (RUBY, 4.5), (BRASS, 3.0), (FADED, 3.0)])
def test_text_and_lines_stand_out_from_the_paper(colour, least):
    assert (luminance(PAPER) + 0.05) / (luminance(colour) + 0.05) >= least


def test_columns_of_unequal_length_are_refused():
    with pytest.raises(ValueError, match="shorter"):
        table(at=[1, 2], late=[1])
