"""The bench plan, as a restorer uses it."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from sideshake.movement.sheet_file import shipped_sheet
from sideshake.web.base.saving import save
from sideshake.web.bench_plan.services import LONGEST_TIMED
from sideshake.web.models import Change, Option, PlanStep, Proposal, Step, the_workshop
from sideshake.workshop_rules.plan import bench_steps
from sideshake.workshop_rules.suggest import overhaul_option

QUERIES, QUERIES_OF_A_VISIT = 15, 17


def agree(visit, by, *keys, edition=1):
    proposal = Proposal(
        visit=visit, edition=edition, currency="EUR", made_on=date(2026, 3, 3), state="agreed"
    )
    save(proposal, by)
    for place, key in enumerate(keys):
        title = f"to do: {key}"
        option = Option(proposal=proposal, place=place, key=key, title=title, chosen=True)
        save(option, by)
    refused = Option(proposal=proposal, place=9, key="crystal", title="new glass", chosen=False)
    save(refused, by)
    return proposal


@pytest.fixture
def agreed(visit, colleague):
    agree(visit, colleague, "overhaul", "mainspring")
    return visit


@pytest.fixture
def planned(client, agreed):
    client.post(f"/visits/{agreed.number}/plan/make/", {"begin": "1"})
    return agreed


def work(visit):
    return list(visit.plan.filter(kind="work"))


def press(client, step, what, **given):
    step.refresh_from_db()
    return client.post(f"/plan/{step.pk}/{what}/", {"seen": step.version, **given})


def test_the_plan_has_the_trade_s_steps_for_calibre_and_agreement_in_their_order(planned):
    sheet = shipped_sheet("tarnbrook-31")
    trade = [step.key for step in bench_steps(sheet, (overhaul_option((), sheet),))]
    keys = [step.key for step in work(planned)]
    assert [key for key in keys if not key.startswith("option-")] == trade
    assert [key for key in keys if key.startswith("option-")] == ["option-mainspring"]
    assert keys.index("let-down") < keys.index("option-mainspring") < keys.index("assemble")


def test_the_steps_carry_how_caution_and_planned_minutes(client, planned):
    let_down = planned.plan.get(key="let-down")
    assert "Hold the click back" in let_down.how
    assert let_down.caution
    assert let_down.planned_minutes == 4  # the middle of 2 to 5, a half counted up
    assert (
        "with a pressure test" not in client.get(f"/visits/{planned.number}/plan/").content.decode()
    )


def test_making_the_plan_puts_the_visit_on_the_bench_when_asked(planned):
    planned.refresh_from_db()
    assert planned.step == Step.ON_THE_BENCH


def test_making_the_plan_leaves_the_step_of_the_visit_when_not_asked(client, agreed):
    client.post(f"/visits/{agreed.number}/plan/make/")
    agreed.refresh_from_db()
    assert agreed.step == Step.ARRIVED


def test_an_unknown_calibre_gets_every_mechanism(client, agreed, colleague):
    agreed.watch.calibre = ""
    save(agreed.watch, colleague)
    client.post(f"/visits/{agreed.number}/plan/make/")
    keys = {step.key for step in work(agreed)}
    trade = {step.key for step in bench_steps(None, (overhaul_option((), None),))}
    assert trade <= keys
    assert "automatic-off" in keys


def test_a_pressure_test_is_planned_only_when_agreed(client, agreed):
    client.post(f"/visits/{agreed.number}/plan/make/")
    assert not agreed.plan.filter(key="pressure-test").exists()
    client.post(f"/visits/{agreed.number}/plan/make/", {"pressure_test": "1"})
    assert agreed.plan.filter(key="pressure-test").exists()


def test_without_an_agreement_there_is_no_plan_and_the_page_says_what_to_do(client, visit):
    answer = client.post(f"/visits/{visit.number}/plan/make/")
    assert answer.status_code == 422
    assert "nothing is agreed yet" in answer.content.decode()
    assert (
        "answer to the proposal first"
        in client.get(f"/visits/{visit.number}/plan/").content.decode()
    )


def test_making_the_plan_twice_adds_nothing(client, planned):
    before = [(step.pk, step.place) for step in work(planned)]
    client.post(f"/visits/{planned.number}/plan/make/")
    assert [(step.pk, step.place) for step in work(planned)] == before


def test_a_changed_agreement_adds_its_steps_and_keeps_what_is_ticked(client, planned, colleague):
    spring = planned.plan.get(key="option-mainspring")
    press(client, spring, "done")
    agree(planned, colleague, "overhaul", "crown", edition=2)
    page = client.get(f"/visits/{planned.number}/plan/").content.decode()
    assert "The plan differs from what is agreed now" in page
    client.post(f"/visits/{planned.number}/plan/make/")
    keys = [step.key for step in work(planned)]
    assert "option-mainspring" in keys
    assert keys.index("let-down") < keys.index("option-crown") < keys.index("assemble")
    assert len(set(keys)) == len(keys)
    assert "differs" not in client.get(f"/visits/{planned.number}/plan/").content.decode()


def test_a_changed_agreement_takes_out_what_nobody_has_begun(client, planned, colleague):
    agree(planned, colleague, "overhaul", edition=2)
    client.post(f"/visits/{planned.number}/plan/make/")
    assert not planned.plan.filter(key="option-mainspring").exists()


def test_a_step_written_without_its_how_is_shown_with_the_trade_s(client, planned):
    planned.plan.filter(key="as-found-reading").update(how="", caution="")
    page = client.get(f"/visits/{planned.number}/plan/").content.decode()
    assert "wind it fully, wait half an hour" in page


def test_one_press_ticks_the_next_step_and_tells_who_and_when(client, planned, owner_of_workshop):
    first = work(planned)[0]
    assert (
        f'action="/plan/{first.pk}/done/"'
        in client.get(f"/visits/{planned.number}/plan/").content.decode()
    )
    assert press(client, first, "done").status_code == 302
    first.refresh_from_db()
    assert first.done_by == owner_of_workshop
    assert abs(first.done_at - timezone.now()) < timedelta(minutes=1)
    assert client.get(f"/visits/{planned.number}/plan/").context["next"] == work(planned)[1]


def test_a_tick_can_be_taken_away(client, planned):
    first = work(planned)[0]
    press(client, first, "done")
    press(client, first, "done")
    first.refresh_from_db()
    assert (first.done_at, first.done_by) == (None, None)


def test_the_second_of_two_who_tick_is_told_and_changes_nothing(client, planned):
    first = work(planned)[0]
    old = first.version
    press(client, first, "done")
    answer = client.post(f"/plan/{first.pk}/done/", {"seen": old})
    assert answer.status_code == 409
    first.refresh_from_db()
    assert first.done_at


def run_for(step, **how_long):
    PlanStep.objects.filter(pk=step.pk).update(started_at=timezone.now() - timedelta(**how_long))


def test_the_clock_adds_the_minutes_begun(client, planned):
    first = work(planned)[0]
    press(client, first, "clock")
    run_for(first, minutes=12, seconds=20)
    press(client, first, "clock")
    first.refresh_from_db()
    assert (first.minutes, first.started_at) == (13, None)
    press(client, first, "clock")
    run_for(first, minutes=2, seconds=30)
    press(client, first, "done")
    first.refresh_from_db()
    assert (first.minutes, first.started_at) == (16, None)


def test_only_one_clock_of_a_visit_runs(client, planned):
    first, second = work(planned)[:2]
    press(client, first, "clock")
    run_for(first, minutes=3, seconds=5)
    press(client, second, "clock")
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.minutes, first.started_at) == (4, None)
    assert second.started_at


def test_a_forgotten_clock_is_not_counted_until_its_minutes_are_typed(client, planned):
    first = work(planned)[0]
    press(client, first, "clock")
    run_for(first, seconds=LONGEST_TIMED.total_seconds() + 60)
    answer = press(client, first, "clock")
    assert answer.status_code == 422
    assert "forgotten" in answer.content.decode()
    first.refresh_from_db()
    typed = {"title": first.title, "minutes": "35", "note": "", "seen": first.version}
    assert client.post(f"/plan/{first.pk}/", typed).status_code == 302
    first.refresh_from_db()
    assert (first.minutes, first.started_at) == (35, None)


def test_minutes_and_a_note_are_typed_and_a_wrong_number_keeps_what_was_typed(client, planned):
    first = work(planned)[0]
    typed = {"title": first.title, "minutes": "-4", "note": "screw broken", "seen": first.version}
    answer = client.post(f"/plan/{first.pk}/", typed)
    assert answer.status_code == 422
    assert "screw broken" in answer.content.decode()
    client.post(f"/plan/{first.pk}/", {**typed, "minutes": "25"})
    first.refresh_from_db()
    assert (first.minutes, first.note) == (25, "screw broken")
    assert client.get(f"/visits/{planned.number}/plan/").context["spent"] == 25


def test_a_step_is_left_out_only_with_a_reason_and_then_is_not_planned_time(client, planned):
    step = planned.plan.get(key="clean")
    planned_before = client.get(f"/visits/{planned.number}/plan/").context["planned"]
    assert press(client, step, "skip", reason=" ").status_code == 422
    assert press(client, step, "skip", reason="cleaned last month").status_code == 302
    step.refresh_from_db()
    assert (step.result, step.note) == ("skip", "cleaned last month")
    after = client.get(f"/visits/{planned.number}/plan/").context["planned"]
    assert planned_before - after == step.planned_minutes


def test_a_step_moves_and_the_rest_keep_their_order(client, planned):
    first, second, third = work(planned)[:3]
    client.post(f"/plan/{second.pk}/shift/", {"way": "up"})
    assert work(planned)[:3] == [second, first, third]
    client.post(f"/plan/{second.pk}/shift/", {"way": "up"})
    client.post(f"/plan/{second.pk}/shift/", {"way": "down"})
    assert work(planned)[:3] == [first, second, third]


def test_own_steps_come_last_also_without_a_plan(client, visit):
    for title in ("wait for the stem", "ask the owner"):
        answer = client.post(f"/visits/{visit.number}/plan/new/", {"title": title})
        assert answer.status_code == 302
    assert [step.title for step in work(visit)] == ["wait for the stem", "ask the owner"]


def test_a_step_of_ours_stays_when_the_plan_is_made(client, agreed):
    client.post(f"/visits/{agreed.number}/plan/new/", {"title": "wait for the stem"})
    client.post(f"/visits/{agreed.number}/plan/make/")
    assert agreed.plan.filter(title="wait for the stem").exists()
    assert agreed.plan.count() > 10


def test_a_removed_step_stays_in_the_history(client, planned):
    step = work(planned)[0]
    assert press(client, step, "remove").status_code == 302
    assert not PlanStep.objects.filter(pk=step.pk).exists()
    assert Change.objects.filter(visit=planned, what__startswith="removed").exists()


def test_an_apprentice_ticks_and_sees_no_prices(apprentice_client, planned):
    first = work(planned)[0]
    assert press(apprentice_client, first, "done").status_code == 302
    assert apprentice_client.get(f"/visits/{planned.number}/plan/").status_code == 200


def test_the_plan_asks_the_database_few_questions(client, planned, django_assert_max_num_queries):
    for address in (f"/visits/{planned.number}/plan/", f"/plan/{work(planned)[0].pk}/"):
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200


def test_the_visit_page_asks_few_questions_with_a_whole_plan(
    client, planned, django_assert_max_num_queries
):
    client.post(f"/visits/{planned.number}/tests/make/")
    for step in work(planned):
        press(client, step, "done")
    the_workshop()
    with django_assert_max_num_queries(QUERIES_OF_A_VISIT):
        page = client.get(f"/visits/{planned.number}/").content.decode()
    assert "steps done" in page


@pytest.mark.parametrize("page", ["plan/", "plan/new/", "tests/", "use/", "outwork/new/"])
def test_a_stranger_is_asked_to_sign_in(stranger, visit, page):
    answer = stranger.get(f"/visits/{visit.number}/{page}")
    assert answer.status_code == 302
    assert answer.url.startswith("/sign-in/")


@pytest.mark.parametrize(("lume", "told"), [("none", False), ("unknown", True)])
def test_the_cautions_of_paint_are_pointed_at_only_where_the_watch_has_them(
    client, agreed, lume, told
):
    watch = agreed.watch
    watch.lume, watch.burn_marks, watch.t_mark = lume, False, False
    watch.year_from = watch.year_to = 1950
    watch.save()
    client.post(f"/visits/{agreed.number}/plan/make/", {})
    caution = agreed.plan.get(key="dial-hands").caution
    assert ("see the cautions of this visit" in caution) is told
