"""Proposals: drafted, edited, sent, answered, changed as a new version."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.bench.access import pricing, visit_by_number
from sideshake.bench.forms.business import (
    AnswerForm,
    OptionForm,
    ProposalForm,
    line_forms,
    stored_lines,
)
from sideshake.bench.models import Option, Proposal
from sideshake.bench.price_lines import option_price, proposal_totals
from sideshake.bench.services.proposing import (
    agree,
    decline,
    differences,
    draft,
    new_edition,
    require_state,
    send,
    without_option,
)
from sideshake.bench.services.saving import Overtaken, remove, save
from sideshake.bench.views.editing import Editing, edit, visit_at


@require_POST
def begin_proposal(request: HttpRequest, number: str) -> HttpResponse:
    """Draft a proposal from what was found and measured."""
    user = pricing(request)
    made = draft(visit_by_number(number), user, on=timezone.localdate())
    return redirect("proposal", number, made.edition)


def proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Show a version of the proposal as the owner reads it, with what can be done next."""
    pricing(request)
    found = by_edition(number, edition)
    older = found.visit.proposals.filter(edition=edition - 1).prefetch_related("options").first()
    shown: dict[str, Any] = {
        "proposal": found,
        "visit": found.visit,
        "options": [(each, option_price(each, found.currency)) for each in found.options.all()],
        "totals": proposal_totals(found, chosen_only=found.state == "agreed"),
        "changed": differences(older, found) if older else [],
        "over": bool(found.expires_on and found.expires_on < timezone.localdate()),
        "unanswered": without_option(found.visit) if found.state == "draft" else (),
        "answer_form": AnswerForm(initial={"answered_on": timezone.localdate()}),
    }
    return render(request, "bench/proposal.html", shown)


def edit_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Edit what stands round the options of a draft."""
    pricing(request)
    found = by_edition(number, edition)
    require_state(found, "draft")
    editing = Editing(title=_("Round the options"), done=at_proposal)
    return edit(request, ProposalForm, found, editing)


def new_option(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Add an option to a draft."""
    pricing(request)
    found = by_edition(number, edition)
    require_state(found, "draft")
    return option_page(request, Option(proposal=found, place=found.options.count()))


def edit_option(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit an option of a draft with its price lines."""
    pricing(request)
    rows = Option.objects.select_related("proposal__visit__watch")
    found = get_object_or_404(rows, pk=pk)
    require_state(found.proposal, "draft")
    return option_page(request, found)


def option_page(request: HttpRequest, option: Option) -> HttpResponse:
    """Show or save an option and its lines; "more" only adds blank lines."""
    form = OptionForm(request.POST or None, instance=option)
    lines = line_forms(request.POST or None, option.lines)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid() and lines.is_valid():
            changed = form.save(commit=False)
            changed.lines = stored_lines(lines)
            try:
                save(changed, pricing(request), seen=form.cleaned_data["seen"])
                if "more" not in request.POST:
                    return redirect(at_proposal(changed.proposal))
                return redirect("edit-option", changed.pk)
            except Overtaken as overtaken:
                form.show_overtaken(overtaken)
                status = 409
    shown = {"form": form, "lines": lines, "option": option, "proposal": option.proposal}
    return render(request, "bench/option.html", shown, status=status)


@require_POST
def remove_option(request: HttpRequest, pk: int) -> HttpResponse:
    """Remove an option from a draft."""
    user = pricing(request)
    found = get_object_or_404(Option.objects.select_related("proposal__visit"), pk=pk)
    require_state(found.proposal, "draft")
    remove(found, user)
    return redirect(at_proposal(found.proposal))


@require_POST
def send_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Send a draft."""
    user = pricing(request)
    found = by_edition(number, edition)
    seen = request.POST.get("seen", "")
    day = timezone.localdate()
    send(found, user, on=day, seen=int(seen) if seen.isdecimal() else None)
    return redirect(at_proposal(found))


@require_POST
def answer_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Store the owner's answer."""
    user = pricing(request)
    found = by_edition(number, edition)
    form = AnswerForm(request.POST)
    if not form.is_valid():
        return render(request, "bench/edit.html", {"form": form, "title": _("Answer")}, status=422)
    for name, value in form.cleaned_data.items():
        setattr(found, name, value)
    if "declined" in request.POST:
        decline(found, user)
    else:
        agree(found, {int(pk) for pk in request.POST.getlist("chosen") if pk.isdecimal()}, user)
    return redirect(visit_at("proposal")(found))


@require_POST
def change_proposal(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Begin a new version; this one stays as it is."""
    user = pricing(request)
    found = by_edition(number, edition)
    why = request.POST.get("why", "")
    return redirect(at_proposal(new_edition(found, user, on=timezone.localdate(), why=why)))


def by_edition(number: str, edition: int) -> Proposal:
    """Return a version of a visit's proposal, or 404."""
    rows = Proposal.objects.select_related("visit__watch__owner")
    rows = rows.prefetch_related("options__photograph")
    return get_object_or_404(rows, visit__number=number, edition=edition)


def at_proposal(record: Any) -> str:
    """Return the address of a proposal."""
    return reverse("proposal", args=[record.visit.number, record.edition])
