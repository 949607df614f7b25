"""Rounds at the bench: begun by one press, read, corrected, compared with the other wind."""

import math
import re
from pathlib import Path

import pytest
from heard_rounds import SPOT, SPOT_24H, hear, heard_round, new_round
from scipy.special import j1

from sideshake.web.models import Reading, Round

QUERIES = 15
USUAL = {
    "wound": "full", "rest_s": "15", "least_s": "30", "most_s": "120",
    "wanted_rate_s_per_day": "0,5", "wanted_amplitude_deg": "3",
}  # fmt: skip


def begin(client, visit, **given):
    return client.post(f"/visits/{visit.number}/rounds/new/", {**USUAL, **given})


def page_of(client, found):
    return client.get(f"/rounds/{found.pk}/").content.decode()


def steps(found):
    return [f"{each['position']}{'+' if each['chronograph_on'] else ''}" for each in found.plan]


def test_what_the_page_ticks_begins_the_usual_round(client, visit):
    page = client.get(f"/visits/{visit.number}/rounds/new/").content.decode()
    assert page.count(" checked") == 7  # six positions, and dial up with the chronograph running
    assert "data-pedal" in page
    answer = begin(client, visit, off=["CH", "FH", "3H", "6H", "9H", "12H"], running=["CH"])
    found = Round.objects.get()
    assert answer.url == f"/rounds/{found.pk}/listen/"
    assert steps(found) == ["CH", "FH", "3H", "6H", "9H", "12H", "CH+"]
    assert (found.wanted_rate_s_per_day, found.wanted_amplitude_deg) == (0.5, 3.0)


def test_a_preset_begins_at_once_whatever_is_ticked(client, visit):
    begin(client, visit, off=["CH"], preset="five")
    assert steps(Round.objects.get()) == ["CH", "FH", "3H", "6H", "9H"]


def test_a_made_up_preset_or_position_is_none(client, visit):
    begin(client, visit, off=["CH", "13H"], preset="wonderful")
    assert steps(Round.objects.get()) == ["CH"]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "Tick at least one position"),
        ({"off": ["CH"], "least_s": "90", "most_s": "60"}, "longest time is not below"),
        ({"off": ["CH"], "most_s": "99999"}, "5 to 3600 seconds are allowed"),
        ({"off": ["CH"], "wanted_rate_s_per_day": "0"}, "above 0"),
        ({"off": ["CH"], "wanted_amplitude_deg": "much"}, "is no number"),
        ({"off": ["CH"], "lift_angle_deg": "5"}, "between 10 and 90"),
        ({"off": ["CH"], "wound": "often"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_begins_nothing_and_stays_in_the_form(client, visit, given, words):
    answer = begin(client, visit, note="kept", **given)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page
    assert 'value="kept"' in page
    assert page.count(" checked") == len(given.get("off", ()))
    assert not Round.objects.exists()


def test_a_watch_without_chronograph_is_not_asked_about_one(client, visit):
    visit.watch.calibre = "brisenthal-28"
    visit.watch.save()
    page = client.get(f"/visits/{visit.number}/rounds/new/").content.decode()
    assert 'name="running"' not in page
    assert 'value="chronograph"' not in page


def test_a_round_begun_but_not_heard_says_so(client, visit, colleague):
    page = page_of(client, new_round(visit, colleague))
    assert "Nothing heard yet in this round." in page
    assert "Listen to the 6 positions left" in page
    assert "Likely causes" not in page


def test_a_round_partly_heard_says_what_it_can_and_what_is_missing(client, visit, colleague):
    found = new_round(visit, colleague)
    hear(visit, colleague, "CH", 4, 280, round=found)
    hear(visit, colleague, "FH", None, None, round=found, state="no-reading", no_reading="quiet")
    hear(visit, colleague, "3H", None, None, round=found, state="live")
    page = page_of(client, found)
    assert "Lying +4.0 ± 2.2 s a day (CH)." in page
    assert "no reading: quiet" in page
    assert "being listened to" in page
    assert "not heard yet" in page
    assert "Listen to the 5 positions left" in page
    assert "not heard: 3H, 6H, 9H, 12H" in page
    assert "Not asked, for the positions needed were not heard" in page


def test_a_whole_round_says_sentences_causes_and_the_heavy_spot(client, visit, colleague):
    """docs/poise.md: the spot lies at 3 o'clock and is lowest with the crown down."""
    found = heard_round(visit, colleague, SPOT, running={"CH": (3, 236)})
    page = page_of(client, found)
    assert "Hanging minus lying" in page
    assert "Amplitude lost with the chronograph on 40" in page
    assert "the balance may be out of poise" in page
    assert "(about 3 o&#x27;clock)" in page
    assert "Where to take weight" in page
    assert "what is taken cannot be put back" in page
    assert "Read fully wound 30 to 90 minutes after winding" in page


def test_the_heavy_spot_is_weighed_where_the_sheet_knows_the_balance(client, visit, colleague):
    """Trade-facts 4.2.1 by hand: 86400 (m g a / k) J1(θ)/θ with 14 mg·cm² at 18000 and 262.5°
    makes 29.5 s a day of 21.9 µg·cm."""
    page = page_of(client, heard_round(visit, colleague, SPOT))
    (weighed,) = re.findall(r"The unbalance is ([0-9.]+) ± [0-9.]+ µg·cm", page)
    k, theta = 14e-10 * (2 * math.pi * 2.5) ** 2, math.radians(262.5)
    made = 86400 * float(weighed) * 1e-11 * 9.80665 / k * j1(theta) / theta
    assert abs(made) == pytest.approx(29.5, abs=1.0)


def test_without_a_sheet_the_spot_is_not_weighed(client, visit, colleague):
    visit.watch.calibre = ""
    visit.watch.save()
    page = page_of(client, heard_round(visit, colleague, SPOT))
    assert "Where to take weight" in page
    assert "The unbalance is" not in page


def test_sentences_allow_for_the_next_laying_and_the_table_does_not(client, visit, colleague):
    """Own u 0.3 and the clock's 0.4: ± 0.6 in the table; with 1 for the next laying
    2 sqrt(0.3² + 1 + 0.4²) = 2.2 in the sentence."""
    page = page_of(client, heard_round(visit, colleague, {"CH": (4, 280)}))
    assert "Lying +4.0 ± 2.2 s a day (CH)." in page
    assert ">+4.0 ± 0.6<" in page
    assert "comes back within about ± 2.0 s a day and ± 4°" in page
    assert "moves all of them alike within ± 0.8 s a day" in page


def test_the_chronograph_s_verdict_is_the_same_wherever_it_is_said(client, visit, colleague):
    """30° is the sheet's limit; 28 ± 6 is near it for a watch laid anew, however well heard."""
    found = heard_round(visit, colleague, {"CH": (4, 280)}, running={"CH": (3, 252)})
    page = page_of(client, found)
    assert "(at most 30°): near the limit" in page
    assert "Too near to its limit to tell: amplitude lost with the chronograph on 28" in page


def test_the_other_wind_proves_the_spot_and_tells_what_a_day_does(client, visit, colleague):
    full = heard_round(visit, colleague, SPOT)
    heard_round(visit, colleague, SPOT_24H, wound="24h", after=True)
    assert "From full wind to 24 h" not in page_of(client, full)  # the other is after the work
    day = heard_round(visit, colleague, SPOT_24H, wound="24h")
    for found in (full, day):
        page = page_of(client, found)
        assert "and, turned round," in page
        assert "From full wind to 24 h" in page
        assert "the amplitude falls by" in page


def test_the_round_after_the_work_leads_to_what_has_changed(client, visit, colleague):
    before = heard_round(visit, colleague, SPOT)
    heard_round(visit, colleague, SPOT_24H, wound="24h", after=True)
    assert "Before and after" not in page_of(client, before)
    after = heard_round(visit, colleague, SPOT, after=True)
    address = f"/watches/{visit.watch_id}/compare/?before=round-{before.pk}&after=round-{after.pk}"
    for found in (before, after):
        assert address.replace("&", "&amp;") in page_of(client, found)
    assert client.get(address).status_code == 200


def test_two_winds_without_a_common_position_say_so(client, visit, colleague):
    full = heard_round(visit, colleague, {"CH": (1, 280)})
    heard_round(visit, colleague, {"6H": (1, 220)}, wound="24h")
    assert "No position was heard both fully wound and after 24 h." in page_of(client, full)


def test_a_reading_without_a_position_is_shown_and_does_not_count(client, visit, colleague):
    found = heard_round(visit, colleague, {"CH": (1, 280)})
    hear(visit, colleague, "", 99, 280, round=found)
    page = page_of(client, found)
    assert "No position is noted, so it does not count." in page
    assert "not in the plan" in page
    assert "Lying +1.0" in page


def test_a_reading_is_taken_out_by_one_press(client, visit, colleague):
    found = heard_round(visit, colleague, {"CH": (1, 280), "FH": (9, 280)})
    reading = found.readings.get(position="FH")
    answer = client.post(f"/readings/{reading.pk}/leave-round/", {"seen": reading.version})
    assert answer.url == f"/rounds/{found.pk}/"
    assert "Lying +1.0 ± 2.2 s a day (CH)." in page_of(client, found)
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "Gains 9 s a day." in page


def test_a_round_is_edited_and_its_readings_with_it(client, visit, colleague):
    found = heard_round(visit, colleague, {"CH": (1, 280)})
    sent = {"wound": "24h", "after": "on", "note": "cold", "seen": found.version}
    assert client.post(f"/rounds/{found.pk}/edit/", sent).status_code == 302
    page = page_of(client, found)
    assert "24 hours after full wind, after the work" in page
    assert Reading.objects.get().wound == "24h"


def test_a_removed_round_leaves_its_readings(client, visit, colleague):
    found = heard_round(visit, colleague, {"CH": (1, 280)})
    client.post(f"/rounds/{found.pk}/remove/", {"seen": found.version})
    assert not Round.objects.exists()
    assert Reading.objects.get().round is None
    assert "Gains 1 s a day." in client.get(f"/visits/{visit.number}/").content.decode()


def test_the_visit_says_each_round_in_a_sentence_and_what_is_left(client, visit, colleague):
    heard_round(visit, colleague, SPOT)
    found = new_round(visit, colleague, after=True)
    hear(visit, colleague, "CH", None, None, round=found, state="live")
    hear(visit, colleague, "6H", None, None, state="live")
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "Mean rate +2.7 ± 1.2 s a day in 6 positions" in page  # 16 / 6 = 2.67
    assert "6 positions left" in page
    assert "Being listened to." in page
    assert "being listened to" in page


def test_a_reading_being_listened_to_is_called_so_on_its_page(client, visit, colleague):
    reading = hear(visit, colleague, "CH", None, None, state="live")
    page = client.get(f"/readings/{reading.pk}/").content.decode()
    assert "Being listened to." in page
    assert "No reading:" not in page


@pytest.mark.parametrize(("drawn", "words"), [("positions", "dial up"), ("spot", "heavy spot")])
def test_both_pictures_of_a_round_are_drawn(client, visit, colleague, drawn, words):
    found = heard_round(visit, colleague, SPOT, running={"CH": (3, 236)})
    answer = client.get(f"/rounds/{found.pk}/{drawn}.svg")
    assert (answer.status_code, answer.headers["Content-Type"]) == (200, "image/svg+xml")
    assert words in answer.content.decode()


def test_a_picture_is_drawn_anew_only_when_the_figures_are_others(client, visit, colleague, data):
    found = heard_round(visit, colleague, {"CH": (1, 280)})
    folder = Path(data) / "files" / "reading-pictures"
    for _time in range(2):
        client.get(f"/rounds/{found.pk}/positions.svg")
    assert len(list(folder.glob("round-*.svg"))) == 1
    hear(visit, colleague, "FH", 2, 281, round=found)
    client.get(f"/rounds/{found.pk}/positions.svg")
    assert len(list(folder.glob("round-*.svg"))) == 2


@pytest.mark.parametrize("drawn", ["positions", "spot", "portrait"])
def test_what_cannot_be_drawn_is_told(client, visit, colleague, drawn):
    answer = client.get(f"/rounds/{new_round(visit, colleague).pk}/{drawn}.svg")
    assert answer.status_code == 422


def test_an_apprentice_may_do_all_of_it_and_a_stranger_nothing(
    apprentice_client, stranger, visit, colleague
):
    found = heard_round(visit, colleague, SPOT)
    assert "Take out" in page_of(apprentice_client, found)
    assert begin(apprentice_client, visit, off=["CH"]).status_code == 302
    for address in (f"/rounds/{found.pk}/", f"/visits/{visit.number}/rounds/new/"):
        assert stranger.get(address).url.startswith("/sign-in/")


def test_a_round_and_its_visit_ask_the_database_few_questions(
    client, visit, colleague, django_assert_max_num_queries
):
    found = heard_round(visit, colleague, SPOT, running={"CH": (3, 236)})
    heard_round(visit, colleague, SPOT_24H, wound="24h")
    heard_round(visit, colleague, SPOT, after=True)
    for address in (f"/rounds/{found.pk}/", f"/visits/{visit.number}/rounds/new/"):
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200
    with django_assert_max_num_queries(QUERIES + 1):
        assert client.get(f"/visits/{visit.number}/").status_code == 200
