"""Before and after: what is common drops out, what differs is said."""

import math
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.core.version import EAR
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.timing.compare.compared import OTHER_WAY, other_ear
from sideshake.timing.compare.compared import compare as compare_watches
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.difference import ComparedFigure, Turn
from sideshake.timing.compare.reading_figures import WANDER_U_PPM, ReadingFigures, figures_of
from sideshake.timing.positions.summary import Position
from sideshake.timing.reading import read
from sideshake.timing.repeatability import AS_HEARD, USUAL

compare = partial(compare_watches, again=AS_HEARD)
"""What the next laying changes is left out: it is a share of its own, asked about at the end."""
LIFT = Measured(52.0, 2.0)
WANDER_S_PER_DAY = math.sqrt(2) * WANDER_U_PPM * 0.0864


def lying(position=Position.CH, wound="full", **more) -> Conditions:
    return Conditions(position=position, wound=wound, **more)


def figures(rate=0.0, swing=270.0, error=0.5, *, where=None, **more) -> ReadingFigures:
    """A reading whose rate holds 2.5 s a day of the clock's error and 0.3 of its own."""
    given = {"recorder": "this computer", "lift_angle_deg": LIFT, **more}
    return ReadingFigures(
        conditions=where or lying(),
        rate_s_per_day=Measured(rate, math.hypot(2.5, 0.3)),
        rate_alone_u_s_per_day=0.3,
        amplitude_deg=Measured(swing, math.hypot(1.0, swing * 2 / 52)),
        beat_error_ms=Measured(error, 0.05),
        **given,
    )


def told(comparison, what: ComparedFigure, place: str = "CH, dial up"):
    (found,) = [d for d in comparison.differences if d.what is what and d.place == place]
    return found


def test_the_error_of_one_sound_clock_drops_out_of_a_difference():
    change = told(compare([figures(-12.0)], [figures(-4.0)]), ComparedFigure.RATE).change
    assert change.value == pytest.approx(8.0)
    assert change.u == pytest.approx(math.hypot(0.3, 0.3, WANDER_S_PER_DAY))


@pytest.mark.parametrize(
    "other", [{"recorder": "field recorder"}, {"clock_checked_on": "2026-03-01"}]
)
def test_another_sound_clock_or_another_check_of_it_stays_in_the_difference(other):
    compared = compare([figures(-12.0)], [figures(-4.0, **other)])
    change = told(compared, ComparedFigure.RATE).change
    assert change.u == pytest.approx(math.hypot(0.3, 0.3, 2.5, 2.5, WANDER_S_PER_DAY))
    assert "different sound clocks" in compared.basis[0]


def test_a_rate_whose_clock_s_share_is_not_known_keeps_its_whole_uncertainty():
    old = replace(figures(-12.0), rate_alone_u_s_per_day=None)
    change = told(
        compare([old], [replace(old, rate_s_per_day=Measured(0, 2.0))]), ComparedFigure.RATE
    ).change
    assert change.u == pytest.approx(math.hypot(2.5, 0.3, 2.0))


def test_the_lift_angle_s_error_is_in_the_change_only_as_a_share_of_the_change():
    """A = lift / (2 sin ...): both amplitudes scale alike, so their difference does too."""
    change = told(
        compare([figures(swing=205.0)], [figures(swing=262.0)]), ComparedFigure.AMPLITUDE
    ).change
    assert change.value == pytest.approx(57.0)
    assert change.u == pytest.approx(math.hypot(1.0, 1.0, 57.0 * 2 / 52))


def test_another_lift_angle_is_a_caution_and_what_one_would_give_is_said():
    narrow = figures(swing=250.0, lift_angle_deg=Measured(50.0, 0.0))
    wide = figures(swing=260.0, lift_angle_deg=Measured(52.0, 0.0))
    compared = compare([narrow], [wide])
    (caution,) = compared.cautions
    assert "taken as 50° before and 52° after" in caution
    assert "changed by 0 ±" in caution  # 250° with 50° is 260° with 52°
    assert "lift angle of" not in " ".join(compared.basis)


def test_means_over_positions_keep_what_their_readings_have_in_common():
    """Errors from one common standard add up instead of averaging out (GUM 5.2.2, note 1)."""
    before = [figures(-12.0, where=lying(at)) for at in (Position.CH, Position.FH)]
    after = [figures(-4.0, where=lying(at), recorder="other") for at in (Position.CH, Position.FH)]
    mean = told(compare(before, after), ComparedFigure.RATE, "mean lying: CH, FH")
    assert mean.before.u == pytest.approx(
        math.hypot(2.5, 0.3 / math.sqrt(2), WANDER_S_PER_DAY / 2**0.5)
    )
    same = told(compare(before, before), ComparedFigure.RATE, "mean lying: CH, FH")
    assert same.change.u == pytest.approx(math.hypot(0.3, WANDER_S_PER_DAY))  # 2 x (0.3 / sqrt 2)^2


def test_a_round_is_compared_position_by_position():
    before = [figures(swing=s, where=lying(p)) for p, s in ((Position.CH, 220), (Position.H6, 180))]
    after = [figures(swing=s, where=lying(p)) for p, s in ((Position.H6, 240), (Position.CH, 280))]
    compared = compare(before, [*after, figures(where=lying(Position.H9))])
    places = [d.place for d in compared.differences if d.what is ComparedFigure.AMPLITUDE]
    assert places == ["CH, dial up", "6H, crown left"]
    assert compared.cautions == ("Heard only after, and not compared: 9H, crown down.",)


def test_rounds_without_a_common_position_are_not_compared():
    two = [figures(where=lying(at)) for at in (Position.CH, Position.FH)]
    with pytest.raises(NotEnough, match="no position"):
        compare(two, [figures(where=lying(Position.H3))])


def test_readings_without_a_common_figure_are_not_compared():
    with pytest.raises(NotEnough, match="neither"):
        compare([ReadingFigures(conditions=lying())], [figures()])


def test_the_chronograph_running_is_a_place_of_its_own_and_not_in_the_means():
    where = [lying(), lying(Position.FH), lying(chronograph_on=True)]
    one = [figures(where=each) for each in where]
    places = [d.place for d in compare(one, one).differences if d.what is ComparedFigure.RATE]
    assert places == [
        "CH, dial up", "FH, dial down", "CH, dial up, chronograph running", "mean lying: CH, FH",
    ]  # fmt: skip


def test_another_number_of_beats_is_asked_about():
    compared = compare([figures(beats_per_hour=18000)], [figures(beats_per_hour=21600)])
    assert "the same watch?" in compared.cautions[0]


def test_a_share_larger_than_the_whole_is_refused():
    with pytest.raises(InputError, match="own uncertainty"):
        replace(figures(), rate_alone_u_s_per_day=9.0)


def heard(watch: SimulatedWatch, seed: int) -> ReadingFigures:
    sound = simulate(watch, duration_s=30, recorder=Recorder(clock_ppm=40.0), seed=seed)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    reading = read(listener.hear(), lift_angle_deg=Measured(50.0, 1.0))
    return figures_of(reading, lying(), recorder="a recorder 40 ppm fast")


def test_planted_changes_are_found_within_an_interval_the_clock_is_not_in():
    weak = SimulatedWatch(
        rate_s_per_day=-48, amplitude_deg=205, lift_angle_deg=52, beat_error_ms=1.2
    )
    sound = SimulatedWatch(
        rate_s_per_day=6, amplitude_deg=275, lift_angle_deg=52, beat_error_ms=0.3
    )
    compared = compare([heard(weak, 1)], [heard(sound, 2)])
    rate, error = told(compared, ComparedFigure.RATE), told(compared, ComparedFigure.BEAT_ERROR)
    assert rate.change.holds(54.0)
    assert rate.change.u < 0.5 * rate.before.u
    assert error.change.holds(-0.9)
    # read with 50° instead of 52°, whose error is common: 70° come out as 70 x 50 / 52
    assert told(compared, ComparedFigure.AMPLITUDE).change.holds(70.0)
    assert [d.turn for d in compared.differences] == [Turn.BETTER] * 3


def test_where_nothing_has_changed_one_in_twenty_at_most_is_called_real():
    """Two standard uncertainties are left on 4.6 % of occasions (normal distribution).

    What is printed as no more than its interval is not called real either, which halves it at most.
    """
    random = np.random.default_rng(7)
    clock, lift = random.normal(0, 2.5, 2000), random.normal(0, 2.0, 2000)
    own = random.normal(0, 1, (4, 2000))
    wander = random.normal(0, WANDER_S_PER_DAY / math.sqrt(2), (2, 2000))
    real, beyond = (
        {ComparedFigure.RATE: 0, ComparedFigure.AMPLITUDE: 0},
        {ComparedFigure.RATE: 0, ComparedFigure.AMPLITUDE: 0},
    )
    for k in range(2000):
        pair = [
            figures(
                clock[k] + wander[s, k] + 0.3 * own[s, k], 250 * (1 + lift[k] / 52) + own[2 + s, k]
            )
            for s in (0, 1)
        ]
        for each in compare(pair[:1], pair[1:]).differences[:2]:
            real[each.what] += each.real
            beyond[each.what] += not each.change.holds(0.0)
    for what, count in real.items():
        assert 0.03 < beyond[what] / 2000 < 0.062
        assert beyond[what] / 2 < count <= beyond[what]


def test_what_the_next_laying_changes_is_in_every_change_and_less_in_a_mean():
    places = (Position.CH, Position.FH)
    before = [figures(where=lying(place)) for place in places]
    after = [figures(where=lying(place), rate=2.0, swing=273.0) for place in places]
    widened, heard = compare_watches(before, after), compare(before, after)
    for what, u in (
        (ComparedFigure.RATE, USUAL.rate_s_per_day),
        (ComparedFigure.AMPLITUDE, USUAL.amplitude_deg),
    ):
        one = told(widened, what, "CH, dial up").change.u
        alone = told(heard, what, "CH, dial up").change.u
        assert one == pytest.approx(math.hypot(alone, math.sqrt(2) * u))
        mean = told(widened, what, "mean lying: CH, FH").change.u
        mean_alone = told(heard, what, "mean lying: CH, FH").change.u
        assert mean == pytest.approx(math.hypot(mean_alone, u))
    assert told(widened, ComparedFigure.AMPLITUDE, "CH, dial up").turn is Turn.NONE
    assert any("Laid the same way again" in text for text in widened.basis)
    assert not any("Laid the same way again" in text for text in heard.basis)


# Which ear heard it.


def ear_cautions(before, after) -> list[str]:
    cautions = compare([figures(ear=before)], [figures(ear=after)]).cautions
    return [text for text in cautions if "heard by" in text]


@pytest.mark.parametrize("ears", [(1, 1), (2, 2), (None, None), (None, 2), (1, None)])
def test_nothing_is_said_of_one_ear_or_of_one_that_is_not_known(ears):
    assert ear_cautions(*ears) == []


def test_another_ear_is_said_whichever_was_the_older_one():
    again = "hear both again to compare them."
    assert ear_cautions(1, 2) == [f"Before was heard by an older ear (1) than after (2): {again}"]
    assert ear_cautions(3, 2) == [f"After was heard by an older ear (2) than before (3): {again}"]


def test_it_is_also_said_without_the_word_and_only_then():
    assert compare([figures(ear=1)], [figures(ear=2)]).plain == (OTHER_WAY,)
    assert compare([figures(ear=2)], [figures(ear=2)]).plain == ()


def test_of_rounds_it_is_said_once_and_of_the_positions_compared_only():
    up, down, crown = lying(), lying(Position.FH), lying(Position.H3)
    before = [figures(where=up, ear=1), figures(where=down, ear=1), figures(where=crown, ear=1)]
    after = [figures(where=up, ear=2), figures(where=down, ear=2)]
    said = [text for text in compare(before, after).cautions if "heard by" in text]
    assert len(said) == 1
    after = [figures(where=up, ear=1), figures(where=down, ear=1)]
    assert not [text for text in compare(before, after).cautions if "heard by" in text]


@pytest.mark.parametrize("ears", [([1, 2], [2]), ([2], [1, 2]), ([1, 3], [2])])
def test_several_ears_on_one_side_are_said(ears):
    assert "by several ears" in other_ear(*ears)


def test_what_is_read_now_is_read_by_this_ear():
    listener = Listener(48000)
    listener.feed(simulate(SimulatedWatch(), duration_s=12.0, seed=3).samples)
    heard = figures_of(read(listener.hear()), lying(), recorder="desk")
    assert heard.ear == EAR
