"""What only beats evenly gives its beat and no figure; two watches in turn give none at all."""

import numpy as np
import pytest
from heard_chirps import RATE_HZ, chirps

from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.likeness import Likeness, Trait, TraitMark
from sideshake.sound.listener import Heard, Listener, SegmentNote
from sideshake.timing.reading import read
from sideshake.timing.what_beats import LITTLE, REASONS, NoWatch, TwoWatches, reasons

CRICKET = Likeness((TraitMark(Trait.BAND, -5.0), TraitMark(Trait.COPIES, -2.5)), 150)


def hearing(arrival_s, *, likeness=None):
    count = len(arrival_s)
    return Heard(
        rate_hz=48000, duration_s=30.0,
        beats=Beats(np.asarray(arrival_s), np.arange(count), np.ones(count, np.float32)),
        notes=(SegmentNote(start_s=0.0, end_s=30.0, heard=0, likeness=likeness),),
        portraits=(None, None), beats_per_hour=18000.0, sides=2, told=False, clipped_share=0.0,
        other_beats_per_hour=None,
    )  # fmt: skip


def even(beat_s=0.2, *, count=150, seed=1):
    return beat_s * np.arange(count) + 30e-6 * np.random.default_rng(seed).normal(size=count)


def test_chirps_give_their_beat_and_why_they_are_no_watch():
    listener = Listener(RATE_HZ)
    listener.feed(chirps())
    with pytest.raises(NoWatch) as said:
        read(listener.hear())
    assert said.value.per_hour.holds(18000.0)
    assert "something beats evenly, 1800" in str(said.value)
    assert "more of a tone than a tick" in str(said.value)


def test_said_to_be_a_watch_they_are_read():
    found = read(hearing(even(), likeness=CRICKET), said_watch=True)
    assert abs(found.rate_s_per_day.value) < 5


def test_a_watch_is_read_without_saying_so():
    assert read(hearing(even())).rate_s_per_day is not None


def test_the_recorder_s_clock_is_in_the_uncertainty_of_the_beat():
    with pytest.raises(NoWatch) as said:
        read(hearing(even(), likeness=CRICKET))
    assert said.value.per_hour.u > 18000 * 50e-6 / np.sqrt(3) * 0.99


def in_turn(gains_s_per_day):
    arrival = even(0.1, count=300)
    arrival[1::2] /= 1 + gains_s_per_day / 86400
    return arrival


@pytest.mark.parametrize("gains", [-20.0, -6.0, 4.0, 15.0])
def test_two_watches_in_turn_are_refused_and_their_difference_told(gains):
    with pytest.raises(TwoWatches) as said:
        read(hearing(in_turn(gains)), said_watch=True)
    assert said.value.apart.holds(abs(gains))
    assert said.value.per_hour == pytest.approx(18000, rel=1e-3)


@pytest.mark.parametrize("offset_s", [0.0, 2e-3, 0.03])
def test_a_watch_out_of_beat_is_one_watch(offset_s):
    arrival = even()
    arrival[1::2] += offset_s
    assert read(hearing(arrival)).beat_s.holds(0.2)


def test_every_trait_has_its_reason_in_plain_words():
    assert set(REASONS) == set(Trait)
    assert len(set(REASONS.values())) == len(Trait)


def test_of_two_that_say_the_same_one_is_said_and_three_are_enough():
    said = reasons((Trait.SWELLS, Trait.SIDES, Trait.BAND, Trait.SHARP, Trait.FEW))
    assert REASONS[Trait.SWELLS] not in said
    assert REASONS[Trait.FEW] not in said
    assert reasons(()) == LITTLE


def test_a_reading_of_beats_without_their_sound_is_no_refusal():
    """Where nothing is known of the sound there is nothing to judge."""
    assert read(hearing(even(), likeness=None)).beat_s == Measured(
        read(hearing(even())).beat_s.value, read(hearing(even())).beat_s.u
    )
