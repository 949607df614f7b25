"""The papers of a visit, as PDF or as one HTML file."""

from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench.access import pricing
from sideshake.bench.models import Invoice, PlanStep, Proposal, Visit
from sideshake.bench.papers import bill_of, card_of, letterhead, offer_of, report_of
from sideshake.bench.papers.words import paper_size
from sideshake.bench.queries import whole_visit
from sideshake.errors import InputError
from sideshake.paper.bench_sheet import BenchSheet, Job, bench_sheet
from sideshake.paper.care_card import CardSize, card_sheet
from sideshake.paper.document import document_sheet
from sideshake.paper.invoice import invoice as invoice_document
from sideshake.paper.labels import Label, label_sheet
from sideshake.paper.page import html_page
from sideshake.paper.proposal import proposal as proposal_document
from sideshake.paper.report import report
from sideshake.paper.typeset import Sheet, pdf


def papers(request: HttpRequest, number: str) -> HttpResponse:
    """Show which papers can be made, and what the report still lacks."""
    visit = whole_visit(number)
    gaps = report(report_of(visit, day=timezone.localdate())).gaps
    shown = {"visit": visit, "gaps": gaps, "sizes": list(CardSize)}
    return render(request, "bench/papers.html", shown)


def report_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as PDF."""
    made = report(report_of(whole_visit(number), day=timezone.localdate()))
    return as_pdf(document_sheet(made), f"report-{number}")


def report_page(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    made = report(report_of(whole_visit(number), day=timezone.localdate()))
    answer = HttpResponse(html_page(made), content_type="text/html; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="report-{number}.html"'
    return answer


def card_pdf(_request: HttpRequest, number: str, size: str) -> HttpResponse:
    """Return the care card as PDF."""
    if size not in list(CardSize):
        raise InputError(_("a care card is a6 or credit-card"))
    card = replace(card_of(whole_visit(number)), size=CardSize(size))
    return as_pdf(card_sheet(card, day=timezone.localdate()), f"care-card-{number}")


def bench_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the bench sheet as PDF: the plan to tick, with room for what was measured."""
    visit = whole_visit(number)
    return as_pdf(document_sheet(bench_sheet(told_for_bench(visit))), f"bench-{number}")


def told_for_bench(visit: Visit) -> BenchSheet:
    """Return what the bench sheet says."""
    steps = [step for step in visit.plan.all() if step.kind == PlanStep.Kind.WORK]
    return BenchSheet(
        head=letterhead(),
        day=timezone.localdate(),
        visit=visit.number,
        watch=visit.watch.title,
        calibre=visit.watch.calibre,
        jobs=tuple(Job(title=s.title, how=s.how, caution=s.caution) for s in steps),
        to_note=(_("Hole, long axis, mm"), _("Hole, short axis, mm"), _("Endshake, mm")),
        paper=paper_size(),
    )


def labels_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return labels for the trays of a visit, with a code that opens it."""
    visit = whole_visit(number)
    address = request.build_absolute_uri(f"/visits/{number}/")
    what = (_("case and dial"), _("movement"), _("old parts"))
    made = tuple(
        Label(visit=number, watch=visit.watch.title, what=each, address=address) for each in what
    )
    return as_pdf(
        label_sheet(made, day=timezone.localdate(), paper=paper_size()), f"labels-{number}"
    )


def proposal_pdf(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Return a version of the proposal as PDF."""
    pricing(request)
    rows = Proposal.objects.select_related("visit__watch__owner")
    rows = rows.prefetch_related("options__photograph")
    found = get_object_or_404(rows, visit__number=number, edition=edition)
    made = proposal_document(offer_of(found))
    return as_pdf(document_sheet(made), f"proposal-{number}-{edition}")


def invoice_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return an invoice as PDF."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels")
    found = get_object_or_404(rows, number=number)
    return as_pdf(document_sheet(invoice_document(bill_of(found))), f"invoice-{number}")


def as_pdf(sheet: Sheet, name: str) -> HttpResponse:
    """Return a sheet as a PDF that the browser shows."""
    answer = HttpResponse(pdf(sheet), content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
