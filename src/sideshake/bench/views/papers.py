"""The papers of a visit, as PDF or as one HTML file."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.bench import papers as made
from sideshake.bench.access import pricing, signed_in, visit_by_number
from sideshake.bench.models import Invoice
from sideshake.bench.papers.lacking import papers_of
from sideshake.bench.queries import proposal_by_edition, whole_visit
from sideshake.errors import InputError
from sideshake.paper.care_card import CardSize
from sideshake.paper.kinds import Kind, Made


def papers(request: HttpRequest, number: str) -> HttpResponse:
    """Show which papers can be made, and what each of them still lacks."""
    visit, host = whole_visit(number), request.get_host()
    priced = signed_in(request).may_price
    found = papers_of(visit, day=timezone.localdate(), host=host, priced=priced)
    return render(request, "bench/papers.html", {"visit": visit, "papers": found})


def report_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as PDF."""
    return as_answer(made.report_paper(whole_visit(number), day=timezone.localdate()))


def report_page(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    return as_answer(made.report_page(whole_visit(number), day=timezone.localdate()))


def card_pdf(_request: HttpRequest, number: str, size: str) -> HttpResponse:
    """Return the care card as PDF."""
    if size not in list(CardSize):
        raise InputError(_("a care card is a6 or credit-card"))
    day = timezone.localdate()
    return as_answer(made.card_paper(whole_visit(number), CardSize(size), day=day))


def bench_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the bench sheet as PDF."""
    return as_answer(made.bench_paper(visit_by_number(number), day=timezone.localdate()))


def parts_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the drawings of a visit's new parts for their maker as PDF."""
    return as_answer(made.parts_paper(visit_by_number(number), day=timezone.localdate()))


def labels_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return labels for the trays of a visit, with a code that opens it."""
    address = request.build_absolute_uri(f"/visits/{number}/")
    asked = request.GET.get("first", "1")
    if not asked.isdecimal():
        raise InputError(_("the place of the first label is a whole number"))
    day = timezone.localdate()
    return as_answer(made.labels_paper(whole_visit(number), address, day=day, first=int(asked)))


def proposal_pdf(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Return a version of the proposal as PDF."""
    pricing(request)
    return as_answer(made.proposal_paper(proposal_by_edition(number, edition)))


def invoice_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return an invoice as PDF."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels")
    return as_answer(made.invoice_paper(get_object_or_404(rows, number=number)))


def as_answer(paper: Made) -> HttpResponse:
    """Return a paper: a PDF the browser shows, a page it keeps as a file."""
    answer = HttpResponse(paper.data, content_type=paper.media)
    way = "attachment" if paper.kind is Kind.REPORT_PAGE else "inline"
    answer.headers["Content-Disposition"] = f'{way}; filename="{paper.name}"'
    return answer
