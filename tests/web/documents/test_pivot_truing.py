"""A jewel is not to be ordered to the size of a pivot that is still to be trued."""

from datetime import date

import pytest
from django.utils import timezone

from sideshake.fit.tooling import TRUE_THE_PIVOT
from sideshake.web.base.saving import save
from sideshake.web.documents.pivot_truing import untrued
from sideshake.web.documents.registry.makers import parts_draft
from sideshake.web.models import JewelOrder, Outwork, PlanStep, the_workshop
from sideshake.web.outwork.ordering import parts_given
from sideshake.web.visits.queries import whole_visit

SAID = "the pivot above trued and measured again, before its part is ordered"


@pytest.fixture
def measured(client, visit, shipped_sizes):
    the_workshop()
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    return visit


def gaps(visit) -> tuple[str, ...]:
    return parts_draft(whole_visit(visit.number), day=date(2026, 4, 1)).gaps


def given_gaps(visit) -> tuple[str, ...]:
    return parts_given(whole_visit(visit.number), day=date(2026, 4, 1)).gaps


def test_the_draft_says_that_the_pivot_is_to_be_trued_first(client, measured):
    assert SAID in gaps(measured)
    assert SAID in client.get("/visits/2026-001/papers/").content.decode()


@pytest.mark.parametrize("result", [PlanStep.Result.NONE, PlanStep.Result.SKIPPED])
def test_a_pivot_that_is_trued_or_needs_no_truing_is_not_told(measured, colleague, result):
    step = PlanStep(visit=measured, place=1, key="option-jewel-above-1-2", title="2 of 8",
                    how=TRUE_THE_PIVOT)  # fmt: skip
    save(step, colleague)
    to_come = PlanStep(visit=measured, place=2, key="option-jewel-above-1-3", title="3 of 8")
    save(to_come, colleague)
    assert SAID in gaps(measured)
    step.done_at, step.result = timezone.now(), result
    save(step, colleague)
    assert gaps(measured) == ()


def test_a_part_that_does_not_follow_from_a_measured_pivot_is_not_told(measured, colleague):
    wish = Outwork(visit=measured, what="third wheel above", jewel=True, hole_mm=0.1,
                   outside_mm=1.2, thickness_mm=0.3)  # fmt: skip
    save(wish, colleague)
    assert gaps(measured) == ()


def test_an_order_tells_it_until_it_is_issued(client, measured, colleague):
    client.post("/visits/2026-001/jewel/above/have-made/")
    made = JewelOrder(number="J2026-001", to="Stonewright", ordered_on=date(2026, 4, 1))
    save(made, colleague)
    Outwork.objects.update(order=made)
    assert untrued(whole_visit(measured.number)) == (SAID,)
    page = "/visits/2026-001/papers/"
    assert SAID in client.get(page).content.decode()
    assert SAID in client.get(f"/drawer/jewels/{made.pk}/").content.decode()
    assert SAID in given_gaps(measured)
    client.post(f"/drawer/jewels/{made.pk}/issue/")
    assert SAID not in given_gaps(measured)
    assert SAID not in client.get(page).content.decode()
    assert SAID not in client.get(f"/drawer/jewels/{made.pk}/").content.decode()
