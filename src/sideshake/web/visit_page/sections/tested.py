"""The section on the tests before a watch goes home."""

from typing import Any

from sideshake.web.bench_plan.home_test_views import tested_rows
from sideshake.web.bench_plan.home_tests import all_good
from sideshake.web.models import PlanStep, User, Visit


def tested(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the tests with their values and results."""
    steps = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.TEST]
    return {
        "rows": tested_rows(visit, steps),
        "open": sum(not each.result for each in steps),
        "all_good": all_good(visit, steps),
    }
