"""No draft of a jewel order where the work is done."""

from datetime import date

import pytest
from django.utils import timezone

from sideshake.core.errors import InputError
from sideshake.web.base.saving import save
from sideshake.web.documents.jewel_orders import draft_of
from sideshake.web.models import Outwork, PlanStep, Step, Visit, the_workshop
from sideshake.web.visits.queries import whole_visit

NONE = "nothing is to be ordered: "
DONE, AWAY, MADE = "the work is done", "the watch is ready, or has gone home", "new holes are made"


@pytest.fixture
def wished(visit, colleague):
    the_workshop()
    wish = Outwork(visit=visit, what="third wheel above", jewel=True, hole_mm=0.1,
                   outside_mm=1.2, thickness_mm=0.3)  # fmt: skip
    save(wish, colleague)
    return visit


def drafted(visit):
    return draft_of(whole_visit(visit.number), day=date(2026, 4, 1))


@pytest.mark.parametrize("step", [Step.READY, Step.GONE_HOME])
def test_a_watch_that_is_ready_or_home_needs_no_order(client, wished, colleague, step):
    """Only where work was ticked is it called done: a watch can go home as it came."""
    assert drafted(wished).lines
    Visit.objects.update(step=step)
    with pytest.raises(InputError, match=f"{NONE}{AWAY}"):
        drafted(wished)
    work = PlanStep(visit=wished, place=1, key="option-crystal", title="Glass",
                    done_at=timezone.now())  # fmt: skip
    save(work, colleague)
    with pytest.raises(InputError, match=f"{NONE}{DONE}"):
        drafted(wished)
    assert f"{NONE}{DONE}" in client.get("/visits/2026-001/papers/").content.decode()


@pytest.mark.parametrize("step", [Step.ON_THE_BENCH, Step.ON_TEST])
def test_a_watch_at_work_has_its_draft(wished, step):
    Visit.objects.update(step=step)
    assert drafted(wished).lines


@pytest.mark.parametrize(
    ("result", "done", "wish_back", "is_done"),
    [
        (PlanStep.Result.NONE, True, True, True),
        (PlanStep.Result.NONE, True, False, False),
        (PlanStep.Result.NONE, False, True, False),
        (PlanStep.Result.SKIPPED, True, True, False),
    ],
)
def test_a_jewel_that_is_fitted_is_not_ordered_again(
    wished, colleague, result, done, wish_back, is_done
):
    step = PlanStep(visit=wished, place=1, key="option-train-bearing", title="New bearing",
                    result=result, done_at=timezone.now() if done else None)  # fmt: skip
    save(step, colleague)
    Outwork.objects.update(back_on=date(2026, 4, 1) if wish_back else None)
    if is_done:
        with pytest.raises(InputError, match=MADE):
            drafted(wished)
    else:
        assert drafted(wished).lines
