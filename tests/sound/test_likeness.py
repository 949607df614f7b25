"""What sounds like a watch and what only beats evenly.

The tables behind it were made on half of the kinds of `tests/not_a_watch`; the sounds here are of a
seed of their own. Watches come from both simulators, which were made without the tables.
"""

from dataclasses import replace

import numpy as np
import pytest
from heard_chirps import RATE_HZ, chirps
from not_a_watch import KINDS
from second_sound import draw

from sideshake.core.errors import NotEnough
from sideshake.sound import likeness as asked
from sideshake.sound.likeness import (
    HeardKind,
    Likeness,
    Trait,
    TraitMark,
    against,
    judged,
    loud_share_of,
)
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate

MACHINES = (
    "cricket", "single chirps", "one key", "mouse clicks", "metronome app", "drum machine",
    "woodblock", "hi-hat only", "rim clicks", "relay", "turn signal", "digital clicks",
    "alternating clicks", "pulse pairs", "two pulse trains", "even beeps", "quartz", "hand claps",
)  # fmt: skip


def heard(samples, rate_hz, *, block=None):
    listener = Listener(rate_hz)
    for first in range(0, samples.size, block or samples.size):
        listener.feed(samples[first : first + (block or samples.size)])
    return listener.hear()


def ticking(seed=1, *, seconds=12.0, snr_db=25.0, **watch):
    room = RoomNoise(snr_db=snr_db)
    return simulate(SimulatedWatch(**watch), duration_s=seconds, room=room, seed=seed)


def nats(values, beats=100):
    return Likeness(tuple(TraitMark(trait, value) for trait, value in values.items()), beats)


@pytest.mark.parametrize("kind", MACHINES)
def test_what_no_watch_made_is_not_called_one(kind):
    sound = KINDS[kind](np.random.default_rng((41, list(KINDS).index(kind))))
    try:
        found = heard(sound.samples, sound.rate_hz)
    except NotEnough:
        return
    assert found.verdict is HeardKind.EVEN_BEAT


def test_chirps_as_even_as_a_watch_are_a_tone_and_one_sound():
    found = heard(chirps(), RATE_HZ)
    assert found.verdict is HeardKind.EVEN_BEAT
    assert {Trait.BAND, Trait.SIDES} <= set(found.against)
    assert found.beats_per_hour == pytest.approx(18000, rel=2e-4)


@pytest.mark.parametrize("per_hour", [14400, 18000, 21600, 28800, 36000])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_watch_of_the_first_simulator_is_one(seed, per_hour):
    sound = ticking(seed, beats_per_hour=float(per_hour))
    assert heard(sound.samples, sound.rate_hz).verdict is HeardKind.WATCH


@pytest.mark.parametrize("rate_hz", [22050, 32000, 44100, 96000])
def test_the_width_of_the_band_does_not_hang_on_its_edge(rate_hz):
    """Where the band begins the whitening falls to nothing, and nothing is no tone."""
    sound = simulate(
        SimulatedWatch(beats_per_hour=28800.0), duration_s=12.0, room=RoomNoise(snr_db=25.0),
        recorder=Recorder(rate_hz=rate_hz), seed=1,
    )  # fmt: skip
    (page,) = heard(sound.samples, sound.rate_hz).likenesses
    (band,) = [mark.nats for mark in page.marks if mark.trait is Trait.BAND]
    assert band > 0


@pytest.mark.parametrize("seed", range(12))
def test_a_watch_of_the_second_simulator_is_one(seed):
    sound = draw(700 + seed, snr_db=25.0, codec=None).listen(15.0)
    assert heard(sound.samples, sound.rate_hz).verdict is HeardKind.WATCH


def test_the_verdict_does_not_depend_on_how_the_sound_was_cut():
    sound = ticking(seconds=65.0)
    whole = heard(sound.samples, sound.rate_hz)
    parts = heard(sound.samples, sound.rate_hz, block=7777)
    assert whole.likenesses == parts.likenesses


def test_a_page_that_goes_on_as_before_costs_no_new_likeness():
    sound = ticking(seconds=95.0)
    found = heard(sound.samples, sound.rate_hz)
    assert len(found.likenesses) == 4
    assert all(each is found.likenesses[0] for each in found.likenesses)


def test_pages_are_weighed_by_their_beats():
    good, bad = nats({Trait.BAND: 8.0}, beats=300), nats({Trait.BAND: -3.0}, beats=100)
    assert judged([good, bad]) is HeardKind.WATCH
    assert judged([replace(good, beats=100), replace(bad, beats=300)]) is HeardKind.EVEN_BEAT


def test_one_lucky_page_of_many_makes_no_watch():
    bad, lucky = nats({Trait.BAND: -3.0}), nats({Trait.BAND: 9.0})
    assert judged([bad, bad, bad, lucky]) is HeardKind.EVEN_BEAT


def test_few_beats_have_the_benefit_of_the_doubt_only_with_an_escapement_s_noises():
    own = {Trait.SIDES: 1.0, Trait.BAND: 1.0}
    assert judged([nats(own, beats=12)]) is HeardKind.WATCH
    assert judged([nats(own, beats=60)]) is HeardKind.EVEN_BEAT
    assert judged([nats({Trait.BAND: 2.0}, beats=12)]) is HeardKind.EVEN_BEAT
    decisive = own | {Trait.COPIES: -2.5, Trait.SHARP: 2.5}
    assert judged([nats(decisive, beats=12)]) is HeardKind.EVEN_BEAT


def test_nothing_makes_up_for_missing_noises_in_a_clear_sound():
    assert judged([nats({Trait.BAND: 9.0, Trait.ORDER: -1.9})]) is HeardKind.EVEN_BEAT
    assert judged([nats({Trait.BAND: 9.0, Trait.ORDER: -1.5})]) is HeardKind.WATCH


def test_where_nothing_is_known_of_the_sound_it_is_taken_for_a_watch():
    assert judged([]) is HeardKind.WATCH


def test_what_speaks_against_is_told_the_strongest_first():
    page = nats({Trait.HISS: -1.0, Trait.BAND: -4.0, Trait.SHARP: -0.1, Trait.EVEN: 1.0})
    assert against([page]) == (Trait.BAND, Trait.HISS)


@pytest.mark.parametrize(
    "name", [name for name in vars(asked) if isinstance(getattr(asked, name), tuple)]
)
def test_every_table_rises_in_its_figures(name):
    value = getattr(asked, name)
    if len(value) == 2 and isinstance(value[0], tuple):
        figures, counted = value
        assert len(figures) == len(counted)
        assert np.all(np.diff(figures) > 0)


def test_every_trait_is_asked_of_every_page():
    sound = ticking()
    (page,) = heard(sound.samples, sound.rate_hz).likenesses
    assert [mark.trait for mark in page.marks] == list(Trait)
    assert np.all(np.isfinite([mark.nats for mark in page.marks]))


def test_a_loud_tenth_of_the_period_is_a_tenth():
    """By construction: 20 of 200 frames of every period are loud."""
    course = np.tile(np.r_[np.ones(20), np.zeros(180)], 50)
    assert loud_share_of(course, 1e-3, 0.2) == pytest.approx(0.1)
