"""The paper somebody asks for by its kind and a visit's number, wherever he asks."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from django.http import Http404

from sideshake.bench.models import Invoice, Proposal, Visit
from sideshake.bench.papers import made
from sideshake.bench.queries import proposal_by_edition, whole_visit
from sideshake.errors import InputError
from sideshake.paper.care_card import CardSize
from sideshake.paper.kinds import Kind, Made


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which paper: of the proposal the newest version, of the invoices the one that holds now."""

    kind: Kind
    visit: str
    address: str
    """What the labels' code opens."""
    size: CardSize = CardSize.A6
    edition: int | None = None
    invoice: str = ""
    first_label: int = 1
    """The place on the sheet at which labels begin."""


def paper_of(wanted: Wanted, *, day: date) -> Made:
    """Return the paper; nothing is stored.

    Raises
    ------
    InputError : there is no such visit, or it has no such paper yet
    """
    return MAKERS[wanted.kind](visit_of(wanted.visit), wanted, day)


MAKERS: Mapping[Kind, Callable[[Visit, Wanted, date], Made]] = {
    Kind.REPORT: lambda visit, _wanted, day: made.report_paper(visit, day=day),
    Kind.REPORT_PAGE: lambda visit, _wanted, day: made.report_page(visit, day=day),
    Kind.CARE_CARD: lambda visit, wanted, day: made.card_paper(visit, wanted.size, day=day),
    Kind.BENCH_SHEET: lambda visit, _wanted, day: made.bench_paper(visit, day=day),
    Kind.LABELS: lambda visit, wanted, day: made.labels_paper(
        visit, wanted.address, day=day, first=wanted.first_label
    ),
    Kind.JEWEL_ORDER: lambda visit, _wanted, day: made.parts_paper(visit, day=day),
    Kind.PROPOSAL: lambda visit, wanted, _day: made.proposal_paper(
        proposal_of(visit, wanted.edition)
    ),
    Kind.INVOICE: lambda visit, wanted, _day: made.invoice_paper(invoice_of(visit, wanted.invoice)),
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
