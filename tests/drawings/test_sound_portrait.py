"""The dimensioned time is checked against trade-facts par. 3.3: 270 degrees at 18000 with a lift
angle of 52 degrees take 12.280 ms (derived from simple harmonic motion)."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.errors import NotEnough
from sideshake.drawings.page import svg_text
from sideshake.drawings.sound_portrait import (
    FLOOR_DB,
    impulse_ms,
    lift_of,
    portrait_chart,
    trace_of,
    unlocking_s,
)
from sideshake.sound.simulate import IMPULSE_SHARE


@pytest.fixture(scope="module")
def svg(reading):
    return svg_text(portrait_chart(reading))


def without_onsets(reading):
    """Return the reading as if unlocking and drop had not been found on tock."""
    blind = [
        replace(
            each,
            onsets=replace(each.onsets, unlock_s=np.full_like(each.onsets.unlock_s, np.nan)),
        )
        for each in reading.heard.portraits
    ]
    notes = tuple(
        replace(note, onsets=(blind[0].onsets, blind[1].onsets)) for note in reading.heard.notes
    )
    heard = replace(reading.heard, portraits=tuple(blind), notes=notes)
    return replace(reading, heard=heard)


def test_the_lift_interval_is_dimensioned(reading, svg, words):
    lift = lift_of(reading)
    assert lift.time_s.value == pytest.approx(12.280e-3, abs=3 * lift.time_s.u)
    said = words(svg)
    assert f"{lift.time_s.value * 1e3:.2f} ms = lift angle 52°" in said
    assert f"{reading.amplitude_deg.text()}°" in said


def test_what_the_reading_refuses_is_not_dimensioned(reading, words):
    refused = replace(reading, amplitude_deg=None, no_amplitude="the portrait is too blurred")
    said = words(svg_text(portrait_chart(refused)))
    assert "no lift interval is dimensioned: the portrait is too blurred" in said
    assert "→" not in said


def test_a_lift_angle_only_supposed_is_said_to_be_so(reading, svg, words):
    supposed = words(svg_text(portrait_chart(replace(reading, lift_angle_known=False))))
    assert "the lift angle is the usual one" in supposed
    assert "the lift angle is the usual one" not in words(svg)


def test_the_noises_are_named(svg, words):
    said = words(svg)
    for name in ("unlocking", "impulse", "drop", "tick", "tock", "noise"):
        assert name in said


def test_impulse_is_found_where_the_simulator_put_it(reading):
    place_ms = impulse_ms(lift_of(reading))
    assert place_ms == pytest.approx(IMPULSE_SHARE * 12.28, abs=0.15)  # ms; an onset is soft


def test_an_impulse_that_is_not_surely_seen_is_not_named(reading):
    assert impulse_ms(replace(lift_of(reading), impulse_share=None)) is None


def test_without_onsets_nothing_is_dimensioned_and_the_reason_stands_there(reading, words):
    said = words(svg_text(portrait_chart(without_onsets(reading))))
    assert "unlocking and drop do not stand out clearly enough" in said
    assert "lift angle" not in said


def test_the_noise_floor_is_0_decibels(reading):
    portrait = reading.heard.portraits[0]
    flat = replace(portrait, power=np.full(4000, portrait.noise, np.float32))
    level = trace_of(flat, 0.0, (-1e3, 1e3)).level_db[1:-1]
    assert level == pytest.approx(FLOOR_DB, abs=1e-3)


def test_both_sides_are_aligned_on_unlocking(reading):
    lift = lift_of(reading)
    for portrait in reading.heard.portraits:
        trace = trace_of(portrait, unlocking_s(portrait, lift), (-3.0, 20.0))
        before = trace.level_db[trace.at_ms < -0.6].max()
        after = trace.level_db[(trace.at_ms > 0) & (trace.at_ms < 1)].max()
        assert after > before + 10  # dB


def test_a_side_not_heard_is_left_empty(reading, words):
    heard = replace(reading.heard, portraits=(reading.heard.portraits[0], None))
    notes = tuple(replace(note, onsets=(note.onsets[0], None)) for note in heard.notes)
    chart = portrait_chart(replace(reading, heard=replace(heard, notes=notes)))
    assert "only one of tick and tock is heard" in words(svg_text(chart))


def test_no_portrait_is_no_picture(hand_made):
    with pytest.raises(NotEnough):
        portrait_chart(hand_made(np.random.default_rng(1).normal(0, 1e-5, 40)))


def test_the_same_reading_gives_the_same_picture(reading, svg):
    assert svg_text(portrait_chart(reading)) == svg
