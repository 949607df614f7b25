"""A round said from figures alone: the published vintage example, and what it cannot say."""

import math

import pytest

from sideshake.analysis.rounds import RoundRead, after_a_day, in_position, say_of_round
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position

VINTAGE = {"CH": (21, 275), "FH": (-1, 291), "3H": (-11, 265), "6H": (14, 265), "9H": (-27, 265),
           "12H": (-52, 265)}  # fmt: skip
"""A published vintage example (secondary trade page, trade-facts 4.2.10), in the positions of a
watch with its crown at 3; the last rate is set so that the two pairs of hanging positions agree."""


def read(position, rate, swing, *, recorder="this computer", own_u=0.3):
    how = Conditions(position=Position(position) if position else None, wound="full")
    return ReadingFigures(
        conditions=how,
        rate_s_per_day=Measured(rate, math.hypot(own_u, 0.4)),
        rate_alone_u_s_per_day=own_u,
        amplitude_deg=Measured(swing, 3.5),
        lift_angle_deg=Measured(50.0, 0.5),
        recorder=recorder,
    )


def round_of(figures, wound="full", **more):
    readings = tuple(read(position, *each, **more) for position, each in figures.items())
    return RoundRead(readings=readings, wound=wound)


def test_a_round_tells_its_heavy_spot():
    said = say_of_round(round_of(VINTAGE), sheet=shipped_sheet("tarnbrook-31"))
    assert said.spot.poise is not None
    assert said.spot.where
    assert said.spot.reason == ""
    assert any("six positions" in each or "hanging" in each for each in said.sentences)


def test_from_two_positions_no_heavy_spot_is_told_and_why():
    said = say_of_round(round_of({"CH": (21, 275), "FH": (-1, 291)}))
    assert (said.spot.poise, said.spot.where) == (None, ())
    assert "not heard: 3H, 6H, 9H, 12H" in said.spot.reason
    assert (said.spot.turned, said.spot.turned_reason) == (None, "")


def test_nothing_stands_out_of_a_round_in_which_nothing_was_heard():
    said = say_of_round(RoundRead(readings=()))
    assert said.stands_out is None
    assert said.sentences == ()


def test_the_other_wind_proves_a_heavy_spot_or_says_why_not():
    found = round_of(VINTAGE)
    said = say_of_round(found, other=round_of(VINTAGE, wound="24h"))
    assert said.spot.turned is None
    assert "Both lie on one side of 219" in said.spot.turned_reason


def test_a_day_later_is_told_by_the_positions_of_both():
    later = {position: (rate + 5, swing - 30) for position, (rate, swing) in VINTAGE.items()}
    said, reason = after_a_day(round_of(VINTAGE), round_of(later, wound="24h"))
    assert reason == ""
    assert said.mean.rate_s_per_day.value == pytest.approx(5.0)
    assert said.mean.fall_deg.value == pytest.approx(30.0)
    other, _ = after_a_day(round_of(VINTAGE), round_of(later, wound="24h", recorder="phone"))
    assert other.mean.rate_s_per_day.u > said.mean.rate_s_per_day.u
    none, reason = after_a_day(round_of({"CH": (1, 280)}), round_of({"FH": (1, 280)}, wound="24h"))
    assert none is None
    assert "No position was heard both" in reason


def test_a_reading_without_a_position_does_not_count_and_is_none_of_a_round():
    heard = RoundRead(readings=(read("CH", 1, 280), read("", 99, 280))).heard
    assert [each.position for each in heard.readings] == ["CH"]
    with pytest.raises(InputError, match="needs a position"):
        in_position(read("", 99, 280), alone=True)
