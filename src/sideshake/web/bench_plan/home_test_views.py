"""The tests before a watch goes home."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.quantities import Measured
from sideshake.documents.care_card import (
    forbidden_hours,
    observed_words,
    quick_set_words,
    sheet_forbids_more,
)
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, version_seen
from sideshake.web.bench_plan import home_tests as service
from sideshake.web.bench_plan.date_change_forms import DateChangeForm
from sideshake.web.bench_plan.forms import HomeTestForm
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.documents.care_cards import date_moves
from sideshake.web.models import PlanStep, Visit
from sideshake.workshop_rules.acceptance import AcceptanceTest, Judgement
from sideshake.workshop_rules.acceptance_told import AcceptanceTold

TEST = PlanStep.Kind.TEST


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeTestRow:
    """A test with its value in words, its judgement, and what the readings offer for it."""

    step: PlanStep
    check: AcceptanceTest | None
    judgement: Judgement | None
    offer: service.OfferedValue | None

    @property
    def told(self) -> AcceptanceTold | None:
        """Return what it says, as paper does; None when it was not done so that it counts."""
        return service.told_of(self.step, self.check)

    @property
    def wants_value(self) -> bool:
        """Whether it cannot be good before its value is typed."""
        return bool(self.step.unit) and self.step.value is None

    @property
    def value(self) -> str:
        """Return the value with its uncertainty and unit; empty when there is none."""
        if self.step.value is None:
            return ""
        return f"{Measured(self.step.value, self.step.u or 0.0).text()} {self.step.unit}"

    @property
    def limit(self) -> str:
        """Return the limit in words; empty when there is none."""
        if self.check is None or self.check.limit is None:
            return ""
        return self.check.limit.text(self.check.unit)

    @property
    def takes_offer(self) -> bool:
        """Whether there is a value to take over."""
        return self.offer is not None and self.step.value is None


def tested_rows(visit: Visit, steps: list[PlanStep]) -> list[HomeTestRow]:
    """Return a visit's tests with all that is said of them."""
    checks, offers = service.checks_of(visit), service.offers(list(visit.readings.all()))
    return [
        HomeTestRow(
            step=each,
            check=checks.get(each.key),
            judgement=service.judgement(each, checks.get(each.key)),
            offer=offers.get(each.key),
        )
        for each in steps
    ]


def home_tests(request: HttpRequest, number: str) -> HttpResponse:
    """List the tests with value, limit, result, who and when."""
    visit = visit_by_number(number)
    steps = list(visit.plan.filter(kind=TEST).select_related("done_by"))
    shown = {
        "visit": visit,
        "rows": tested_rows(visit, steps),
        "open": sum(not each.result for each in steps),
        "missing": service.missing_tests(visit, steps),
        "all_good": service.all_good(visit, steps),
    }
    return render(request, "bench_plan/tests.html", shown)


@require_POST
def make_tests(request: HttpRequest, number: str) -> HttpResponse:
    """Put the tests of this calibre on the list."""
    begin = "begin" in request.POST
    added = service.make_tests(visit_by_number(number), signed_in(request), begin=begin)
    told = ngettext("%(n)d test is on the list now.", "%(n)d tests are on the list now.", added)
    messages.success(request, told % {"n": added})
    return redirect("home-tests", number)


def test_by_pk(pk: int) -> PlanStep:
    """Return a test, or 404."""
    rows = PlanStep.objects.select_related("visit__watch__owner", "done_by")
    return get_object_or_404(rows, pk=pk, kind=TEST)


def edit_test(request: HttpRequest, pk: int) -> HttpResponse:
    """Write value, result and note of a test; what the readings offer stands beside it."""
    test = test_by_pk(pk)
    row = tested_rows(test.visit, [test])[0]
    if request.method == "GET" and "offer" in request.GET and row.takes_offer and row.offer:
        test.value, test.u = row.offer.rounded.value, row.offer.rounded.u
    editing = Editing(
        title=test.title,
        done=at_tests,
        template="bench_plan/test.html",
        shown={"row": row, "visit": test.visit},
        write=service.write_test,
    )
    return edit(request, HomeTestForm, test, editing)


def date_change(request: HttpRequest, number: str) -> HttpResponse:
    """Note when the date moves on this watch; the care card then goes by it."""
    visit = visit_by_number(number)
    seen, sheet = date_moves(visit), sheet_named(visit.watch.calibre)
    hours = forbidden_hours(sheet, seen)
    shown = {
        "visit": visit,
        "hours": quick_set_words(hours),
        "seen": observed_words(hours),
        "note": sheet_forbids_more(sheet, seen) if seen else "",
    }
    editing = Editing(
        title=_("When the date moves"),
        done=lambda saved: reverse("date-change", args=[saved.number]),
        template="bench_plan/date_change.html",
        shown=shown,
    )
    return edit(request, DateChangeForm, visit, editing)


@require_POST
def result(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a test down as good or not good by one press."""
    test = test_by_pk(pk)
    given = request.POST.get("result", "")
    if given in (PlanStep.Result.GOOD, PlanStep.Result.BAD, PlanStep.Result.NONE):
        test.result = given
        service.write_test(test, signed_in(request), seen=version_seen(request))
    return redirect(at_tests(test))


@require_POST
def remove_test(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a test of the list aside."""
    test = test_by_pk(pk)
    removal = Removal(
        done=at_tests(test),
        stay=reverse("home-test", args=[pk]),
        called=_("test “%(test)s”") % {"test": test.title},
    )
    return ask_and_remove(request, test, signed_in(request), removal)


def at_tests(test: PlanStep) -> str:
    """Return the address of the list a test belongs to."""
    return reverse("home-tests", args=[test.visit.number])
