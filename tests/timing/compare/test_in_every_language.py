"""What a comparison says to an owner, in a language of accents: no word is left in English."""

from itertools import product

import numpy as np
import pytest
from pseudo_language import escaped, speaking_with_accents

from sideshake.core.quantities import Measured
from sideshake.drawings.ring import pair_captions, rings_drawing
from sideshake.timing.compare.compared import compare
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.difference import ComparedFigure, Difference, Turn
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position
from sideshake.timing.turn.fold import WheelTurn
from sideshake.timing.turn.words import repeats
from sideshake.wording import Language, speaking

NAMES = "CH FH ms"
HOW = tuple(
    Conditions(position=position, wound=wound, chronograph_on=running)
    for position, wound, running in product(
        (None, Position.CH, Position.FH, Position.H6), ("", "full", "24h"), (False, True)
    )
)


def reading(conditions, *, rate=-52.0, lift=52.0, beats=18000, ear=1):
    return ReadingFigures(
        conditions=conditions, rate_s_per_day=Measured(rate, 0.5),
        rate_alone_u_s_per_day=0.3, amplitude_deg=Measured(270.0, 4.0),
        beat_error_ms=Measured(0.5, 0.05), lift_angle_deg=Measured(lift, 1.0),
        beats_per_hour=beats, ear=ear, recorder="r",
    )  # fmt: skip


@pytest.mark.parametrize("before", HOW)
def test_no_caution_on_two_readings_escapes(before):
    for after in HOW:
        pair = (reading(before),), (reading(after, rate=4.0, lift=50.0, beats=19800, ear=2),)
        with speaking_with_accents():
            found = compare(*pair)
            words = " ".join((*found.plain, *(each.sentence for each in found.differences)))
        assert escaped(words, NAMES) == set()
        assert len(found.plain) >= 3


def test_no_word_on_positions_that_only_one_round_has_escapes():
    places = [Conditions(position=each) for each in Position]
    with speaking_with_accents():
        found = compare(tuple(map(reading, places[:4])), tuple(map(reading, places[2:])))
    assert [each for each in found.plain if "nót cómpáréd" in each]
    assert escaped(" ".join(found.plain), NAMES) == set()


@pytest.mark.parametrize("turn", list(Turn))
@pytest.mark.parametrize("what", list(ComparedFigure))
@pytest.mark.parametrize("sign", [1, -1])
def test_no_word_of_a_difference_escapes(what, turn, sign):
    found = Difference(
        what=what, place="", before=Measured(0, 0.1), after=Measured(sign * 5.5, 0.1),
        change=Measured(sign * 5.5, 0.1), more=1.0, turn=turn,
    )  # fmt: skip
    with speaking_with_accents():
        said = found.sentence
    assert escaped(said, NAMES) == set()
    assert "5,5" in said
    assert "5.5" in found.sentence


def turn(late_ms=0.0, *, places=(6,), wave_s=0.0, in_beat=False):
    late_s = np.zeros(30)
    late_s[list(places)] = late_ms * 1e-3
    if wave_s:
        late_s = wave_s * np.sin(2 * np.pi * np.arange(30) / 30)
    return WheelTurn(
        escape_teeth=15, turns=10, late_s=late_s, u_s=np.full(30, 1e-5), beats=np.full(30, 10),
        scatter_s=3e-5, slow_s=1e-5, wave=(0.0, wave_s), wave_u_s=1e-5, in_beat_known=in_beat,
    )  # fmt: skip


TURNS = (turn(0.9), turn(-0.9), turn(0.9, places=(6, 9)), turn(-0.9, places=(6, 9)),
         turn(0.9, places=(6, 9, 20)), turn(-0.9, places=(6, 9, 20)),
         turn(wave_s=3e-4))  # fmt: skip


@pytest.mark.parametrize("found", TURNS)
def test_no_word_on_what_comes_back_with_each_turn_escapes(found):
    assert repeats(found)
    with speaking_with_accents():
        said = [*repeats(found), *pair_captions(found, turn())]
        drawing = rings_drawing(found, turn())
    assert escaped(" ".join((*said, drawing.title, drawing.description)), NAMES) == set()


def test_after_a_colon_only_english_goes_on_without_a_capital():
    assert "Before: with each turn" in " ".join(pair_captions(TURNS[0], turn()))
    with speaking(Language.GERMAN):
        assert "Vorher: Mit jeder Umdrehung" in " ".join(pair_captions(TURNS[0], turn()))
