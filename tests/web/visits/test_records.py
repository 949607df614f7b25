"""Owners, watches, visits, look-over, findings, search, as a restorer uses them."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from sideshake.web.base.saving import save
from sideshake.web.models import Change, Finding, LookOver, Owner, Step, Visit, Watch

NEW = {
    "owner-name": "Bartholomew Quill",
    "owner-prefers": "email",
    "owner-email": "quill@example.org",
    "watch-title": "railway pocket watch",
    "watch-calibre": "wendelmoor-43",
    "watch-lume": "none",
    "visit-arrived_on": "2026-11-20",
    "visit-complaint": "Stops every night",
    "visit-declared_value": "1,200.50",
    "visit-return_old_parts": "on",
}


def test_a_new_visit_takes_in_owner_watch_and_parcel_at_once(client):
    answer = client.post("/visits/new/", NEW)
    assert answer.status_code == 302, answer.context["forms"]
    visit = Visit.objects.get()
    assert visit.number == "2026-001"
    assert str(visit.declared_value.normalize()) == "1200.5"
    assert (visit.watch.owner.name, visit.watch.calibre) == ("Bartholomew Quill", "wendelmoor-43")


def test_numbers_of_visits_have_no_gap(client):
    for _ in range(3):
        client.post("/visits/new/", NEW)
    numbers = sorted(Visit.objects.values_list("number", flat=True))
    assert numbers == ["2026-001", "2026-002", "2026-003"]


def test_a_form_keeps_what_was_typed_and_stores_nothing_when_something_is_wrong(client):
    answer = client.post("/visits/new/", {**NEW, "visit-arrived_on": "yesterday"})
    assert answer.status_code == 422
    assert "Stops every night" in answer.content.decode()
    assert not Owner.objects.exists()


def test_a_watch_that_comes_back_shows_its_earlier_visit(client, visit):
    answer = client.post(
        f"/visits/new/?watch={visit.watch.pk}",
        {"visit-arrived_on": "2026-11-20", "visit-complaint": "again"},
    )
    page = client.get(answer.url).content.decode()
    assert "It was here before" in page
    assert visit.number in page
    assert Watch.objects.count() == 1


def test_one_press_brings_a_visit_to_its_next_step(client, visit):
    given = {"step": "looked-over", "on": "2026-03-04", "seen": visit.version}
    assert client.post(f"/visits/{visit.number}/step/", given).status_code == 302
    visit.refresh_from_db()
    assert (visit.step, visit.step_since) == (Step.LOOKED_OVER, date(2026, 3, 4))


def test_going_home_begins_warranty_and_next_service(client, visit):
    given = {"step": "gone-home", "on": "2026-03-31", "seen": visit.version}
    client.post(f"/visits/{visit.number}/step/", given)
    visit.refresh_from_db()
    assert (visit.warranty_until, visit.next_service_on) == (date(2027, 3, 31), date(2030, 3, 31))


def test_a_declined_visit_says_why(client, visit):
    given = {"step": "declined", "on": "2026-03-31", "seen": visit.version, "why": ""}
    answer = client.post(f"/visits/{visit.number}/step/", given)
    assert answer.status_code == 422
    assert "Say why it was declined" in answer.content.decode()
    client.post(f"/visits/{visit.number}/step/", {**given, "why": "too dear"})
    visit.refresh_from_db()
    assert visit.step == Step.DECLINED


def test_the_second_of_two_who_edit_an_arrival_is_told_and_keeps_what_was_typed(client, visit):
    typed = {"arrived_on": "2026-03-02", "complaint": "first", "seen": visit.version}
    assert client.post(f"/visits/{visit.number}/arrival/", typed).status_code == 302
    answer = client.post(f"/visits/{visit.number}/arrival/", {**typed, "complaint": "second"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Stored now: first" in page
    assert ">\nsecond</textarea>" in page
    visit.refresh_from_db()
    assert visit.complaint == "first"


def test_each_answer_of_the_look_over_is_one_press_and_brings_its_finding(client, visit):
    page = client.get(f"/visits/{visit.number}/look-over/")
    question = page.context["now"]
    bad = next(choice for choice in question.answers if choice.finding)
    client.post(
        f"/visits/{visit.number}/look-over/answer/", {"question": question.key, "choice": bad.key}
    )
    assert LookOver.objects.get().said == bad.text
    assert Finding.objects.get().key == bad.finding
    assert client.get(f"/visits/{visit.number}/look-over/").context["now"].key != question.key


def test_an_answer_changed_to_good_takes_its_finding_back(client, visit):
    question = client.get(f"/visits/{visit.number}/look-over/").context["now"]
    bad = next(choice for choice in question.answers if choice.finding)
    for seen, key in enumerate((bad.key, "g")):
        sent = {"question": question.key, "choice": key, "seen": seen}
        client.post(f"/visits/{visit.number}/look-over/answer/", sent)
    assert not Finding.objects.exists()


def test_an_answer_that_is_none_is_refused_in_words(client, visit):
    question = client.get(f"/visits/{visit.number}/look-over/").context["now"]
    answer = client.post(
        f"/visits/{visit.number}/look-over/answer/", {"question": question.key, "choice": "§"}
    )
    assert answer.status_code == 422
    assert "no answer" in answer.content.decode()


def test_weak_points_of_the_calibre_are_asked_first(client, visit):
    assert client.get(f"/visits/{visit.number}/look-over/").context["now"].weak_point


def test_a_suspected_radium_dial_is_cautioned_against_first_of_all(client, visit):
    visit.watch.lume, visit.watch.year_from, visit.watch.year_to = "dead", 1935, 1945
    visit.watch.burn_marks = True
    visit.watch.save()
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert 'class="caution grave"' in page
    assert page.index("adium") < page.index('id="photographs"')


def test_a_usual_finding_is_noted_by_one_press(client, visit):
    usual = client.get(f"/visits/{visit.number}/findings/").context["usual"][0][0]
    client.post(f"/visits/{visit.number}/findings/usual/", {"key": usual.key})
    assert Finding.objects.get().title == usual.title[:160]


def test_a_finding_can_be_written_edited_and_removed(client, visit):
    typed = {"title": "hole gone oval", "severity": "worn"}
    client.post(f"/visits/{visit.number}/findings/new/", typed)
    finding = Finding.objects.get()
    client.post(f"/findings/{finding.pk}/", {**typed, "detail": "0.08 mm", "seen": finding.version})
    finding.refresh_from_db()
    assert finding.detail == "0.08 mm"
    client.post(f"/findings/{finding.pk}/remove/", {"seen": finding.version})
    assert not Finding.objects.exists()


@pytest.mark.parametrize("words", ["hole oval", "OVAL", "ottilie", "tarnbrook"])
def test_search_finds_a_visit_by_any_of_its_words(client, visit, words):
    client.post(f"/visits/{visit.number}/findings/new/", {"title": "Hole oval", "severity": "worn"})
    found = client.get("/search/", {"q": words}).context["found"]
    assert [each.number for each, _ in found] == [visit.number]


def test_search_needs_every_word(client, visit):
    assert not client.get("/search/", {"q": "ottilie nowhere"}).context["found"]


def test_a_number_leads_straight_to_its_visit(client, visit):
    assert client.get("/search/", {"q": visit.number}).url == f"/visits/{visit.number}/"


def test_an_empty_workshop_says_what_to_do(client):
    assert "begin a new visit" in client.get("/").content.decode()


def test_a_late_promise_is_said_in_words(client, visit):
    visit.promised_on = date(2026, 3, 20)
    visit.save()
    assert "late" in client.get("/").content.decode()


def test_history_tells_from_what_to_what(client, visit):
    typed = {"arrived_on": "2026-03-02", "complaint": "stops", "seen": visit.version}
    client.post(f"/visits/{visit.number}/arrival/", typed)
    page = client.get(f"/visits/{visit.number}/history/").content.decode()
    assert "stops" in page
    assert Change.objects.filter(visit=visit).count() == 2


PAGES = [
    "/", "/visits/", "/visits/?order=promised&words=a&step=arrived&year=2026", "/owners/",
    "/due/", "/due/?list=warranty", "/search/?q=ottilie", "/visits/new/",
    "/visits/2026-001/look-over/", "/visits/2026-001/look-over/list/",
    "/visits/2026-001/findings/", "/visits/2026-001/history/",
    "/visits/2026-001/step/", "/visits/2026-001/arrival/", "/visits/2026-001/home/",
]  # fmt: skip


@pytest.mark.parametrize("page", PAGES)
def test_pages_ask_few_questions_and_open_to_no_stranger(
    client, stranger, visit, page, django_assert_max_num_queries
):
    assert stranger.get(page).status_code == 302
    with django_assert_max_num_queries(18):
        assert client.get(page).status_code == 200


def test_pages_of_one_record_open(client, visit):
    owner, watch = visit.watch.owner, visit.watch
    for name, pk in (("owner", owner.pk), ("edit-owner", owner.pk), ("watch", watch.pk),
                     ("edit-watch", watch.pk), ("new-watch", owner.pk)):  # fmt: skip
        assert client.get(reverse(name, args=[pk])).status_code == 200


def answered(client, visit, choice, **more):
    question = client.get(f"/visits/{visit.number}/look-over/").context["rows"][0][0]
    sent = {"question": question.key, "choice": choice, **more}
    return client.post(f"/visits/{visit.number}/look-over/answer/", sent)


def first_question(client, visit):
    return client.get(f"/visits/{visit.number}/look-over/").context["rows"][0][0]


def test_the_second_of_two_who_answer_a_question_is_told(client, apprentice_client, visit):
    assert answered(apprentice_client, visit, "g", seen="0").status_code == 302
    told = answered(client, visit, "n", seen="0")
    assert told.status_code == 409
    assert "the apprentice has changed this" in told.content.decode()
    assert LookOver.objects.get().choice == "g"


def test_a_note_of_an_answer_can_be_taken_away(client, visit):
    answered(client, visit, "g", note="stiff")
    answered(client, visit, "g", note="", seen="1")
    assert LookOver.objects.get().note == ""


def test_the_look_over_can_be_filled_in_as_one_list(client, visit):
    page = client.get(f"/visits/{visit.number}/look-over/list/")
    keys = [row.question.key for row in page.context["rows"]]
    sent = {f"choice-{key}": "g" for key in keys[:5]} | {f"note-{keys[0]}": "smooth"}
    answer = client.post(f"/visits/{visit.number}/look-over/list/", sent)
    assert answer.status_code == 302
    assert set(LookOver.objects.values_list("question", flat=True)) == set(keys[:5])
    assert LookOver.objects.get(question=keys[0]).note == "smooth"


def test_the_list_stores_nothing_and_keeps_the_choices_when_somebody_was_quicker(
    client, apprentice_client, visit
):
    first = first_question(client, visit)
    answered(apprentice_client, visit, "g")
    sent = {f"choice-{first.key}": "n", f"seen-{first.key}": "0", f"note-{first.key}": "later"}
    told = client.post(f"/visits/{visit.number}/look-over/list/", sent)
    page = told.content.decode()
    assert told.status_code == 409
    assert "Stored now: Good" in page
    assert 'value="later"' in page
    assert LookOver.objects.get().choice == "g"
    again = {**sent, f"seen-{first.key}": "1"}
    assert client.post(f"/visits/{visit.number}/look-over/list/", again).status_code == 302
    assert LookOver.objects.get().choice == "n"


def test_a_finding_that_was_written_on_stays_when_its_answer_changes(client, visit):
    question = first_question(client, visit)
    bad = next(choice for choice in question.answers if choice.finding)
    answered(client, visit, bad.key)
    finding = Finding.objects.get()
    typed = {"title": finding.title, "severity": "worn", "detail": "0.1 mm", "seen": "1"}
    client.post(f"/findings/{finding.pk}/", typed)
    answered(client, visit, "g", seen="1")
    assert Finding.objects.get().detail == "0.1 mm"


def test_a_finding_is_put_right_by_one_press_and_back(client, visit):
    client.post(f"/visits/{visit.number}/findings/new/", {"title": "Hole oval", "severity": "worn"})
    finding = Finding.objects.get()
    for said, mended in (("yes", True), ("no", False)):
        finding.refresh_from_db()
        sent = {"mended": said, "seen": finding.version}
        client.post(f"/findings/{finding.pk}/put-right/", sent)
        assert Finding.objects.get().mended is mended


def test_a_watch_that_did_not_go_home_after_all_has_no_warranty_yet(client, visit):
    for step, on in (("gone-home", "2026-03-31"), ("on-test", "2026-04-01")):
        client.post(f"/visits/{visit.number}/step/", {"step": step, "on": on})
    visit.refresh_from_db()
    assert (visit.gone_home_on, visit.warranty_until, visit.next_service_on) == (None, None, None)
    client.post(f"/visits/{visit.number}/step/", {"step": "gone-home", "on": "2026-05-01"})
    visit.refresh_from_db()
    assert (visit.gone_home_on, visit.warranty_until) == (date(2026, 5, 1), date(2027, 5, 1))


def test_a_warranty_set_by_hand_stays_when_the_watch_comes_back_to_the_bench(client, visit):
    client.post(f"/visits/{visit.number}/step/", {"step": "gone-home", "on": "2026-03-31"})
    Visit.objects.update(warranty_until=date(2029, 1, 1))
    client.post(f"/visits/{visit.number}/step/", {"step": "on-test", "on": "2026-04-01"})
    visit.refresh_from_db()
    assert visit.warranty_until == date(2029, 1, 1)


def test_a_wrong_step_keeps_what_was_typed(client, visit):
    sent = {"step": "declined", "on": "2026-03-01", "seen": visit.version, "why": "too dear"}
    answer = client.post(f"/visits/{visit.number}/step/", sent)
    assert answer.status_code == 422
    assert "before the watch arrived" in answer.content.decode()
    assert ">\ntoo dear</textarea>" in answer.content.decode()


def test_a_service_is_due_only_after_the_watchs_last_visit(client, visit, owner_of_workshop):
    Visit.objects.update(next_service_on=date(2026, 1, 1))
    assert [row.pk for row in client.get("/due/").context["page"]] == [visit.pk]
    later = Visit(number="2026-002", watch=visit.watch, arrived_on=date(2026, 6, 1))
    later.step_since = later.arrived_on
    later.save()
    assert not client.get("/due/").context["page"].object_list


def test_today_can_show_one_step_only(client, visit):
    assert client.get("/?step=arrived").context["count"] == 1
    page = client.get("/?step=ready")
    assert page.context["count"] == 0
    assert "No watch is at this step" in page.content.decode()


def test_an_ending_warranty_is_told_today(client, visit):
    Visit.objects.update(step=Step.GONE_HOME, warranty_until=timezone.localdate())
    Visit.objects.create(
        number="2026-009", watch=visit.watch, arrived_on=date(2026, 6, 1),
        step_since=date(2026, 6, 1),
    )  # fmt: skip
    assert "Warranties that end" in client.get("/").content.decode()


def test_history_tells_of_watch_and_owner_too_and_names_fields_in_words(client, visit):
    client.post(f"/owners/{visit.watch.owner_id}/edit/", {"name": "O. Marwood", "prefers": "email"})
    page = client.get(f"/visits/{visit.number}/history/").content.decode()
    assert "O. Marwood" in page
    assert "what is wrong, in the owner" not in page
    typed = {"arrived_on": "2026-03-02", "complaint": "stops", "seen": visit.version}
    client.post(f"/visits/{visit.number}/arrival/", typed)
    page = client.get(f"/visits/{visit.number}/history/").content.decode()
    assert "<dt>what is wrong, in the owner" in page


def test_an_apprentice_reads_no_price_in_the_history_and_sets_no_limit(
    client, apprentice_client, visit
):
    typed = {"arrived_on": "2026-03-02", "budget_limit": "4321", "seen": visit.version}
    client.post(f"/visits/{visit.number}/arrival/", typed)
    Change.objects.create(visit=visit, kind="payment", row=1, what="added payment: 777 EUR")
    address = f"/visits/{visit.number}/history/"
    read, hidden = client.get(address).content.decode(), apprentice_client.get(address)
    assert "4321" in read
    assert "777" in read
    assert "4321" not in hidden.content.decode()
    assert "777" not in hidden.content.decode()
    form = apprentice_client.get(f"/visits/{visit.number}/arrival/").context["form"]
    assert "budget_limit" not in form.fields
    visit.refresh_from_db()
    again = {"arrived_on": "2026-03-02", "complaint": "stops", "seen": visit.version}
    apprentice_client.post(f"/visits/{visit.number}/arrival/", again)
    visit.refresh_from_db()
    assert (visit.complaint, visit.budget_limit) == ("stops", 4321)


def test_search_marks_the_words_and_finds_owners_who_never_came(client, visit, owner_of_workshop):
    save(Owner(name="Ottilie Nevercame"), owner_of_workshop)
    page = client.get("/search/", {"q": "ottilie"})
    assert "<mark>ottilie</mark>" in page.content.decode()
    assert [owner.name for owner in page.context["owners"]] == ["Ottilie Nevercame"]
    assert [
        owner.name for owner in client.get("/search/", {"q": "nevercame otti"}).context["owners"]
    ] == ["Ottilie Nevercame"]
