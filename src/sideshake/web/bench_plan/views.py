"""The bench plan of a visit: the next step on top, all steps below it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, version_seen
from sideshake.web.bench_plan import services
from sideshake.web.bench_plan.forms import OwnStepForm, StepForm
from sideshake.web.models import PlanStep

WORK = PlanStep.Kind.WORK


def plan(request: HttpRequest, number: str) -> HttpResponse:
    """Show the next step large, and the whole plan below it."""
    visit = visit_by_number(number)
    steps = list(visit.plan.filter(kind=WORK).select_related("done_by"))
    wanted = services.wanted_steps(visit)
    open_ones = [each for each in steps if not each.done_at]
    shown = {
        "visit": visit,
        "steps": steps,
        "next": services.guided(open_ones[0] if open_ones else None, wanted),
        "done": sum(bool(each.done_at) for each in steps),
        "planned": services.planned_minutes(steps),
        "spent": services.spent_minutes(steps),
        "agreed": services.agreed_options(visit),
        "missing": services.missing(wanted, steps),
        "dropped": services.no_longer_wanted(wanted, steps) if wanted else [],
        "sheet": visit.watch.calibre,
    }
    return render(request, "bench_plan/plan.html", shown)


@require_POST
def make_plan(request: HttpRequest, number: str) -> HttpResponse:
    """Make the plan, or bring it up to what is agreed now."""
    added = services.make_plan(
        visit_by_number(number),
        signed_in(request),
        pressure_test="pressure_test" in request.POST,
        begin="begin" in request.POST,
    )
    told = ngettext("%(n)d step is in the plan now.", "%(n)d steps are in the plan now.", added)
    messages.success(request, told % {"n": added})
    return redirect("plan", number)


def new_step(request: HttpRequest, number: str) -> HttpResponse:
    """Add a step of one's own."""
    visit = visit_by_number(number)
    editing = Editing(
        title=_("A step of our own"),
        done=at_plan,
        shown={"back": reverse("plan", args=[number])},
        write=services.add_own_step,
    )
    return edit(request, OwnStepForm, PlanStep(visit=visit, kind=WORK), editing)


def step_by_pk(pk: int) -> PlanStep:
    """Return a step of the work, or 404."""
    rows = PlanStep.objects.select_related("visit__watch__owner", "done_by")
    return get_object_or_404(rows, pk=pk, kind=WORK)


def edit_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Write minutes and a note; move the step, leave it out or remove it."""
    editing = Editing(
        title=_("Step of the plan"),
        done=at_plan,
        template="bench_plan/step.html",
        write=services.write_step,
    )
    return edit(request, StepForm, step_by_pk(pk), editing)


@require_POST
def tick_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a step down as done, or take the tick away."""
    step = step_by_pk(pk)
    services.tick(step, signed_in(request), seen=version_seen(request))
    return redirect(at_plan(step))


@require_POST
def turn_clock(request: HttpRequest, pk: int) -> HttpResponse:
    """Start or stop the clock of a step."""
    step = step_by_pk(pk)
    services.turn_clock(step, signed_in(request), seen=version_seen(request))
    return redirect(at_plan(step))


@require_POST
def skip_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Leave a step out, with the reason."""
    step = step_by_pk(pk)
    reason = request.POST.get("reason", "")
    services.skip(step, reason, signed_in(request), seen=version_seen(request))
    return redirect(at_plan(step))


@require_POST
def shift_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a step one place up or down."""
    step = step_by_pk(pk)
    services.shift(step, -1 if request.POST.get("way") == "up" else 1, signed_in(request))
    return redirect("plan-step", pk)


@require_POST
def remove_step(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a step of the plan aside."""
    step = step_by_pk(pk)
    removal = Removal(done=at_plan(step), stay=reverse("plan-step", args=[pk]))
    return ask_and_remove(request, step, signed_in(request), removal)


def at_plan(step: PlanStep) -> str:
    """Return the address of the plan a step belongs to."""
    return reverse("plan", args=[step.visit.number])
