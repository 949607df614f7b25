"""Letters of every drawing on paper are 8 pt high at least; words in brass can be read."""

import re
from dataclasses import replace
from datetime import date

import pytest

from sideshake.command.measured import measurements_at
from sideshake.core.quantities import Measured
from sideshake.documents.care_card import DIAL_MM, PAIR_MM, CareCardSize, card_sheet, care_card
from sideshake.documents.jewel_order import SIZES
from sideshake.drawings.before_after import before_after_drawing
from sideshake.drawings.hole_pair import HoleDrawn, HolePair, hole_pair_drawing
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine, jewel_sheets
from sideshake.drawings.narrow import HEADING, NOTE, SMALL, WIDTH
from sideshake.drawings.section import section_alone, section_drawing, section_of
from sideshake.drawings.svg import BRASS_WORDS, PAPER, svg_text
from sideshake.fit.jewel import Part
from sideshake.movement.sheet_file import sheet_at
from sideshake.timing.compare.compared import compare
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position
from sideshake.wear.measurements import bench as laid_out
from sideshake.wear.verdict import BearingPlace, verdict

PT_PER_MM = 72 / 25.4
ROUNDING_PT = 0.03
A4_TEXT_MM = 210 - 2 * 22.0
HALF_MM = (A4_TEXT_MM - 4.0) / 2
"""Two drawings side by side on A4, the narrower paper: the margins of document.typ."""


def smallest_pt(svg: str, printed_mm: float) -> float:
    """Return how high the smallest letters of a drawing are when it is printed so wide."""
    wide = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])
    sizes = [float(each) for each in re.findall(r'font-size="([\d.]+)"', svg)]
    return min(sizes) * printed_mm / wide * PT_PER_MM


def heard(swing, rate):
    long_name = Conditions(position=Position.CH, wound="24h", chronograph_on=True)
    return ReadingFigures(
        conditions=long_name,
        amplitude_deg=Measured(swing, 2.0),
        rate_s_per_day=Measured(rate, 0.5),
        beat_error_ms=Measured(0.4, 0.05),
    )


def section():
    sheet, found = sheet_at("tarnbrook-31"), measurements_at("leaning-barrel", {})
    lying = laid_out(sheet, found)
    return section_of(sheet, found, lying, verdict(lying.case))


def hole_pair():
    oval = HoleDrawn(long_mm=Measured(1.012, 0.004), short_mm=Measured(0.936, 0.004))
    return HolePair(name="Hole in the bridge", pivot_mm=Measured(0.896, 0.002), before=oval,
                    after=HoleDrawn(long_mm=Measured(0.921, 0.003)))  # fmt: skip


DRAWINGS = {
    "before and after": (
        lambda: before_after_drawing(compare([heard(205, -48)], [heard(272, 4)]).differences),
        HALF_MM,
    ),
    "hole": (lambda: hole_pair_drawing(hole_pair()), HALF_MM),
    "section": (lambda: section_alone(section()), A4_TEXT_MM),
    "section, a sheet of its own": (lambda: section_drawing(section()), 270.0),
}


@pytest.mark.parametrize("name", DRAWINGS)
def test_letters_of_the_report_s_drawings_are_8_pt_high(name):
    make, printed_mm = DRAWINGS[name]
    assert smallest_pt(svg_text(make()), printed_mm) >= 8 - ROUNDING_PT


def test_letters_of_a_narrow_sheet_are_8_pt_high_beside_another():
    assert min(HEADING, NOTE, SMALL) * HALF_MM / WIDTH * PT_PER_MM >= 8 - ROUNDING_PT


def test_letters_of_the_bench_sheet_s_drawing_are_8_pt_high(repair_for):
    from sideshake.documents.hole_fit import drawing_of

    for place in BearingPlace:
        svg = drawing_of(repair_for(place)).data.decode()
        assert smallest_pt(svg, 66.0) >= 8 - ROUNDING_PT


@pytest.mark.parametrize("size", list(CareCardSize))
def test_figures_of_the_card_s_dial_are_8_pt_high(card, size):
    sheet = card_sheet(replace(card, size=size), day=date(2026, 11, 25))
    svg = sheet.pictures["dial.svg"].decode()
    assert smallest_pt(svg, DIAL_MM[size]) >= 8 - ROUNDING_PT


@pytest.mark.parametrize("size", list(CareCardSize))
def test_figures_of_two_dials_on_a_card_are_8_pt_high(size):
    card = care_card(sheet_at("tolvane-26"), watch="Day and date", workshop="Workshop")
    made = card_sheet(replace(card, size=size), day=date(2026, 11, 25)).pictures
    assert len(made) == 2
    for svg in made.values():
        assert smallest_pt(svg.decode(), PAIR_MM[size]) >= 8 - ROUNDING_PT


@pytest.mark.parametrize("paper", list(SIZES))
def test_letters_of_the_jewel_maker_s_drawing_are_8_pt_high(paper):
    part = Part(outside_mm=2.0, hole_mm=0.92, thickness_mm=0.6)
    line = OrderLine(part=part, quantity=2, reference="2026-014, 2026-015, 2026-016, 2026-017")
    order = OrderDrawing(workshop="W" * 60, number="J-3", date="25 November 2026", lines=(line,),
                       size=SIZES[paper])  # fmt: skip
    (drawing,) = jewel_sheets(order)
    assert smallest_pt(svg_text(drawing), drawing.width) >= 8 - ROUNDING_PT


def luminance(colour: str) -> float:
    """Return the relative luminance (WCAG 2.2)."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
    return sum(w * s for w, s in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_words_in_brass_stand_out_by_4_5_to_1():
    """WCAG 2.2, 1.4.3: text has a contrast of 4.5 to 1 at least."""
    bright, dark = luminance(PAPER), luminance(BRASS_WORDS)
    assert (bright + 0.05) / (dark + 0.05) >= 4.5


def test_no_figure_of_the_bench_sheet_s_drawing_is_struck_through(repair_for):
    """Every line of words lies clear of the centre lines, which cross the hole."""
    from sideshake.documents.hole_fit import drawing_of
    from sideshake.drawings.seat import ABOVE_Y, HEIGHT, MIDDLE

    svg = drawing_of(repair_for(BearingPlace.ABOVE)).data.decode()
    figures = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" font-size="([\d.]+)"[^>]*>([^<]+)<', svg)
    (hole,) = [each for each in figures if each[3] == "Ø 0.920"]
    assert float(hole[0]) == pytest.approx(MIDDLE, abs=1.0)
    assert float(hole[1]) > HEIGHT - ABOVE_Y + 20  # under the plan, not across its centre line
