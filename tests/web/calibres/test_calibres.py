"""The calibres and what was learnt about them, as a restorer reads it."""

from datetime import date

import pytest

from sideshake.movement.sheet_file import shipped_text
from sideshake.web.base.saving import save
from sideshake.web.calibres.repair_statistics import memory_of, step_times
from sideshake.web.models import Calibre, Finding, PlanStep, Step, Visit

QUERIES = 15


def stays(watch, by, count, step=Step.GONE_HOME):
    made = []
    for n in range(count):
        day = date(2025, 1, 1 + n)
        stay = Visit(
            number=f"2025-{n + 1:03d}", watch=watch, arrived_on=day, step_since=day, step=step
        )
        save(stay, by)
        made.append(stay)
    return made


def find(visit, by, key="barrel-hole-worn"):
    save(Finding(visit=visit, key=key, title=key), by)


def test_the_share_of_a_finding_has_wilson_s_interval(watch, colleague):
    """Wilson's interval for 7 of 9, by hand from his formula with z = 1.95996: 45.3 to 93.7 %."""
    for stay in stays(watch, colleague, 9)[:7]:
        find(stay, colleague)
        find(stay, colleague)
    (seen,) = memory_of("tarnbrook-31").seen
    assert (seen.learnt.seen, seen.learnt.visits) == (7, 9)
    assert seen.learnt.low == pytest.approx(0.453, abs=5e-4)
    assert seen.learnt.high == pytest.approx(0.937, abs=5e-4)


def test_two_visits_are_not_enough_and_the_page_says_so(client, watch, colleague):
    for stay in stays(watch, colleague, 2):
        find(stay, colleague)
    page = client.get("/calibres/tarnbrook-31/").content.decode()
    assert "Not enough to tell: 2 visits of tarnbrook-31" in page


def test_a_watch_nobody_has_looked_over_does_not_count(watch, colleague):
    stays(watch, colleague, 4, step=Step.ARRIVED)
    assert memory_of("tarnbrook-31").visits == 0


def test_other_calibres_do_not_count(watch, colleague):
    stays(watch, colleague, 4)
    assert memory_of("wendelmoor-43").visits == 0


def test_the_mean_of_a_step_has_the_uncertainty_of_a_mean(watch, colleague):
    """By hand: 20, 26, 32 have mean 26 and scatter 6; the mean's u is 6 / sqrt(3) (GUM 4.2.3)."""
    for stay, minutes in zip(stays(watch, colleague, 3), (20, 26, 32), strict=True):
        save(
            PlanStep(visit=stay, key="clean", place=1, title="Cleaned", minutes=minutes), colleague
        )
    (row,) = step_times("tarnbrook-31")
    assert row.times == 3
    assert row.mean_min.value == pytest.approx(26)
    assert row.mean_min.u == pytest.approx(6 / 3**0.5)


@pytest.mark.parametrize("times", [1, 2])
def test_a_step_timed_once_or_twice_has_no_mean(client, watch, colleague, times):
    for stay in stays(watch, colleague, times):
        save(PlanStep(visit=stay, key="clean", place=1, title="Cleaned", minutes=20), colleague)
    (row,) = step_times("tarnbrook-31")
    assert row.mean_min is None
    assert "not enough" in client.get("/calibres/tarnbrook-31/").content.decode()


def test_the_list_has_every_sheet_and_calibres_without_one(client, visit, watch, colleague):
    watch.calibre = "unheard-of"
    save(watch, colleague)
    page = client.get("/calibres/").content.decode()
    assert "tarnbrook-31" in page
    assert "unheard-of" in page
    assert "There is no readable sheet" in client.get("/calibres/unheard-of/").content.decode()


def test_an_own_sheet_that_cannot_be_read_is_there_to_be_mended(client):
    """As one that an older Sideshake took in; no visit names it yet."""
    row = Calibre.objects.create(name="mine", sheet='name = "A"\njewels = "many"\n')
    page = client.get("/calibres/mine/").content.decode()
    assert "There is no readable sheet" in page
    assert f"/calibre/{row.pk}/edit/movement/" in page
    answer = client.get(f"/calibre/{row.pk}/edit/movement/")
    assert "a whole number belongs here" in answer.content.decode()


def test_weak_points_come_first_and_the_visits_are_listed(client, visit):
    page = client.get("/calibres/tarnbrook-31/").content.decode()
    assert page.index("Known weak points") < page.index("What we have found")
    assert visit.number in page


def test_the_forbidden_hours_are_told_and_drawn_from_an_address_of_their_own(client):
    named = [row.name for row in client.get("/calibres/").context["rows"]]
    drawn = []
    for name in named:
        page = client.get(f"/calibres/{name}/").content.decode()
        answer = client.get(f"/calibres/{name}/dial.svg")
        assert ("Do not set the date" in page) == (answer.status_code == 200), name
        if answer.status_code == 200:
            drawn.append(name)
            assert answer["Content-Type"] == "image/svg+xml"
            assert b"<svg" in answer.content
    assert drawn


@pytest.mark.parametrize("name", ["nothing-77", "..", "..%2f..%2fsettings"])
def test_no_calibre_is_a_plain_page(client, name):
    assert client.get(f"/calibres/{name}/").status_code == 404
    assert client.get(f"/calibres/{name}/dial.svg").status_code == 404


def test_the_pages_ask_the_database_few_questions(
    client, watch, colleague, django_assert_max_num_queries
):
    for stay in stays(watch, colleague, 25):
        find(stay, colleague)
        save(PlanStep(visit=stay, key="clean", place=1, title="Cleaned", minutes=20), colleague)
    for address in ("/calibres/", "/calibres/tarnbrook-31/"):
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200


@pytest.mark.parametrize(
    "page", ["/calibres/", "/calibres/tarnbrook-31/", "/calibres/tarnbrook-31/dial.svg"]
)
def test_a_stranger_is_asked_to_sign_in(stranger, db, page):
    assert stranger.get(page).url.startswith("/sign-in/")


def test_a_day_with_its_own_finger_has_its_own_dial(client):
    page = client.get("/calibres/tolvane-26/").content.decode()
    assert "Do not set the day of the week from 22:00 to 4:10." in page
    assert b"setting the day" in client.get("/calibres/tolvane-26/day-dial.svg").content


def test_a_calibre_without_a_day_has_no_such_dial(client):
    assert "day of the week" not in client.get("/calibres/lindquell-25/").content.decode()
    assert client.get("/calibres/lindquell-25/day-dial.svg").status_code == 404


def test_an_own_sheet_that_cannot_be_right_says_so(client):
    text = shipped_text("lindquell-25")
    Calibre.objects.create(name="mine", sheet=text.replace('mass_mg = "55', 'mass_mg = "55000'))
    page = client.get("/calibres/mine/").content.decode()
    assert "This sheet cannot be right" in page
    assert "balance.mass_mg" in page
    Calibre.objects.create(name="sound", sheet=text)
    assert "cannot be right" not in client.get("/calibres/sound/").content.decode()
