"""The sentences of a round: each figure by hand, each sign with its meaning."""

import pytest

from sideshake.timing.positions.summary import Position, summary
from sideshake.timing.positions.words import headline, say_round
from tests.timing.rounds import MENDED, PITTED, VINTAGE, round_of


def said_of(figures, **more):
    return say_round(summary(round_of(figures, **more)))


def test_a_published_round_is_said_with_the_figures_one_reckons_by_hand():
    """Trade-facts 4.2.10: lying (21 - 1)/2 = +10, hanging (-11 + 14 - 27 - 68)/4 = -23."""
    means, difference, spread, swing = said_of(VINTAGE)
    assert means == "Lying +10 s a day (CH, FH) and hanging -23 s a day (3H, 6H, 9H, 12H)."
    assert difference == "Hanging minus lying -33 s a day: it loses by hanging."
    assert spread.startswith("Spread 89")
    assert spread.endswith("s a day: fastest in CH, slowest in 12H.")
    assert swing.startswith(
        "It swings 283° lying and 245° hanging, a fall of 38°; least hanging in"
    )


def test_a_pitted_cap_jewel_and_its_mending_are_told_in_one_line():
    """Trade-facts 3.5.17: +1 and +9 with 280 and 260 degrees; after it +9 twice, 280 twice."""
    assert headline(summary(round_of(PITTED))) == (
        "Mean rate +5 s a day in 2 positions, spread 8; it swings 270° lying."
    )
    assert "Mean rate +9 s a day" in headline(summary(round_of(MENDED)))


@pytest.mark.parametrize(
    ("hanging", "meaning"),
    [
        (9, "it gains by hanging"),
        (-9, "it loses by hanging"),
        (0.5, "as far as can be told it goes alike both ways"),
    ],
)
def test_the_sign_of_hanging_minus_lying_is_told(hanging, meaning):
    said = said_of({"CH": (0, 280), "6H": (hanging, 250)}, rate_u=0.5, swing_u=2.0)
    assert f": {meaning}." in said[1]


@pytest.mark.parametrize(
    ("swing", "words"),
    [
        (250, "The running chronograph takes 30 ± 6° of the amplitude (off minus on; CH)"),
        (279, "The running chronograph takes no amplitude that can be told (1 ± 6°; CH)"),
    ],
)
def test_what_the_chronograph_takes_is_told_with_its_positions(swing, words):
    said = said_of({"CH": (4, 280)}, running={"CH": (1, swing)}, rate_u=0.3, swing_u=2.0)
    assert said[-1].startswith(words)
    assert said[-1].endswith("the rate with it running minus without is −3.0 ± 0.8 s a day.")


def test_beat_error_is_told_where_it_is_largest():
    said = said_of({"CH": (4, 280, 0.3), "6H": (4, 250, 0.8)})
    assert said[-1] == "Beat error at most 0.80 ± 0.10 ms, in 6H."


def test_of_a_round_without_a_reading_nothing_is_said():
    nothing = summary(round_of({}))
    assert (headline(nothing), say_round(nothing)) == ("", ())


def test_where_only_amplitudes_were_heard_no_rate_is_said():
    assert said_of({Position.H6: (None, 244)}) == (
        "It swings 244° hanging; least hanging in 6H, 244°.",
    )
