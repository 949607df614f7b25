"""Findings: from the calibre's usual ones by one press, or in own words."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, version_seen, visit_at
from sideshake.web.base.saving import save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.evidence.forms import FindingForm
from sideshake.web.evidence.look_over import add_finding
from sideshake.web.models import Finding
from sideshake.workshop_rules.findings import usual_findings


def findings(request: HttpRequest, number: str) -> HttpResponse:
    """Offer the usual findings of the calibre, those that are noted marked."""
    visit = visit_by_number(number)
    noted = list(visit.findings.all())
    keys = {finding.key for finding in noted}
    usual = [(each, each.key in keys) for each in usual_findings(sheet_named(visit.watch.calibre))]
    return render(
        request, "evidence/findings.html", {"visit": visit, "noted": noted, "usual": usual}
    )


@require_POST
def add_usual(request: HttpRequest, number: str) -> HttpResponse:
    """Add one of the usual findings."""
    visit = visit_by_number(number)
    key = request.POST.get("key", "")
    known = {each.key for each in usual_findings(sheet_named(visit.watch.calibre))}
    if key in known:
        add_finding(visit, key, signed_in(request))
    return redirect(f"{reverse('findings', args=[number])}#noted")


def new_finding(request: HttpRequest, number: str) -> HttpResponse:
    """Write a finding in own words."""
    record = Finding(visit=visit_by_number(number))
    return edit(
        request, FindingForm, record, Editing(title=_("Finding"), done=visit_at("findings"))
    )


def edit_finding(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit a finding, or remove it."""
    rows = Finding.objects.select_related("visit__watch")
    record = get_object_or_404(rows, pk=pk)
    shown = {"remove": reverse("remove-finding", args=[pk])}
    editing = Editing(title=_("Finding"), done=visit_at("findings"), shown=shown)
    return edit(request, FindingForm, record, editing)


@require_POST
def remove_finding(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a finding aside."""
    record = get_object_or_404(Finding.objects.select_related("visit"), pk=pk)
    removal = Removal(done=visit_at("findings")(record), stay=reverse("edit-finding", args=[pk]))
    return ask_and_remove(request, record, signed_in(request), removal)


@require_POST
def put_right(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that a finding is put right, or that it is not after all."""
    record = get_object_or_404(Finding.objects.select_related("visit"), pk=pk)
    record.mended = request.POST.get("mended") == "yes"
    save(record, signed_in(request), seen=version_seen(request))
    return redirect(f"{reverse('findings', args=[record.visit.number])}#noted")
