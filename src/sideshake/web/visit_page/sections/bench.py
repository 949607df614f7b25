"""The section on the work at the bench: plan, pieces used, outwork."""

from typing import Any

from sideshake.web.base.models import ENDED
from sideshake.web.bench_plan import services as planning
from sideshake.web.models import PlanStep, User, Visit


def bench(visit: Visit, _user: User) -> dict[str, Any]:
    """Return how far the plan is, and what went in and out."""
    steps = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.WORK]
    wanted = [] if visit.step in ENDED else planning.wanted_steps(visit)
    return {
        "steps": steps,
        "done": sum(bool(each.done_at) for each in steps),
        "next": next((each for each in steps if not each.done_at), None),
        "planned": planning.planned_minutes(steps),
        "spent": planning.spent_minutes(steps),
        "missing": len(planning.missing(wanted, steps)) if steps else 0,
        "agreed": bool(planning.agreed_options(visit)),
        "ended": visit.step in ENDED,
    }
