"""How a round comes to be: its plan, what is usual, what follows when it is changed."""

from datetime import timedelta

import pytest
from django.utils import timezone
from heard_rounds import SIX, SPOT, hear, heard_round, new_round

from sideshake.core.errors import InputError
from sideshake.web.base.saving import EditConflict
from sideshake.web.models import Round, Step
from sideshake.web.rounds.services import (
    PRESETS,
    may_have_chronograph,
    plan_of,
    save_round,
    take_out,
    usual_round,
)


def steps(plan):
    return [f"{each['position']}{'+' if each['chronograph_on'] else ''}" for each in plan]


def test_a_plan_is_in_the_order_of_the_positions_with_the_running_ones_last():
    assert steps(plan_of(["9H", "CH"], ["CH"])) == ["CH", "9H", "CH+"]


def test_the_presets_are_what_their_names_say():
    assert {each.key: steps(each.plan) for each in PRESETS} == {
        "six": list(SIX),
        "five": ["CH", "FH", "3H", "6H", "9H"],
        "lying": ["CH", "FH"],
        "chronograph": ["CH", "CH+"],
    }


def test_a_first_round_is_of_all_positions_and_of_a_known_chronograph_running(visit):
    assert steps(usual_round(visit).plan) == [*SIX, "CH+"]
    visit.watch.calibre = ""
    assert steps(usual_round(visit).plan) == list(SIX)
    assert may_have_chronograph(visit)  # for nothing is known of it
    visit.watch.calibre = "brisenthal-28"
    assert not may_have_chronograph(visit)


def test_the_defaults_are_those_of_common_practice(visit):
    """Rest of 10 to 30 s after turning, about a minute for each (trade-facts 3.5.13, common)."""
    found = usual_round(visit)
    assert 10 <= found.rest_s <= 30
    assert found.least_s <= 60 <= found.most_s


def test_the_next_round_is_like_the_last_one_of_the_visit(visit, colleague):
    new_round(visit, colleague, plan=plan_of(["CH"], []), rest_s=20, lift_angle_deg=52.0)
    found = usual_round(visit)
    assert (steps(found.plan), found.rest_s, found.lift_angle_deg) == (["CH"], 20, 52.0)
    assert (found.wound, found.after, found.pk) == ("full", False, None)


@pytest.mark.parametrize(("hours", "wound"), [(1, "full"), (24, "24h"), (49, "full")])
def test_a_day_after_a_full_round_the_other_wind_is_offered(visit, colleague, hours, wound):
    Round.objects.filter(pk=new_round(visit, colleague).pk).update(
        begun_at=timezone.now() - timedelta(hours=hours)
    )
    assert usual_round(visit).wound == wound


@pytest.mark.parametrize(
    ("step", "after"), [(Step.ON_THE_BENCH, False), (Step.ON_TEST, True), (Step.READY, True)]
)
def test_on_test_a_round_is_after_the_work(visit, step, after):
    visit.step = step
    assert usual_round(visit).after is after


def test_the_readings_of_a_round_follow_its_wind(visit, colleague):
    found = heard_round(visit, colleague, SPOT)
    alone = hear(visit, colleague, "CH", 1, 280)
    found.wound, found.after = "24h", True
    save_round(found, colleague)
    assert {(r.wound, r.after, r.version) for r in found.readings.all()} == {("24h", True, 2)}
    alone.refresh_from_db()
    assert (alone.wound, alone.after, alone.version) == ("full", False, 1)


def test_a_note_alone_leaves_the_readings_as_they_are(visit, colleague):
    found = heard_round(visit, colleague, SPOT)
    found.note = "cold morning"
    save_round(found, colleague)
    assert {r.version for r in found.readings.all()} == {1}


def test_the_second_of_two_people_changes_no_reading(visit, colleague):
    found = heard_round(visit, colleague, SPOT)
    stale = Round.objects.get(pk=found.pk)
    found.note = "first"
    save_round(found, colleague)
    stale.wound = "24h"
    with pytest.raises(EditConflict):
        save_round(stale, colleague)
    assert {r.wound for r in found.readings.all()} == {"full"}


def test_a_reading_taken_out_stays_at_the_visit(visit, colleague):
    found = heard_round(visit, colleague, SPOT)
    reading = found.readings.first()
    assert take_out(reading, colleague).what.startswith("taken out of its round")
    reading.refresh_from_db()
    assert (reading.round, reading.visit) == (None, visit)
    with pytest.raises(InputError, match="in no round"):
        take_out(reading, colleague)


def test_what_is_still_listened_to_cannot_be_taken_out(visit, colleague):
    reading = hear(visit, colleague, "CH", 1, 280, state="live", round=new_round(visit, colleague))
    with pytest.raises(InputError, match="finish that first"):
        take_out(reading, colleague)
