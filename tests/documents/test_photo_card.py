"""The card on paper: one page, at full size, and found by the program that reads it."""

import io
from datetime import date

import numpy as np
import pytest
from PIL import Image

from sideshake.documents.blocks import Paper
from sideshake.documents.photo_card import (
    ALONG_AT,
    CARDS,
    HALF_SIDE,
    HIGH_MM,
    LINE_MM,
    WIDE_MM,
    photo_card_sheet,
)
from sideshake.documents.typeset import pages
from sideshake.photo.card import ScaleCardSize, dot_pitch_mm, places_mm
from sideshake.photo.dots import find_card
from sideshake.photo.light import photograph
from sideshake.photo.plane import fitted_plane

DAY = date(2026, 3, 24)
DOTS_AN_INCH = 200.0
MM_A_PIXEL = 25.4 / DOTS_AN_INCH


@pytest.fixture(scope="module")
def page():
    (png,) = pages(photo_card_sheet(day=DAY), pixels_per_inch=DOTS_AN_INCH)
    return Image.open(io.BytesIO(png)).convert("L")


@pytest.mark.parametrize("paper", Paper)
def test_it_is_one_page(paper):
    assert len(pages(photo_card_sheet(day=DAY, paper=paper), pixels_per_inch=30)) == 1


def test_cards_lie_on_the_sheet_and_apart():
    boxes = [(x, y, size.value / 2 * HALF_SIDE) for size, x, y in CARDS]
    for number, (x, y, half) in enumerate(boxes):
        assert half <= x <= WIDE_MM - half
        assert half <= y <= HIGH_MM - half
        for u, v, other in boxes[:number]:
            assert max(abs(x - u), abs(y - v)) > half + other
    assert ALONG_AT[1] + LINE_MM < HIGH_MM


@pytest.mark.parametrize("number", [0, 1, 3])
def test_the_printed_card_is_found_and_as_large_as_drawn(page, number):
    size, x, y = CARDS[number]
    half = size.value / 2 * HALF_SIDE - 0.3
    left, top = 17.0, top_of(page)
    box = [(left + x - half), (top + y - half), (left + x + half), (top + y + half)]
    cut = page.crop(tuple(round(each / MM_A_PIXEL) for each in box))
    larger = cut.resize((cut.width * 5, cut.height * 5)) if size is ScaleCardSize.SMALL else cut
    stream = io.BytesIO()
    larger.save(stream, "PNG")
    photo = photograph(stream.getvalue())
    seen = find_card(photo)
    plane = fitted_plane(
        places_mm(seen.size)[seen.which], seen.middles, photo.size_px,
        pitch_mm=dot_pitch_mm(size),
    )  # fmt: skip
    told = float(np.linalg.norm(plane.slope_at((photo.width_px / 2, photo.height_px / 2))[:, 0]))
    assert seen.size is size
    assert told == pytest.approx(MM_A_PIXEL * cut.width / larger.width, rel=1e-3)


def top_of(page):
    """Return how far below the page's top the picture of the cards begins (mm).

    The uppermost dot of the large card tells: it is drawn 7.75 mm below, its upper side 1.75 less.
    """
    column = np.asarray(page)[:, round((17.0 + CARDS[0][1]) / MM_A_PIXEL)]
    below = int(25.0 / MM_A_PIXEL)
    first = below + int(np.argmax(column[below:] < 60))
    return first * MM_A_PIXEL - (CARDS[0][2] - 43.75 - 1.75)
