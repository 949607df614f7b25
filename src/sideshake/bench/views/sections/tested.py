"""The section on the tests before a watch goes home."""

from typing import Any

from sideshake.bench.models import PlanStep, User, Visit
from sideshake.bench.services.home_tests import all_good
from sideshake.bench.views.home_tests import tested_rows


def tested(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the tests with their values and results."""
    steps = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.TEST]
    return {
        "rows": tested_rows(visit, steps),
        "open": sum(not each.result for each in steps),
        "all_good": all_good(visit, steps),
    }
