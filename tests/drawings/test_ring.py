"""What stands in the ring is what was planted in the beats."""

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from sideshake.drawings.narrow import SMALL, WIDTH
from sideshake.drawings.ring import (
    RADIUS,
    REACH,
    farthest_s,
    ring_drawing,
    rings_drawing,
    round_bar_s,
)
from sideshake.drawings.shapes import Circle, DrawnLine, Fill, Named, Text
from sideshake.drawings.svg import svg_text
from sideshake.timing.turn.fold import fold

PLACES = 30
LEAST_PX, TELEPHONE_PX = 12.0, 358.0
"""A telephone of 390 px less the page's margins; letters of 12 px are read at arm's length."""


def noise(count, sigma_s=20e-6, seed=7):
    return np.random.default_rng(seed).normal(0, sigma_s, count)


@pytest.fixture(scope="module")
def faulty(hand_made):
    """A watch whose fourteenth beat of thirty is always late, and which scatters."""
    late_s = noise(900, 40e-6)
    late_s[np.arange(900) % PLACES == 13] += 4e-4
    return fold(hand_made(late_s), 15)


@pytest.fixture(scope="module")
def mended(hand_made):
    return fold(hand_made(noise(900, 15e-6, seed=8)), 15)


def stems(drawing):
    return [shape for shape in drawing.shapes if isinstance(shape, Named)]


def tip(stem):
    """Return the middle of a stem's head."""
    return next(part.centre for part in stem.shapes if isinstance(part, Circle))


def even_circles(drawing):
    return [each for each in drawing.shapes if isinstance(each, Circle)]


def out_mm(drawing, circle, which):
    """Return how far outward of the even beat each head lies."""
    return np.array(
        [math.dist(tip(each), circle.centre) - circle.radius for each in stems(drawing)[which]]
    )


def test_there_is_a_stem_for_each_beat_of_the_turn(faulty):
    assert len(stems(ring_drawing(faulty))) == PLACES


def test_the_planted_fault_is_the_longest_stem_and_points_outward(faulty):
    drawing = ring_drawing(faulty)
    (circle,) = even_circles(drawing)[:1]
    out = out_mm(drawing, circle, slice(None))
    assert int(np.argmax(np.abs(out))) == 13
    assert out[13] > 0
    assert "beat 14 of 30, tock: +0.388 ± 0.014 ms" in stems(drawing)[13].words


def test_stems_are_as_long_as_the_lateness_and_the_longest_reaches_its_end(faulty):
    drawing = ring_drawing(faulty)
    (circle,) = even_circles(drawing)[:1]
    scale = REACH / farthest_s(faulty)
    assert out_mm(drawing, circle, slice(None)) == pytest.approx(faulty.late_s * scale, abs=1e-9)
    assert circle.radius == RADIUS


def test_places_go_clockwise_from_the_top(faulty):
    drawing = ring_drawing(faulty)
    x0, y0 = even_circles(drawing)[0].centre
    (x1, y1), (x8, y8) = tip(stems(drawing)[0]), tip(stems(drawing)[8])
    assert x1 == pytest.approx(x0)
    assert y1 > y0
    assert x8 > x0 + RADIUS / 2
    assert abs(y8 - y0) < RADIUS / 4


def test_tick_and_tock_differ_by_more_than_colour(faulty):
    fills = [
        {part.fill for part in each.shapes if isinstance(part, Circle)}
        for each in stems(ring_drawing(faulty))
    ]
    assert fills[0::2] == [{Fill.INK}] * 15
    assert fills[1::2] == [{Fill.NONE}] * 15


def test_the_band_is_as_wide_as_what_does_not_come_back(faulty):
    drawing = ring_drawing(faulty)
    circle = even_circles(drawing)[0]
    bands = [shape for shape in drawing.shapes if getattr(shape, "fill", None) is Fill.BRASS]
    away = [math.dist(point, circle.centre) for band in bands for point in band.points]
    assert faulty.scatter_s == pytest.approx(40e-6, rel=0.15)
    half = 2 * faulty.scatter_s * REACH / farthest_s(faulty)
    assert max(away) - circle.radius == pytest.approx(half, rel=0.01)
    assert circle.radius - min(away) == pytest.approx(half, rel=0.01)


def test_the_bar_is_as_long_as_it_says(faulty):
    drawing = ring_drawing(faulty)
    scale = REACH / farthest_s(faulty)
    bar_s = round_bar_s(scale)
    lengths = [
        shape.end[0] - shape.start[0] for shape in drawing.shapes if isinstance(shape, DrawnLine)
    ]
    assert any(length == pytest.approx(bar_s * scale) for length in lengths)
    assert f"{bar_s * 1e3:g} ms" in words(drawing)


def words(drawing):
    return " ".join(shape.words for shape in drawing.shapes if isinstance(shape, Text))


def test_the_place_that_stands_out_has_its_number(faulty, mended):
    assert re.search(r"\b14\b", words(ring_drawing(faulty)).split("0.")[0])
    assert not re.search(r"\b14\b", words(ring_drawing(mended)))


def test_the_sentence_is_there_when_the_fault_is_and_not_when_it_is_mended(faulty, mended):
    assert "beat 14 of 30, a tock, comes" in ring_drawing(faulty).description
    assert "With each turn" not in ring_drawing(mended).description


def test_slow_changes_are_told_only_where_they_matter(hand_made, faulty):
    slow = noise(900) + 3e-4 * np.sin(np.arange(900) / 60)
    assert "Slow changes" in ring_drawing(fold(hand_made(slow), 15)).description
    assert "Slow changes" not in ring_drawing(faulty).description


def test_an_unknown_beat_error_is_told_only_where_it_is_unknown(faulty):
    assert "not known" in ring_drawing(faulty).description
    assert "not known" not in ring_drawing(replace(faulty, in_beat_known=True)).description


def test_the_mended_watch_has_shorter_stems_and_a_narrower_band_on_the_same_scale(faulty, mended):
    drawing = rings_drawing(faulty, mended, place="CH, dial up")
    before, after = even_circles(drawing)[:2]
    assert before.radius == after.radius
    first, second = slice(0, PLACES), slice(PLACES, None)
    out = out_mm(drawing, before, first), out_mm(drawing, after, second)
    assert np.abs(out[1]).max() < np.abs(out[0]).max() / 10
    scales = [
        each @ turn.late_s / (turn.late_s @ turn.late_s)
        for each, turn in zip(out, (faulty, mended), strict=True)
    ]
    assert scales[0] == pytest.approx(scales[1])
    bands = [shape for shape in drawing.shapes if getattr(shape, "fill", None) is Fill.BRASS]
    widths = [
        max(math.dist(p, ring.centre) for band in bands for p in band.points
            if math.dist(p, ring.centre) < 2 * ring.radius) - ring.radius
        for ring in (before, after)
    ]  # fmt: skip
    assert widths[1] < widths[0] / 2
    assert "Before: with each turn" in drawing.description
    assert "After: with" not in drawing.description


def test_other_numbers_of_teeth_have_other_rings(hand_made):
    assert len(stems(ring_drawing(fold(hand_made(noise(900)), 21)))) == 42


def test_its_letters_can_be_read_on_a_telephone(faulty, mended):
    for drawing in (ring_drawing(faulty), rings_drawing(faulty, mended)):
        least = min(shape.height for shape in drawing.shapes if isinstance(shape, Text))
        assert least >= SMALL
        assert least * TELEPHONE_PX / WIDTH >= LEAST_PX


def test_the_drawing_is_sound_svg_that_names_its_stems(faulty):
    root = ET.fromstring(svg_text(ring_drawing(faulty)))
    titles = [each.text for each in root.iter("{http://www.w3.org/2000/svg}title")]
    assert sum(bool(re.match(r"beat \d+ of 30, t[io]ck: ", title)) for title in titles) == PLACES


def test_a_watch_without_scatter_can_be_drawn(hand_made):
    turn = fold(hand_made(np.zeros(200)), 15)
    drawing = ring_drawing(turn)
    assert np.abs(out_mm(drawing, even_circles(drawing)[0], slice(None))).max() < 0.01
