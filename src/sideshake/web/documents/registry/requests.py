"""The paper somebody asks for by its kind and a visit's number, wherever he asks."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from django.http import Http404

from sideshake.core.errors import InputError
from sideshake.documents.kinds import CareCardSize, Made, PaperKind
from sideshake.web.documents.issuing import (
    BY_HAND,
    IssueAsked,
    as_made,
    invoice_given,
    proposal_given,
)
from sideshake.web.documents.registry import makers
from sideshake.web.models import Invoice, Issued, Proposal, Visit
from sideshake.web.outwork.queries import issues_of, orders_of
from sideshake.web.proposals.queries import proposal_by_edition
from sideshake.web.visits.queries import whole_visit


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRequest:
    """Which paper: of the proposal the newest version, of the invoices the one that holds now."""

    kind: PaperKind
    visit: str
    address: str
    """What the labels' code opens."""
    size: CareCardSize = CareCardSize.A6
    edition: int | None = None
    invoice: str = ""
    issued: bool = False
    """The last one that was issued, of a paper that is issued by hand."""
    first_label: int = 1
    """The place on the sheet at which labels begin."""


ISSUED_LATER = (*BY_HAND, PaperKind.JEWEL_ORDER)
"""Papers that are made from the records until somebody issues them."""


def paper_of(wanted: PaperRequest, *, day: date | None = None) -> Made:
    """Return the paper: an issued one as it was issued, any other from the records as they are.

    Parameters
    ----------
    day : the day on what is not issued; that of the newest change when left out

    Raises
    ------
    InputError : there is no such visit, or it has no such paper yet
    """
    visit = visit_of(wanted.visit)
    if wanted.issued:
        return newest_issued(visit, wanted)
    return MAKERS[wanted.kind](visit, wanted, day or makers.draft_day(visit))


def newest_issued(visit: Visit, wanted: PaperRequest) -> Made:
    """Return the paper of that kind which was issued last.

    Raises
    ------
    InputError : none was, or it is a paper that is always given as it was issued
    """
    if wanted.kind not in ISSUED_LATER:
        raise InputError(
            f"--issued is for {', '.join(ISSUED_LATER)}; an invoice or a sent proposal is always "
            "given as it was issued"
        )
    of = visit.number + IssueAsked(kind=wanted.kind, size=wanted.size).ending
    rows = Issued.objects.filter(visit=visit, kind=wanted.kind.value, of=of)
    found = newest_order_issued(visit) if wanted.kind is PaperKind.JEWEL_ORDER else rows.last()
    if found is None:
        raise InputError(f"no {wanted.kind} of visit {visit.number} was issued yet")
    return as_made(found)


def newest_order_issued(visit: Visit) -> Issued | None:
    """Return the newest order of a visit as it was issued last; None where none was."""
    issued = (issues_of(each).last() for each in orders_of(visit))
    return next((each for each in issued if each is not None), None)


def parts_paper(visit: Visit, day: date) -> Made:
    """Return the paper of a visit's newest order; a draft of the one there could be."""
    from sideshake.web.outwork.ordering import parts_given  # late: it judges what is worn

    return parts_given(visit, day=day)


MAKERS: Mapping[PaperKind, Callable[[Visit, PaperRequest, date], Made]] = {
    PaperKind.REPORT: lambda visit, _wanted, day: makers.report_paper(visit, day=day),
    PaperKind.REPORT_PAGE: lambda visit, _wanted, day: makers.report_page(visit, day=day),
    PaperKind.CARE_CARD: lambda visit, wanted, day: makers.card_paper(visit, wanted.size, day=day),
    PaperKind.BENCH_SHEET: lambda visit, _wanted, day: makers.bench_paper(visit, day=day),
    PaperKind.LABELS: lambda visit, wanted, day: makers.labels_paper(
        visit, wanted.address, day=day, first=wanted.first_label
    ),
    PaperKind.JEWEL_ORDER: lambda visit, _wanted, day: parts_paper(visit, day),
    PaperKind.PROPOSAL: lambda visit, wanted, _day: proposal_given(
        proposal_of(visit, wanted.edition)
    ),
    PaperKind.INVOICE: lambda visit, wanted, _day: invoice_given(invoice_of(visit, wanted.invoice)),
}


def visit_of(number: str) -> Visit:
    """Return a visit with everything on its papers."""
    try:
        return whole_visit(number)
    except Http404:
        raise InputError(f"there is no visit {number}") from None


def proposal_of(visit: Visit, edition: int | None) -> Proposal:
    """Return a version of the visit's proposal, the newest when none is named."""
    editions = [each.edition for each in visit.proposals.all()]
    if not editions:
        raise InputError(f"visit {visit.number} has no proposal yet")
    if edition is not None and edition not in editions:
        known = ", ".join(map(str, editions))
        raise InputError(
            f"visit {visit.number} has no version {edition} of its proposal; there is {known}"
        )
    return proposal_by_edition(visit.number, editions[-1] if edition is None else edition)


def invoice_of(visit: Visit, number: str) -> Invoice:
    """Return an invoice of the visit; when none is named the last that was not cancelled."""
    rows = list(Invoice.objects.select_related("cancels").filter(visit=visit))
    if not rows:
        raise InputError(f"visit {visit.number} has no invoice yet")
    if number:
        return named(rows, number)
    cancelled = {each.cancels_id for each in rows}
    standing = [each for each in rows if each.pk not in cancelled and not each.cancels_id]
    if not standing:
        raise InputError(
            f"every invoice of visit {visit.number} is cancelled; name one of "
            f"{', '.join(each.number for each in rows)}"
        )
    standing[-1].visit = visit
    return standing[-1]


def named(rows: list[Invoice], number: str) -> Invoice:
    """Return the invoice of that number."""
    found = next((each for each in rows if each.number == number), None)
    if found is None:
        known = ", ".join(each.number for each in rows)
        raise InputError(f"there is no invoice {number} on this visit; there is {known}")
    return found
