"""Daily rates kept at a real browser, by keyboard, at two sizes."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from sideshake.bench.models import Owner, Programme, Visit, Watch
from sideshake.bench.services.saving import save


@pytest.fixture
def visit(restorer) -> Visit:
    owner = Owner(name="Ottilie Marwood")
    save(owner, restorer)
    watch = Watch(owner=owner, title="expedition chronograph", calibre="tarnbrook-31")
    save(watch, restorer)
    day = date(2026, 3, 2)
    made = Visit(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    save(made, restorer)
    return made


@pytest.mark.parametrize("size", ["desktop", "tablet"])
def test_a_programme_is_begun_and_a_day_is_compared(open_desk, restorer, visit, size):
    desk = open_desk(restorer, size=size)
    desk.go(f"/visits/{visit.number}/daily-rates/new/")
    desk.look()
    desk.page.get_by_label("Movement's diameter").select_option("large")
    desk.enter("Begin")
    desk.look()
    yesterday = timezone.localtime() - timedelta(days=1)
    desk.write("Watch minus reference, s", "-1,5")
    desk.page.get_by_label("Compared at").fill(f"{yesterday:%Y-%m-%dT%H:%M}")
    desk.enter("First comparison: day 1 begins")
    desk.write("Watch minus reference, s", "2")
    desk.enter("Compared: day 1 ends")
    desk.shows("Day 2 runs", "Next comparison due tomorrow", "+3.5 ± 0.6")
    desk.look()
    states = Programme.objects.get().states
    assert [(each["day"], each["state_s"]) for each in states] == [(0, -1.5), (1, 2.0)]
    desk.go(f"/programmes/{Programme.objects.get().pk}/comparisons/1/")
    desk.look()
