import pytest
from heard_rounds import hear, new_round

from sideshake.core.version import EAR
from sideshake.web.models import Reading
from sideshake.web.readings import listening, listening_session
from sideshake.web.readings.hearing import known_for
from sideshake.web.readings.twins import twin_swing

HERE = {"ear": EAR}


@pytest.fixture
def one_round(visit, colleague):
    return new_round(visit, colleague)


def asked(visit, one_round, position="CH", **more):
    return Reading(visit=visit, round=one_round, position=position, **more)


@pytest.mark.parametrize(("position", "twin"), [("CH", "FH"), ("FH", "CH"), ("3H", "9H")])
def test_a_like_position_of_the_same_round_says_how_far_it_swings(
    visit, colleague, one_round, position, twin
):
    hear(visit, colleague, twin, 4.0, 262.0, round=one_round, **HERE)
    found = twin_swing(asked(visit, one_round, position))
    assert (found.value, found.u) == (262.0, 3.2)


def test_a_hanging_position_says_nothing_of_a_lying_one(visit, colleague, one_round):
    hear(visit, colleague, "6H", 4.0, 231.0, round=one_round, **HERE)
    assert twin_swing(asked(visit, one_round, "CH")) is None


@pytest.mark.parametrize(
    "otherwise",
    [{"ear": EAR - 1}, {"chronograph_on": True}, {"amplitude_deg": None}, {"figures": None}],
    ids=["another ear", "chronograph running", "no amplitude", "settled itself"],
)
def test_what_is_not_like_it_says_nothing(visit, colleague, one_round, otherwise):
    more = {**HERE, **otherwise}
    if "figures" in more:
        more["figures"] = {"swing_settled": True}
    amplitude = more.pop("amplitude_deg", 262.0)
    hear(visit, colleague, "FH", 4.0, amplitude, round=one_round, **more)
    assert twin_swing(asked(visit, one_round)) is None


def test_another_round_says_nothing(visit, colleague, one_round):
    hear(visit, colleague, "FH", 4.0, 262.0, round=new_round(visit, colleague), **HERE)
    hear(visit, colleague, "FH", 4.0, 262.0, **HERE)
    assert twin_swing(asked(visit, one_round)) is None


def test_a_reading_outside_a_round_has_no_twin(visit, colleague):
    hear(visit, colleague, "FH", 4.0, 262.0, **HERE)
    assert twin_swing(asked(visit, None)) is None


def test_while_one_listens_the_twin_s_swing_is_known_as_it_is_at_the_end(
    visit, colleague, one_round
):
    reading = listening.begin(visit, asked(visit, one_round), 48000, colleague)
    assert listening_session.session_of(reading).known.expected_deg is None
    listening_session.SESSIONS.clear()
    hear(visit, colleague, "FH", 4.0, 262.0, round=one_round, **HERE)
    known = listening_session.session_of(reading).known
    assert known.expected_deg.value == 262.0
    assert known == known_for(reading)
