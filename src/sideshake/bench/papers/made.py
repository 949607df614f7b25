"""Each paper of a visit, made from its records: what a page shows and a command writes."""

from dataclasses import replace
from datetime import date

from sideshake.bench.models import Invoice, Proposal, Visit
from sideshake.bench.papers.business import bill_of
from sideshake.bench.papers.cards import card_of
from sideshake.bench.papers.fits import fits_of
from sideshake.bench.papers.offering import offer_of
from sideshake.bench.papers.parts import parts_of, sizes_missing
from sideshake.bench.papers.report import report_of
from sideshake.bench.papers.words import letterhead, paper_size
from sideshake.bench.papers.work import bench_of, labels_of
from sideshake.paper.balance import balanced_sheet
from sideshake.paper.bench_sheet import bench_sheet
from sideshake.paper.blocks import Document
from sideshake.paper.care_card import CardSize, card_sheet
from sideshake.paper.invoice import invoice as invoice_document
from sideshake.paper.jewel_order import jewel_order_sheet
from sideshake.paper.kinds import Kind, Made
from sideshake.paper.labels import label_sheet
from sideshake.paper.page import html_page
from sideshake.paper.proposal import proposal as proposal_document
from sideshake.paper.report import report
from sideshake.paper.typeset import Sheet, pdf
from sideshake.pictures.jewel_sheet import JewelOrder


def report_paper(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as PDF."""
    return set_document(Kind.REPORT, visit.number, report(report_of(visit, day=day)))


def report_page(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    document = report(report_of(visit, day=day))
    page = html_page(document).encode()
    return Made(kind=Kind.REPORT_PAGE, of=visit.number, data=page, gaps=document.gaps)


def card_paper(visit: Visit, size: CardSize, *, day: date) -> Made:
    """Return the care card as PDF.

    Raises
    ------
    InputError : there is nothing to make it from
    """
    sheet = card_sheet(replace(card_of(visit), size=size), day=day)
    return set_sheet(Kind.CARE_CARD, visit.number, sheet)


def bench_paper(visit: Visit, *, day: date) -> Made:
    """Return the bench sheet as PDF.

    Raises
    ------
    InputError : there is nothing to do yet
    """
    fits = fits_of(visit)
    made = set_sheet(Kind.BENCH_SHEET, visit.number, bench_sheet(bench_of(visit, fits, day=day)))
    return replace(made, gaps=fits.lacking)


def labels_paper(visit: Visit, address: str, *, day: date, first: int = 1) -> Made:
    """Return labels for the trays of a visit as PDF; their code opens it at `address`.

    `first` is the place on the sheet at which they begin.
    """
    labels = labels_of(visit, address)
    labelled = label_sheet(labels, day=day, paper=paper_size(), first=first)
    return set_sheet(Kind.LABELS, visit.number, labelled)


def parts_paper(visit: Visit, *, day: date) -> Made:
    """Return the drawings of a visit's new parts for their maker, with the checks on receipt.

    Raises
    ------
    InputError : it needs no new part, as far as is known
    """
    lacking = sizes_missing(visit.outwork.all())
    return replace(order_paper(parts_of(visit, day=day), visit.number, day=day), gaps=lacking)


def order_paper(order: JewelOrder, of: str, *, day: date) -> Made:
    """Return an order's drawings and checks on receipt as PDF, its file named after `of`."""
    sheet = jewel_order_sheet(order, day=day, head=letterhead(), paper=paper_size())
    return set_sheet(Kind.JEWEL_ORDER, of, sheet)


def proposal_paper(proposal: Proposal) -> Made:
    """Return a version of the proposal as PDF."""
    name = f"{proposal.visit.number}-{proposal.edition}"
    return set_document(Kind.PROPOSAL, name, proposal_document(offer_of(proposal)))


def invoice_paper(invoice: Invoice) -> Made:
    """Return an invoice as PDF."""
    return set_document(Kind.INVOICE, invoice.number, invoice_document(bill_of(invoice)))


def set_document(kind: Kind, of: str, document: Document) -> Made:
    """Return a document as PDF, with what it lacks."""
    return Made(kind=kind, of=of, data=pdf(balanced_sheet(document)), gaps=document.gaps)


def set_sheet(kind: Kind, of: str, sheet: Sheet) -> Made:
    """Return a sheet as PDF."""
    return Made(kind=kind, of=of, data=pdf(sheet))
