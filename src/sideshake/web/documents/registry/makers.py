"""Each paper of a visit, made from its records: what a page shows and a command writes.

Each loads what it needs when it is asked for: an invoice need not wait for what hears a watch.
"""

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from django.utils import timezone

from sideshake.documents.blocks import Document
from sideshake.documents.kinds import CareCardSize, Made, PaperKind
from sideshake.documents.typeset import Sheet, pdf
from sideshake.web.documents.words import letterhead, paper_size
from sideshake.web.models import Invoice, Proposal, Visit
from sideshake.web.owners.speaking import speaking_to_owner

if TYPE_CHECKING:
    from sideshake.drawings.jewel_sheet import OrderDrawing
    from sideshake.web.models import JewelOrder


def draft_day(visit: Visit) -> date:
    """Return the day of a paper that is not issued: that of the newest change to its visit.

    So it has the same bytes on another day, as long as the records are the same.
    """
    fetched: datetime | None = getattr(visit, "changed_at", None)
    newest = fetched or visit.changes.values_list("at", flat=True).first()
    return timezone.localdate(newest) if newest else visit.arrived_on


def report_paper(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as PDF."""
    from sideshake.documents.report import report
    from sideshake.web.documents.report import report_of

    with speaking_to_owner(visit):
        return set_document(PaperKind.REPORT, visit.number, report(report_of(visit, day=day)))


def report_page(visit: Visit, *, day: date) -> Made:
    """Return the owner's report as one HTML file with its pictures inside, to be mailed."""
    from sideshake.documents.page import html_page
    from sideshake.documents.report import report
    from sideshake.web.documents.report import report_of

    with speaking_to_owner(visit):
        document = report(report_of(visit, day=day))
        page = html_page(document).encode()
    return Made(kind=PaperKind.REPORT_PAGE, of=visit.number, data=page, gaps=document.gaps)


def card_paper(visit: Visit, size: CareCardSize, *, day: date) -> Made:
    """Return the care card as PDF.

    Raises
    ------
    InputError : there is nothing to make it from
    """
    from sideshake.documents.care_card import card_sheet
    from sideshake.web.documents.care_cards import card_of

    with speaking_to_owner(visit):
        sheet = card_sheet(replace(card_of(visit), size=size), day=day)
    return set_sheet(PaperKind.CARE_CARD, visit.number, sheet)


def bench_paper(visit: Visit, *, day: date) -> Made:
    """Return the bench sheet as PDF.

    Raises
    ------
    InputError : there is nothing to do yet
    """
    from sideshake.documents.bench_sheet import bench_sheet
    from sideshake.web.documents.bench_papers import bench_of
    from sideshake.web.documents.hole_fits import fits_of

    fits = fits_of(visit)
    made = set_sheet(
        PaperKind.BENCH_SHEET, visit.number, bench_sheet(bench_of(visit, fits, day=day))
    )
    return replace(made, gaps=fits.lacking)


def labels_paper(visit: Visit, address: str, *, day: date, first: int = 1) -> Made:
    """Return labels for the trays of a visit as PDF; their code opens it at `address`.

    `first` is the place on the sheet at which they begin.
    """
    from sideshake.documents.labels import label_sheet
    from sideshake.web.documents.bench_papers import labels_of

    labels = labels_of(visit, address)
    labelled = label_sheet(labels, day=day, paper=paper_size(), first=first)
    return set_sheet(PaperKind.LABELS, visit.number, labelled)


def parts_draft(visit: Visit, *, day: date) -> Made:
    """Return a draft of the jewel order that a visit could need.

    Raises
    ------
    InputError : it needs no new part, as far as is known
    """
    from sideshake.web.documents.jewel_orders import draft_of
    from sideshake.web.documents.pivot_truing import to_settle

    made = order_paper(draft_of(visit, day=day), visit.number, day=day)
    return replace(made, gaps=to_settle(visit))


def stored_order_paper(
    stored: "JewelOrder", *, gaps: tuple[str, ...] = (), version: int = 1
) -> Made:
    """Return the paper of an order as its records are; `outwork.ordering` gives the issued one.

    Raises
    ------
    InputError : no wish of it has all its sizes
    """
    from sideshake.documents.jewel_order import order_gaps
    from sideshake.web.documents.jewel_orders import drawn_order

    order = drawn_order(stored, version=version)
    made = order_paper(order, stored.number, day=stored.ordered_on)
    return replace(made, gaps=(*order_gaps(order), *gaps))


def order_paper(order: "OrderDrawing", of: str, *, day: date) -> Made:
    """Return an order's drawings and checks on receipt as PDF, its file named after `of`."""
    from sideshake.documents.jewel_order import jewel_order_sheet

    sheet = jewel_order_sheet(order, day=day, head=letterhead(), paper=paper_size())
    return set_sheet(PaperKind.JEWEL_ORDER, of, sheet)


def proposal_paper(proposal: Proposal) -> Made:
    """Return a version of the proposal as PDF."""
    from sideshake.documents.proposal import proposal as proposal_document
    from sideshake.web.documents.proposals import offer_of

    with speaking_to_owner(proposal.visit):
        document = proposal_document(offer_of(proposal))
    return set_document(PaperKind.PROPOSAL, proposal_name(proposal), document)


def proposal_name(proposal: Proposal) -> str:
    """Return what a version's file is named after."""
    return f"{proposal.visit.number}-{proposal.edition}"


def invoice_paper(invoice: Invoice) -> Made:
    """Return an invoice as PDF."""
    from sideshake.documents.invoice import invoice as invoice_document
    from sideshake.web.documents.bills import bill_of

    with speaking_to_owner(invoice.visit):
        document = invoice_document(bill_of(invoice))
    return set_document(PaperKind.INVOICE, invoice.number, document)


def set_document(kind: PaperKind, of: str, document: Document) -> Made:
    """Return a document as PDF, with what it lacks."""
    from sideshake.documents.balance import balanced_sheet

    return Made(kind=kind, of=of, data=pdf(balanced_sheet(document)), gaps=document.gaps)


def set_sheet(kind: PaperKind, of: str, sheet: Sheet) -> Made:
    """Return a sheet as PDF."""
    return Made(kind=kind, of=of, data=pdf(sheet))
