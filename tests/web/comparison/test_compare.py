"""Before and after, through the pages."""

import math
import re
from datetime import date

import numpy as np
import pytest

from sideshake.documents.page import html_page
from sideshake.documents.report import report
from sideshake.timing.compare.compared import OTHER_WAY
from sideshake.timing.turn.fold import WheelTurn
from sideshake.web.base.saving import save
from sideshake.web.comparison.services import choices_of, differences, usual_of, usual_pair
from sideshake.web.documents.report import report_of
from sideshake.web.models import Reading, Round, Visit
from sideshake.web.readings.hearing import kept_turn

LIFT = {"lift_angle": "52 ± 4", "lift_angle_deg": 52.0, "lift_angle_u_deg": 2.0}
CLOCK = {"recorder": "this computer", "clock": "2026-03-01"}


def heard(visit, swing, rate, *, after=False, position="CH", **more) -> Reading:
    given = {"wound": "full", "figures": {**LIFT, **CLOCK}, "beats_per_hour": 18000, **more}
    return Reading.objects.create(
        visit=visit, state="heard", position=position, after=after, sentence="Heard.",
        rate_s_per_day=rate, rate_u_s_per_day=2.5, rate_alone_u_s_per_day=0.2,
        amplitude_deg=swing, amplitude_u_deg=math.hypot(1.0, swing * 2 / 52),
        beat_error_ms=0.9 if not after else 0.2, beat_error_u_ms=0.05, **given,
    )  # fmt: skip


@pytest.fixture
def restored(visit):
    heard(visit, 205.0, -48.0)
    heard(visit, 210.0, -46.0)
    heard(visit, 272.0, 4.0, after=True)
    heard(visit, 240.0, 1.0, after=True, position="12H")
    return visit


def page(client, visit, **asked) -> str:
    answer = client.get(f"/watches/{visit.watch_id}/compare/", asked)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_last_two_heard_alike_are_compared_unasked(client, restored):
    said = page(client, restored)
    # 210° to 272°; common lift angle: 62 x 2 / 52 remains of its share
    assert "It swings 62 ± 8° further than before (CH, dial up)." in said
    assert "It goes 50.0 ± 2.9 s a day faster than before, nearer to true" in said
    assert 'class="caution"' not in said
    assert "Both rates were read by the same sound clock" in said


def test_any_two_can_be_chosen_and_unlike_conditions_are_said(client, restored):
    first, _, _, hanging = Reading.objects.order_by("pk")
    said = page(client, restored, before=f"reading-{first.pk}", after=f"reading-{hanging.pk}")
    assert "50° less hanging than lying" in said
    assert f'value="reading-{first.pk}" selected' in said


def test_readings_of_an_earlier_stay_can_be_chosen(client, restored, owner_of_workshop):
    stay = Visit(
        number="2027-001", watch=restored.watch, arrived_on=date(2027, 3, 2),
        step_since=date(2027, 3, 2),
    )  # fmt: skip
    save(stay, owner_of_workshop)
    last = heard(stay, 230.0, -20.0, position="CH")
    earlier = Reading.objects.get(amplitude_deg=272.0)
    said = page(client, restored, before=f"reading-{earlier.pk}", after=f"reading-{last.pk}")
    assert "2026-001, after the work: CH, dial up, fully wound" in said
    assert "42 ± 7° less far than before" in said


def test_the_picture_has_an_address_of_its_own(client, restored):
    answer = client.get(f"/watches/{restored.watch_id}/compared.svg")
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer.content.startswith(b"<svg")
    assert answer.content == client.get(f"/watches/{restored.watch_id}/compared.svg").content


def turn(late_s):
    """Return a turn as it is kept, whose stems are so long."""
    return kept_turn(
        WheelTurn(
            escape_teeth=15, turns=10, late_s=np.full(30, late_s), u_s=np.full(30, 1e-5),
            beats=np.full(30, 10), scatter_s=3e-5, slow_s=1e-5, wave=(0.0, 0.0), wave_u_s=1e-5,
            in_beat_known=True,
        )
    )  # fmt: skip


def test_two_turns_of_the_escape_wheel_stand_on_one_scale(client, restored):
    address = f"/watches/{restored.watch_id}/rings.svg"
    assert "rings.svg" not in page(client, restored)
    assert client.get(address).status_code == 422
    for reading in Reading.objects.all():
        reading.figures["turn"] = turn(2e-4 if not reading.after else 2e-5)
        reading.save()
    assert "rings.svg" in page(client, restored)
    answer = client.get(address)
    assert answer["Content-Type"] == "image/svg+xml"
    picture = answer.content.decode()
    assert "Lateness before and after, CH, dial up" in picture
    assert picture.count("beat 7 of 30, tick: +0.20") == 1
    assert picture.count("beat 7 of 30, tick: +0.02") == 1
    assert "rings.svg" in [
        each.name for each in report_of(restored, day=date(2026, 3, 9)).proof.pictures
    ]


def test_turns_of_two_wheels_are_not_laid_beside_each_other(client, restored):
    for reading in Reading.objects.all():
        reading.figures["turn"] = turn(1e-4)
        if reading.after:
            reading.figures["turn"]["late_s"] *= 2
        reading.save()
    assert "rings.svg" not in page(client, restored)


def test_a_reading_of_another_watch_cannot_be_chosen(client, restored):
    asked = {"before": "reading-99999", "after": "reading-99998"}
    answer = client.get(f"/watches/{restored.watch_id}/compare/", asked)
    assert answer.status_code == 422
    assert "choose two of those listed" in answer.content.decode()


def test_nothing_to_compare_is_said(client, visit):
    assert "not two readings of this watch yet" in page(client, visit)
    heard(visit, 205.0, -48.0)
    heard(visit, 240.0, 1.0, after=True, position="12H")
    assert "No two readings were heard alike" in page(client, visit)
    assert client.get(f"/watches/{visit.watch_id}/compared.svg").status_code == 422


def test_a_stranger_is_sent_to_the_door(stranger, restored):
    for address in ("compare/", "compared.svg", "rings.svg"):
        answer = stranger.get(f"/watches/{restored.watch_id}/{address}")
        assert answer.status_code == 302
        assert "sign-in" in answer["Location"]


@pytest.fixture
def two_rounds(visit):
    for after, swing, rate in ((False, 205, -48), (True, 275, 4)):
        taken = Round.objects.create(visit=visit, wound="full", after=after)
        for position, less in (("CH", 0), ("FH", 2), ("6H", 30), ("9H", 34)):
            heard(visit, swing - less, rate - less / 2, after=after, position=position, round=taken)
    return visit


def test_rounds_come_before_single_readings(client, two_rounds):
    pair = usual_pair(choices_of(two_rounds.watch))
    assert [len(each.readings) for each in (pair.before, pair.after)] == [4, 4]
    said = page(client, two_rounds)
    assert "mean lying: CH, FH" in said
    assert "mean hanging: 6H, 9H" in said
    assert "2026-001, as it came: round, 4 positions, fully wound" in said


def test_of_rounds_the_visit_says_the_means_and_what_got_worse(two_rounds):
    Reading.objects.filter(after=True, position="9H").update(amplitude_deg=140.0)
    swings = [each for each in differences(usual_of(Reading.objects.all())) if "swings" in each]
    assert len(swings) == 3
    assert "less far than before (9H, crown down)" in swings[0]


def test_the_report_holds_sentences_picture_and_conditions(restored):
    proof = report_of(restored, day=date(2026, 4, 1)).proof
    assert proof.difference[0] == "It swings 62 ± 8° further than before (CH, dial up)."
    assert proof.changes[0].picture.data.startswith(b"<svg")
    assert dict(proof.conditions) == {
        "Heard": "CH (fully wound)",
        "Lift angle used": "52 ± 4°",
        "Rate measured by": "the recorder's clock, checked on 1 March 2026",
    }


def test_comparing_a_watch_asks_few_questions(client, two_rounds, django_assert_max_num_queries):
    with django_assert_max_num_queries(10):
        page(client, two_rounds)


# Before by one ear, after by another.

OLDER = "Before was heard by an older ear (1) than after (2): hear both again to compare them."


@pytest.fixture
def by_two_ears(restored):
    Reading.objects.filter(after=True).update(ear=2, program="0.1.0")
    return restored


def test_another_ear_is_said_on_the_page_with_the_way_to_hear_both_again(client, by_two_ears):
    said = page(client, by_two_ears)
    assert OLDER in said
    assert f'href="/watches/{by_two_ears.watch_id}/hear-again/"' in said
    assert OLDER in client.get(f"/visits/{by_two_ears.number}/").content.decode()


def test_of_one_ear_nothing_is_said(client, restored):
    for ear in (1, 2):
        Reading.objects.update(ear=ear)
        for said in (
            page(client, restored),
            client.get(f"/visits/{restored.number}/").content.decode(),
        ):
            assert "older ear" not in said
            assert "/watches/1/hear-again/" not in said


AGAIN = "before and after by the same ear: hear both again before it is issued"
OTHER_BEATS = "whether it is the same watch before and after: it beat 18000 and 21600 times an hour"
PROGRAM_WORDS = re.compile(
    r"\bears?\b|sound clock|sample clock|version|program|this computer", re.I
)


def told_in_report(visit: Visit) -> tuple[dict[str, str], tuple[str, ...]]:
    made = report_of(Visit.objects.get(pk=visit.pk), day=date(2026, 4, 1))
    return dict(made.proof.conditions), report(made).gaps


def test_the_report_says_it_in_an_owner_s_words_and_asks_the_restorer(by_two_ears):
    told, gaps = told_in_report(by_two_ears)
    assert told["To be noted"] == OTHER_WAY
    assert AGAIN in gaps
    Reading.objects.update(ear=2)
    told, gaps = told_in_report(by_two_ears)
    assert "To be noted" not in told
    assert AGAIN not in gaps


def test_the_report_says_it_also_where_no_pair_is_compared(by_two_ears):
    Reading.objects.filter(after=True).update(position="3H")
    told, gaps = told_in_report(by_two_ears)
    assert told["To be noted"] == OTHER_WAY
    assert AGAIN in gaps
    Reading.objects.update(ear=1)
    told, gaps = told_in_report(by_two_ears)
    assert "To be noted" not in told
    assert AGAIN not in gaps


def test_whether_it_is_the_same_watch_is_asked_of_the_restorer_and_not_of_the_owner(restored):
    Reading.objects.filter(after=False).update(beats_per_hour=18000.0)
    Reading.objects.filter(after=True).update(beats_per_hour=21600.0)
    told, gaps = told_in_report(restored)
    assert told["To be noted"] == "Before it beat 18000 times an hour, after 21600."
    assert OTHER_BEATS in gaps
    Reading.objects.update(beats_per_hour=21600.0)
    told, gaps = told_in_report(restored)
    assert "To be noted" not in told
    assert OTHER_BEATS not in gaps


def test_no_word_of_the_program_stands_on_an_owner_s_report(by_two_ears):
    made = report(report_of(Visit.objects.get(pk=by_two_ears.pk), day=date(2026, 4, 1)))
    words = re.sub(r"<[^>]+>", " ", html_page(made).partition("<body")[2])
    assert "clock, checked on 1 March 2026" in words
    assert not PROGRAM_WORDS.search(words)
    assert PROGRAM_WORDS.search(OLDER)


MIXED = "Not all of this was heard by the same ear (1, 2): hear it again to compare it."


def test_a_round_heard_by_two_ears_says_so(client, two_rounds):
    first = Round.objects.order_by("pk")[0]
    assert MIXED not in client.get(f"/rounds/{first.pk}/").content.decode()
    Reading.objects.filter(round=first, position="9H").update(ear=2)
    said = client.get(f"/rounds/{first.pk}/").content.decode()
    assert MIXED in said
    assert f'href="/visits/{two_rounds.number}/hear-again/"' in said
    other = Round.objects.order_by("pk")[1]
    assert MIXED not in client.get(f"/rounds/{other.pk}/").content.decode()


def test_the_other_wind_by_another_ear_is_said_too(client, two_rounds):
    first, second = Round.objects.order_by("pk")
    Round.objects.filter(pk=second.pk).update(wound="24h", after=False)
    Reading.objects.filter(round=second).update(wound="24h", after=False, ear=2)
    assert MIXED in client.get(f"/rounds/{first.pk}/").content.decode()
