"""The papers of a visit, as PDF or as one HTML file."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.documents.kinds import CareCardSize, Made, PaperKind
from sideshake.web.base.access import pricing, publishing, signed_in, visit_by_number
from sideshake.web.base.asking import SureQuestion, unsure
from sideshake.web.documents.issuing import (
    IssueAsked,
    as_made,
    invoice_given,
    issue_paper,
    proposal_given,
    require_by_hand,
)
from sideshake.web.documents.registry import makers
from sideshake.web.documents.registry.gaps import papers_of
from sideshake.web.models import Invoice, Issued, Visit
from sideshake.web.outwork.ordering import parts_given
from sideshake.web.proposals.queries import proposal_by_edition
from sideshake.web.templatetags.bench import day as day_words
from sideshake.web.visits.queries import visit_with_outwork, whole_visit


def papers(request: HttpRequest, number: str) -> HttpResponse:
    """Show which papers can be made, and what each of them still lacks."""
    visit, host = whole_visit(number), request.get_host()
    priced = signed_in(request).may_price
    found = papers_of(visit, day=timezone.localdate(), host=host, priced=priced)
    return render(request, "documents/list.html", {"visit": visit, "papers": found})


def report_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as PDF."""
    visit = whole_visit(number)
    return as_answer(makers.report_paper(visit, day=makers.draft_day(visit)))


def report_page(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    visit = whole_visit(number)
    return as_answer(makers.report_page(visit, day=makers.draft_day(visit)))


def card_pdf(_request: HttpRequest, number: str, size: str) -> HttpResponse:
    """Return the care card as PDF."""
    visit, wanted = whole_visit(number), card_size(size)
    return as_answer(makers.card_paper(visit, wanted, day=makers.draft_day(visit)))


def card_size(size: str) -> CareCardSize:
    """Return the size of a card by its name.

    Raises
    ------
    InputError : there is no such size
    """
    if size not in list(CareCardSize):
        raise InputError(_("a care card is a6 or credit-card"))
    return CareCardSize(size)


def bench_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the bench sheet as PDF."""
    visit = visit_by_number(number)
    return as_answer(makers.bench_paper(visit, day=makers.draft_day(visit)))


def parts_pdf(_request: HttpRequest, number: str) -> HttpResponse:
    """Return the drawings of a visit's new parts for their maker as PDF."""
    visit = visit_with_outwork(number)
    return as_answer(parts_given(visit, day=makers.draft_day(visit)))


def labels_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return labels for the trays of a visit, with a code that opens it."""
    address = request.build_absolute_uri(f"/visits/{number}/")
    asked = request.GET.get("first", "1")
    if not asked.isdecimal():
        raise InputError(_("the place of the first label is a whole number"))
    visit = whole_visit(number)
    day = makers.draft_day(visit)
    return as_answer(makers.labels_paper(visit, address, day=day, first=int(asked)))


def proposal_pdf(request: HttpRequest, number: str, edition: int) -> HttpResponse:
    """Return a version of the proposal as PDF."""
    pricing(request)
    return as_answer(proposal_given(proposal_by_edition(number, edition)))


def invoice_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """Return an invoice as PDF."""
    pricing(request)
    rows = Invoice.objects.select_related("visit__watch__owner", "cancels")
    return as_answer(invoice_given(get_object_or_404(rows, number=number)))


@require_POST
def issue(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    """Issue a paper of a visit. From now on it is given again as it is today."""
    user = publishing(request)
    if kind not in list(PaperKind):
        raise InputError(_("there is no such paper"))
    asked = IssueAsked(
        kind=PaperKind(kind), size=card_size(request.POST.get("size", CareCardSize.A6))
    )
    page = unsure(request, issuing(visit_by_number(number), asked))
    if page:
        return page
    found = issue_paper(number, asked, user, on=timezone.localdate())
    messages.success(request, _("Issued: this paper is kept as it is today."))
    return redirect("issued-paper", found.pk)


def issuing(visit: Visit, asked: IssueAsked) -> SureQuestion:
    """Return the question whether a paper is issued."""
    require_by_hand(asked)
    rows = Issued.objects.filter(kind=asked.kind, of=f"{visit.number}{asked.ending}")
    words = {
        "paper": asked.kind.words,
        "number": visit.number,
        "who": visit.watch.owner,
        "day": day_words(timezone.localdate()),
        "n": rows.count() + 1,
    }
    return SureQuestion(
        title=_("Issue the %(paper)s of visit %(number)s for %(who)s?") % words,
        told=(
            _("It is kept as it is on %(day)s, as issue %(n)d, and given again unchanged.") % words,
            _("It cannot be changed or taken back; another can be issued after it."),
        ),
        do=_("Issue it"),
        stay=reverse("papers", args=[visit.number]),
    )


def issued_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """Return a paper as it was issued."""
    found = get_object_or_404(Issued, pk=pk)
    if found.kind in (PaperKind.PROPOSAL, PaperKind.INVOICE):
        pricing(request)
    return as_answer(as_made(found))


def as_answer(paper: Made) -> HttpResponse:
    """Return a paper: a PDF the browser shows, a page it keeps as a file."""
    answer = HttpResponse(paper.data, content_type=paper.media)
    way = "attachment" if paper.kind is PaperKind.REPORT_PAGE else "inline"
    answer.headers["Content-Disposition"] = f'{way}; filename="{paper.name}"'
    return answer
