"""A watch heard with all that is known of it, and with nothing."""

from dataclasses import replace

import pytest

from sideshake.analysis.hearing import NOTHING_KNOWN, known_of, reading_of, reading_said
from sideshake.core.quantities import Measured
from sideshake.movement.escapement import CYLINDER, LEVER
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.timing.nominal import BeatSource
from sideshake.timing.reading import USUAL_LIFT_DEG, read
from sideshake.timing.turn.words import repeats


@pytest.fixture(scope="module")
def heard():
    """Half a minute of a watch of 18 000 beats, 12 s a day fast, lift angle 52, 250 degrees."""
    watch = SimulatedWatch(beats_per_hour=18000, rate_s_per_day=12, amplitude_deg=250)
    listener = Listener(48000)
    listener.feed(simulate(watch, duration_s=30, seed=3).samples)
    return listener.hear()


def test_a_sheet_tells_all_that_hearing_asks():
    sheet = shipped_sheet("tarnbrook-31")
    known = known_of(sheet)
    assert known.lift_angle_deg == sheet.lift_angle_deg
    assert (known.per_hour, known.beats_per_hour.source) == (18000.0, BeatSource.CALIBRE)
    assert (known.escape_teeth, known.escapement) == (15, LEVER)
    assert known_of(shipped_sheet("vennick-41")).escapement == CYLINDER


def test_without_a_sheet_nothing_is_known():
    assert known_of(None) == NOTHING_KNOWN
    assert NOTHING_KNOWN.per_hour is None
    assert NOTHING_KNOWN.escape_teeth is None


def test_what_is_known_is_what_the_reading_rests_on(heard):
    known = replace(NOTHING_KNOWN, lift_angle_deg=Measured(52.0, 1.0))
    alone = read(heard, lift_angle_deg=Measured(52.0, 1.0))
    assert reading_of(heard, known).amplitude_deg == alone.amplitude_deg
    bare = reading_of(heard, NOTHING_KNOWN)
    assert bare.lift_angle_deg == USUAL_LIFT_DEG
    assert bare.amplitude_deg.u > alone.amplitude_deg.u


def test_of_a_cylinder_no_amplitude_is_told_and_of_a_lever_one(heard):
    known = replace(NOTHING_KNOWN, escapement=CYLINDER)
    assert reading_of(heard, known).amplitude_deg is None
    assert "not for a cylinder escapement" in reading_of(heard, known).no_amplitude
    assert reading_of(heard, NOTHING_KNOWN).amplitude_deg.holds(250.0)


def test_the_turn_is_folded_where_the_teeth_are_known_and_only_there(heard):
    reading = reading_of(heard, NOTHING_KNOWN)
    with_teeth, without = reading_said(reading, 15), reading_said(reading, None)
    assert with_teeth.turn.escape_teeth == 15
    assert without.turn is None
    assert with_teeth.sentence == without.sentence
    assert with_teeth.meaning[: len(without.meaning)] == without.meaning
    # of an even turn nothing is to be said; tests/timing/turn asks what is said of an uneven one
    assert len(with_teeth.meaning) == len(without.meaning) + len(repeats(with_teeth.turn))
    assert any("clock" in each for each in without.doubts)
