"""Each doubt is raised by the reading that deserves it, and by no other."""

from dataclasses import replace

import numpy as np
import pytest

from sideshake.core.quantities import Measured
from sideshake.sound.beats import Beats
from sideshake.sound.clock import SampleClock, unchecked_clock
from sideshake.sound.likeness import Likeness, Trait, TraitMark
from sideshake.sound.listener import Heard, SegmentNote
from sideshake.sound.twin import Twin
from sideshake.timing.nominal import BeatSource
from sideshake.timing.quality_flags import QualityFlagKind, quality_flags
from sideshake.timing.reading import Reading
from sideshake.timing.sentence import meaning, sentence


def beats(count=150, missing=0):
    index = np.arange(missing, count + missing)
    index[0] = 0
    return Beats(0.2 * index, index, np.ones(count, np.float32))


GOOD_HEARD = Heard(
    rate_hz=48000, duration_s=30.0, beats=beats(), notes=(), portraits=(None, None),
    beats_per_hour=18000.0, sides=2, told=False, clipped_share=0.0, other_beats_per_hour=None,
)  # fmt: skip
GOOD = Reading(
    heard=GOOD_HEARD, clock=SampleClock(fast_ppm=Measured(0.0, 1.0), checked=True),
    lift_angle_deg=Measured(52.0), lift_angle_known=True, beats_per_hour=18000.0,
    beat_s=Measured(0.2, 1e-7), rate_s_per_day=Measured(6.2, 0.2),
    rate_alone_s_per_day=Measured(6.2, 0.1), amplitude_deg=Measured(275.0, 1.5),
    beat_error_ms=Measured(0.3, 0.01), out_of_beat_deg=Measured(0.6, 0.02), no_amplitude="",
    scatter_ms=0.02, clearness_db=25.0, lateness_s=np.zeros(150), lateness_at_s=np.arange(150.0),
    weight=np.ones(150), amplitudes_deg=np.array([274.0, 275.0, 276.0]),
    amplitudes_at_s=np.array([5.0, 15.0, 25.0]),
)  # fmt: skip


def kinds(reading):
    return {doubt.kind for doubt in quality_flags(reading)}


def hearing(**changes):
    return replace(GOOD, heard=replace(GOOD_HEARD, **changes))


def test_a_good_reading_has_no_doubts():
    assert quality_flags(GOOD) == ()


CRICKET = Likeness((TraitMark(Trait.BAND, -5.0), TraitMark(Trait.COPIES, -2.5)), 150)
ONE_SIDE = Beats(0.4 * np.arange(75), 2 * np.arange(75), np.ones(75, np.float32))
DOUBTFUL = {
    QualityFlagKind.SHORT: hearing(duration_s=10.0),
    QualityFlagKind.CLIPPED: hearing(clipped_share=1e-3),
    QualityFlagKind.NOISY: replace(GOOD, clearness_db=5.0),
    QualityFlagKind.SAID_WATCH: hearing(
        notes=(SegmentNote(start_s=0.0, end_s=30.0, likeness=CRICKET),)
    ),
    QualityFlagKind.OTHER_WATCH: hearing(other_beats_per_hour=21600.0),
    QualityFlagKind.TWIN: hearing(twin=Twin(gains=12.0 / 86400, u=0.4 / 86400)),
    QualityFlagKind.MISSING: hearing(beats=beats(missing=20)),
    QualityFlagKind.ASTRAY: replace(GOOD, weight=np.r_[np.zeros(10), np.ones(140)]),
    QualityFlagKind.KNOCKING: replace(GOOD, amplitude_deg=Measured(335.0, 2.0)),
    QualityFlagKind.UNSTEADY: replace(GOOD, amplitudes_deg=np.array([250.0, 275.0, 276.0])),
    QualityFlagKind.SETTLED: replace(GOOD, swing_settled=True),
    QualityFlagKind.LIFT_ANGLE: replace(GOOD, lift_angle_known=False),
    QualityFlagKind.CLOCK: replace(GOOD, clock=unchecked_clock()),
    QualityFlagKind.NO_NOMINAL: replace(GOOD, beats_per_hour=None, rate_s_per_day=None),
    QualityFlagKind.NOMINAL_TAKEN: replace(GOOD, beats_per_hour_from=BeatSource.NEAREST),
    QualityFlagKind.NO_BEAT_ERROR: replace(
        GOOD, beat_error_ms=None, no_beat_error="it may be anything up to 0.7 ms"
    ),
    QualityFlagKind.NO_AMPLITUDE: replace(
        GOOD, amplitude_deg=None, no_amplitude="the portrait is blurred"
    ),
}


@pytest.mark.parametrize("kind", DOUBTFUL)
def test_each_doubt_is_raised_alone(kind):
    assert kinds(DOUBTFUL[kind]) == {kind}


def test_one_side_is_named():
    assert QualityFlagKind.ONE_SIDE in kinds(hearing(beats=ONE_SIDE))


def test_one_side_may_be_both_of_half_the_number_that_was_told():
    told, found = (hearing(beats=ONE_SIDE, told=each) for each in (True, False))
    assert "the watch beats 9000 times an hour, half" in text_of(told, QualityFlagKind.ONE_SIDE)
    assert "half" not in text_of(found, QualityFlagKind.ONE_SIDE)


def test_every_kind_of_doubt_has_its_case():
    assert set(DOUBTFUL) | {QualityFlagKind.ONE_SIDE} == set(QualityFlagKind)


def text_of(reading, kind):
    (text,) = [doubt.text for doubt in quality_flags(reading) if doubt.kind is kind]
    return text


@pytest.mark.parametrize("source", [BeatSource.TOLD, BeatSource.CALIBRE])
def test_beats_per_hour_that_somebody_told_are_no_doubt(source):
    assert quality_flags(replace(GOOD, beats_per_hour_from=source)) == ()


def test_beats_per_hour_that_nobody_told_are_said_with_how_far_they_are():
    """12 s a day: 0.2 s less 0.2 * 12 / 86400."""
    taken = replace(
        GOOD, beats_per_hour_from=BeatSource.NEAREST, beat_s=Measured(0.2 / (1 + 12 / 86400), 1e-7)
    )
    said = text_of(taken, QualityFlagKind.NOMINAL_TAKEN)
    assert said.startswith("Taken as 18000 beats an hour, the nearest usual number, 12 s a day")
    assert "36000" not in said
    one_side = replace(taken, heard=replace(GOOD_HEARD, sides=1))
    assert text_of(one_side, QualityFlagKind.NOMINAL_TAKEN).endswith("be heard, it is 36000.")


def unknown(per_hour):
    return replace(
        GOOD, beats_per_hour=None, rate_s_per_day=None, beat_s=Measured(3600 / per_hour, 1e-6)
    )


@pytest.mark.parametrize(
    ("per_hour", "said", "not_said"),
    [(16269, "If 16200 were meant, it would gain 368 s a day.", "every second"),
     (16131, "If 16200 were meant, it would lose 368 s a day.", "every second"),
     (17000, "--beats-per-hour.", "meant"),
     (9000, "If only every second beat can be heard, it is 18000.", "meant"),
     (9100, "--beats-per-hour.", "every second")],
)  # fmt: skip
def test_beats_per_hour_that_are_not_known_come_with_how_to_tell_them(per_hour, said, not_said):
    text = text_of(unknown(per_hour), QualityFlagKind.NO_NOMINAL)
    assert text.startswith(f"{per_hour}")
    assert "±" in text.split(" beats")[0]
    assert text.endswith(said)
    assert not_said not in text


def test_the_second_watch_s_own_rate_is_told():
    """By hand: 6.2 and 12 s a day more are 18."""
    (doubt,) = quality_flags(DOUBTFUL[QualityFlagKind.TWIN])
    assert "gains 12.0 ± 0.8 s a day on this one, so its rate is +18 s a day" in doubt.text


def test_the_gravest_doubt_comes_first():
    both = replace(DOUBTFUL[QualityFlagKind.CLOCK], amplitude_deg=Measured(340.0, 2.0))
    assert [doubt.kind for doubt in quality_flags(both)] == [
        QualityFlagKind.KNOCKING,
        QualityFlagKind.CLOCK,
    ]


def test_every_doubt_is_a_plain_sentence():
    for reading in DOUBTFUL.values():
        for doubt in quality_flags(reading):
            assert doubt.text[0].isupper() or doubt.text[0].isdigit()
            assert doubt.text.endswith(".")


def test_the_sentence_says_each_figure_with_its_interval():
    assert sentence(GOOD) == (
        "Gains 6.2 ± 0.4 s a day, swings 275 ± 3°, out of beat by 0.300 ± 0.020 ms (0.60 ± 0.04°)."
    )


def test_a_losing_watch_loses():
    assert sentence(replace(GOOD, rate_s_per_day=Measured(-6.2, 0.2))).startswith("Loses 6.2 ± 0.4")


def test_a_rate_within_its_uncertainty_is_neither_gain_nor_loss():
    said = sentence(replace(GOOD, rate_s_per_day=Measured(-0.2, 0.2)))
    assert not said.startswith(("Gains", "Loses"))


def test_what_cannot_be_told_is_said_so():
    bare = replace(
        GOOD, rate_s_per_day=None, amplitude_deg=None, beat_error_ms=None, out_of_beat_deg=None
    )
    said = sentence(bare)
    assert "amplitude not to be told" in said
    assert "beat error not to be told" in said
    assert "a day" not in said


@pytest.mark.parametrize(
    ("swing", "word"), [(275.0, "healthy swing"), (240.0, "old watch"), (200.0, "too little")]
)
def test_the_meaning_follows_the_trade_s_limits(swing, word):
    """trade-facts 3.5.5 to 3.5.7: 270 and 220 degrees."""
    said = " ".join(meaning(replace(GOOD, amplitude_deg=Measured(swing, 1.0))))
    assert word in said


@pytest.mark.parametrize(("error", "word"), [(0.3, "Well in beat"), (1.4, "over 1 ms"), (0.7, "")])
def test_the_meaning_of_beat_error(error, word):
    """trade-facts 3.5.14 (common practice): good below 0.5 ms, to be set above 1 ms."""
    said = " ".join(meaning(replace(GOOD, beat_error_ms=Measured(error, 0.01))))
    assert (word in said) if word else ("beat" not in said)
