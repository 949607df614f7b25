"""Daily rates kept at a real browser, by keyboard, at two sizes."""

from datetime import timedelta

import pytest
from django.utils import timezone

from sideshake.web.models import Programme


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
