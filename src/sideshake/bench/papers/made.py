"""Each paper of a visit, made from its records: what a page shows and a command writes.

Each loads what it needs when it is asked for: an invoice need not wait for what hears a watch.
"""

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from django.utils import timezone

from sideshake.bench.models import Invoice, Proposal, Visit
from sideshake.bench.papers.words import letterhead, paper_size
from sideshake.paper.blocks import Document
from sideshake.paper.kinds import CardSize, Kind, Made
from sideshake.paper.typeset import Sheet, pdf

if TYPE_CHECKING:
    from sideshake.bench.models import JewelOrder as StoredOrder
    from sideshake.pictures.jewel_sheet import JewelOrder


def draft_day(visit: Visit) -> date:
    """Return the day of a paper that is not issued: that of the newest change to its visit.

    So it has the same bytes on another day, as long as the records are the same.
    """
    fetched: datetime | None = getattr(visit, "changed_at", None)
    newest = fetched or visit.changes.values_list("at", flat=True).first()
    return timezone.localdate(newest) if newest else visit.arrived_on


def report_paper(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as PDF."""
    from sideshake.bench.papers.report import report_of
    from sideshake.paper.report import report

    return set_document(Kind.REPORT, visit.number, report(report_of(visit, day=day)))


def report_page(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    from sideshake.bench.papers.report import report_of
    from sideshake.paper.page import html_page
    from sideshake.paper.report import report

    document = report(report_of(visit, day=day))
    page = html_page(document).encode()
    return Made(kind=Kind.REPORT_PAGE, of=visit.number, data=page, gaps=document.gaps)


def card_paper(visit: Visit, size: CardSize, *, day: date) -> Made:
    """Return the care card as PDF.

    Raises
    ------
    InputError : there is nothing to make it from
    """
    from sideshake.bench.papers.cards import card_of
    from sideshake.paper.care_card import card_sheet

    sheet = card_sheet(replace(card_of(visit), size=size), day=day)
    return set_sheet(Kind.CARE_CARD, visit.number, sheet)


def bench_paper(visit: Visit, *, day: date) -> Made:
    """Return the bench sheet as PDF.

    Raises
    ------
    InputError : there is nothing to do yet
    """
    from sideshake.bench.papers.fits import fits_of
    from sideshake.bench.papers.work import bench_of
    from sideshake.paper.bench_sheet import bench_sheet

    fits = fits_of(visit)
    made = set_sheet(Kind.BENCH_SHEET, visit.number, bench_sheet(bench_of(visit, fits, day=day)))
    return replace(made, gaps=fits.lacking)


def labels_paper(visit: Visit, address: str, *, day: date, first: int = 1) -> Made:
    """Return labels for the trays of a visit as PDF; their code opens it at `address`.

    `first` is the place on the sheet at which they begin.
    """
    from sideshake.bench.papers.work import labels_of
    from sideshake.paper.labels import label_sheet

    labels = labels_of(visit, address)
    labelled = label_sheet(labels, day=day, paper=paper_size(), first=first)
    return set_sheet(Kind.LABELS, visit.number, labelled)


def parts_draft(visit: Visit, *, day: date) -> Made:
    """Return a draft of the jewel order that a visit could need.

    Raises
    ------
    InputError : it needs no new part, as far as is known
    """
    from sideshake.bench.papers.parts import draft_of, unordered

    made = order_paper(draft_of(visit, day=day), visit.number, day=day)
    return replace(made, gaps=unordered(visit))


def stored_order_paper(
    stored: "StoredOrder", *, gaps: tuple[str, ...] = (), version: int = 1
) -> Made:
    """Return the paper of an order as its records are; `services.ordering` gives the issued one.

    Raises
    ------
    InputError : no wish of it has all its sizes
    """
    from sideshake.bench.papers.parts import drawn_order
    from sideshake.paper.jewel_order import order_gaps

    order = drawn_order(stored, version=version)
    made = order_paper(order, stored.number, day=stored.ordered_on)
    return replace(made, gaps=(*order_gaps(order), *gaps))


def order_paper(order: "JewelOrder", of: str, *, day: date) -> Made:
    """Return an order's drawings and checks on receipt as PDF, its file named after `of`."""
    from sideshake.paper.jewel_order import jewel_order_sheet

    sheet = jewel_order_sheet(order, day=day, head=letterhead(), paper=paper_size())
    return set_sheet(Kind.JEWEL_ORDER, of, sheet)


def proposal_paper(proposal: Proposal) -> Made:
    """Return a version of the proposal as PDF."""
    from sideshake.bench.papers.offering import offer_of
    from sideshake.paper.proposal import proposal as proposal_document

    document = proposal_document(offer_of(proposal))
    return set_document(Kind.PROPOSAL, proposal_name(proposal), document)


def proposal_name(proposal: Proposal) -> str:
    """Return what a version's file is named after."""
    return f"{proposal.visit.number}-{proposal.edition}"


def invoice_paper(invoice: Invoice) -> Made:
    """Return an invoice as PDF."""
    from sideshake.bench.papers.bills import bill_of
    from sideshake.paper.invoice import invoice as invoice_document

    return set_document(Kind.INVOICE, invoice.number, invoice_document(bill_of(invoice)))


def set_document(kind: Kind, of: str, document: Document) -> Made:
    """Return a document as PDF, with what it lacks."""
    from sideshake.paper.balance import balanced_sheet

    return Made(kind=kind, of=of, data=pdf(balanced_sheet(document)), gaps=document.gaps)


def set_sheet(kind: Kind, of: str, sheet: Sheet) -> Made:
    """Return a sheet as PDF."""
    return Made(kind=kind, of=of, data=pdf(sheet))
