"""Every paper of a visit: whether it can be made, where, and what it does not say yet."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import prefetch_related_objects
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.documents.blocks import Document
from sideshake.documents.document import document_sheet
from sideshake.documents.glyphs import strange_glyphs
from sideshake.documents.invoice import bill_gaps
from sideshake.documents.jewel_order import order_gaps
from sideshake.documents.kinds import CareCardSize, PaperKind
from sideshake.documents.labels import PLACES
from sideshake.documents.proposal import option_gaps
from sideshake.documents.report import report
from sideshake.drawings.jewel_sheet import jewel_sheets
from sideshake.web.documents.care_cards import card_of
from sideshake.web.documents.jewel_orders import draft_of, ordered, unordered
from sideshake.web.documents.pivot_truing import to_settle
from sideshake.web.documents.report import report_of
from sideshake.web.documents.words import address_of, letterhead, paper_size, written_day
from sideshake.web.measuring.services import judged
from sideshake.web.models import Invoice, Issued, JewelOrder, Proposal, Visit
from sideshake.web.outwork.queries import issues_of, orders_of
from sideshake.web.public_story.services import has_agreed

ONLY_HERE = ("127.0.0.1", "localhost", "[::1]")
"""Names by which a computer reaches itself and no other reaches it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A link to a paper."""

    address: str
    words: str
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedPaper:
    """A paper on the list: its links, what it does not say, and why it cannot be made."""

    title: str
    ways: tuple[Way, ...] = ()
    gaps: tuple[str, ...] = ()
    not_yet: str = ""
    note: str = ""
    issue: tuple[Way, ...] = ()
    """Where it is issued; empty: it is so by itself, or never. A way's key is a card's size."""
    issued: tuple[Way, ...] = ()
    """As it was issued, each time."""
    places: int = 0
    """How many labels its sheet has; 0 for what is no sheet of labels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """The papers of a visit, and the letters in it that paper can only show as a box."""

    listed: tuple[ListedPaper, ...]
    unprintable: str


def papers_of(visit: Visit, *, day: date, host: str, priced: bool) -> Papers:
    """Return every paper of a visit, as far as it is the reader's business."""
    prefetch_related_objects([visit], "issued")
    document = report(report_of(visit, day=day))
    listed = (
        report_listed(visit, document.gaps),
        *others_listed(visit, day=day, host=host, priced=priced),
    )
    return Papers(
        listed=tuple(with_issues(visit, listed, may_issue=priced)),
        unprintable=unprintable(visit, document),
    )


def others_listed(visit: Visit, *, day: date, host: str, priced: bool) -> Iterator[ListedPaper]:
    """Yield every paper but the report."""
    if priced:
        yield from business_listed(visit)
    yield card_listed(visit)
    yield from parts_listed(visit, day)
    yield bench_listed(visit)
    yield labels_listed(visit, host)
    if priced:
        yield show_listed(visit)


def with_issues(
    visit: Visit, listed: Iterable[ListedPaper], *, may_issue: bool
) -> Iterator[ListedPaper]:
    """Yield the papers on the list, each with the times it was issued by hand."""
    rows = list(visit.issued.all())
    for each in listed:
        kinds = {way.address.rstrip("/").split("/")[-2] for way in each.issue}
        by_hand = (
            Way(
                address=reverse("issued-paper", args=[row.pk]),
                words=_("%(name)s of %(day)s")
                % {"name": issued_name(row), "day": written_day(row.issued_on)},
            )
            for row in rows
            if row.kind in kinds
        )
        issued = each.issued or tuple(by_hand)
        yield replace(each, issue=each.issue if may_issue else (), issued=issued)


def issued_name(row: Issued) -> str:
    """Return what an issued paper is, a card with its size."""
    size = next((size for size in CareCardSize if row.of.endswith(f"-{size}")), "")
    return f"{PaperKind(row.kind).words} {size}".strip()


def issue_way(visit: Visit, kind: PaperKind, words: str, key: str = "") -> Way:
    """Return where a paper is issued."""
    return Way(address=reverse("issue-paper", args=[visit.number, kind]), words=words, key=key)


def report_listed(visit: Visit, gaps: tuple[str, ...]) -> ListedPaper:
    """Return the owner's report on the list."""
    return ListedPaper(
        title=_("Owner's report"),
        gaps=gaps,
        ways=(
            way("report-pdf", _("Report as PDF"), visit.number, key="r"),
            way("report-page", _("Report as one file to mail"), visit.number),
        ),
        issue=(
            issue_way(visit, PaperKind.REPORT, _("Issue the report")),
            issue_way(visit, PaperKind.REPORT_PAGE, _("Issue the file to mail")),
        ),
    )


def business_listed(visit: Visit) -> Iterator[ListedPaper]:
    """Yield each version of the proposal and each invoice, or that there is none."""
    proposals, invoices = list(visit.proposals.all()), list(visit.invoices.all())
    yield from map(proposal_listed, proposals)
    if not proposals:
        yield ListedPaper(title=_("Proposal"), not_yet=_("There is no proposal yet."))
    for each in invoices:
        yield invoice_listed(visit, each)
    if not invoices:
        yield ListedPaper(title=_("Invoice"), not_yet=_("There is no invoice yet."))


def proposal_listed(proposal: Proposal) -> ListedPaper:
    """Return a version of the proposal on the list."""
    options = list(proposal.options.all())
    title = _("Proposal, version %(n)d") % {"n": proposal.edition}
    if not options:
        return ListedPaper(title=title, not_yet=_("It has no option yet."))
    ways = (way("proposal-pdf", title, proposal.visit.number, proposal.edition),)
    return ListedPaper(title=title, gaps=option_gaps(options), ways=ways)


def invoice_listed(visit: Visit, invoice: Invoice) -> ListedPaper:
    """Return an invoice on the list; what an issued one lacks it lacks for good."""
    title = _("Invoice %(number)s") % {"number": invoice.number}
    kept = next(
        (
            row
            for row in visit.issued.all()
            if (row.kind, row.of) == (PaperKind.INVOICE, invoice.number)
        ),
        None,
    )
    gaps = tuple(kept.lacks) if kept else bill_gaps(letterhead(), address_of(visit))
    return ListedPaper(title=title, gaps=gaps, ways=(way("invoice-pdf", title, invoice.number),))


def card_listed(visit: Visit) -> ListedPaper:
    """Return the care card on the list."""
    title = _("Care card")
    moves = way("date-change", _("When the date moves on this watch"), visit.number)
    try:
        card = card_of(visit)
    except InputError as why:
        return ListedPaper(title=title, not_yet=why.sentence, ways=(moves,))
    cards = (
        way("card-pdf", f"{title} {size.value}", visit.number, size.value) for size in CareCardSize
    )
    gaps = () if card.next_service else (_("the next service"),)
    issue = (
        issue_way(visit, PaperKind.CARE_CARD, _("Issue %(size)s") % {"size": size}, key=size)
        for size in CareCardSize
    )
    return ListedPaper(title=title, gaps=gaps, ways=(*cards, moves), issue=tuple(issue))


def parts_listed(visit: Visit, day: date) -> Iterator[ListedPaper]:
    """Yield each jewel order that holds a part for a visit, or the draft of one."""
    orders = orders_of(visit)
    for each in orders:
        yield order_listed(each, visit)
    if not orders:
        yield draft_listed(visit, day)


def order_listed(stored: JewelOrder, visit: Visit) -> ListedPaper:
    """Return a jewel order on the list; its drawings stand on its own page."""
    title = _("Jewel order %(number)s") % {"number": stored.number}
    ours = [wish for wish in visit.outwork.all() if wish.order_id == stored.pk]
    try:
        gaps = order_gaps(ordered(stored, ours))
    except InputError as why:
        return ListedPaper(title=title, not_yet=why.sentence, gaps=unordered(visit))
    ways = (
        way("jewel-order-pdf", _("Order, drawings and checks as PDF"), stored.pk),
        way("jewel-order", _("The order, with its drawings as DXF"), stored.pk),
    )
    issued = tuple(map(version_way, issues_of(stored)))
    address = reverse("issue-order", args=[stored.pk])
    issue = () if issued else (Way(address=address, words=_("Issue the order")),)
    gaps = (*gaps, *to_settle(visit, issued=bool(issued)))
    return ListedPaper(title=title, gaps=gaps, ways=ways, issue=issue, issued=issued)


def version_way(row: Issued) -> Way:
    """Return where a version of an order lies as it was issued."""
    told = {"n": row.edition, "day": written_day(row.issued_on)}
    address = reverse("issued-paper", args=[row.pk])
    return Way(address=address, words=_("Version %(n)d of %(day)s") % told)


def draft_listed(visit: Visit, day: date) -> ListedPaper:
    """Return the draft of a jewel order on the list."""
    title = _("Jewel order, draft")
    try:
        sheets = jewel_sheets(draft_of(visit, day=day))
    except (InputError, NotEnough) as why:
        return ListedPaper(title=title, not_yet=why.sentence, gaps=unordered(visit))
    paper = way("parts-pdf", _("Draft, drawings and checks as PDF"), visit.number)
    drawings = (
        way("parts-drawing", _("DXF, sheet %(n)d") % {"n": number}, visit.number, number, "dxf")
        for number in range(1, len(sheets) + 1)
    )
    return ListedPaper(title=title, gaps=to_settle(visit), ways=(paper, *drawings))


def bench_listed(visit: Visit) -> ListedPaper:
    """Return the bench sheet on the list."""
    title, known = _("Bench sheet"), judged(visit)
    planned = [step for step in visit.plan.all() if step.kind == step.Kind.WORK]
    if not planned and not (known.verdict and known.verdict.places):
        return ListedPaper(title=title, not_yet=_("There is no bench plan and no fit yet."))
    gaps = () if planned else (_("the order of work, since there is no bench plan"),)
    return ListedPaper(
        title=title, gaps=gaps, ways=(way("bench-pdf", title, visit.number, key="b"),)
    )


def labels_listed(visit: Visit, host: str) -> ListedPaper:
    """Return the labels on the list; their code holds the address by which this page came."""
    note = ""
    if host.rpartition(":")[0] in ONLY_HERE or host in ONLY_HERE:
        note = _(
            "Their code opens the visit on this computer only. Open this page by the workshop's "
            "address in the network to print labels that other devices can use."
        )
    ways = (way("labels-pdf", _("Labels for the trays"), visit.number, key="l"),)
    return ListedPaper(title=_("Labels"), ways=ways, note=note, places=PLACES[paper_size()])


def show_listed(visit: Visit) -> ListedPaper:
    """Return the page to show on the list."""
    agreed = has_agreed(visit)
    words = _("Choose what it says") if agreed else _("Record the owner's consent")
    day = written_day(visit.show_agreed_on)
    return ListedPaper(
        title=_("A page to show"),
        note=_("The owner agreed on %(day)s.") % {"day": day} if agreed else "",
        not_yet="" if agreed else _("The owner has not agreed that the story is shown."),
        ways=(way("show" if agreed else "show-consent", words, visit.number),),
    )


def way(name: str, words: str, *of: object, key: str = "") -> Way:
    """Return a link to a page by its name and what it is of."""
    return Way(address=reverse(name, args=of), words=words, key=key)


def unprintable(visit: Visit, document: Document) -> str:
    """Return the letters of a visit and its report that paper can only show as a box."""
    said = document_sheet(document).said
    options = [option for each in visit.proposals.all() for option in each.options.all()]
    texts = [f"{o.title}{o.reason}{o.evidence}{o.risk}{o.if_left}" for o in options]
    invoices = [str(invoice.lines) + invoice.note for invoice in visit.invoices.all()]
    return strange_glyphs(
        json.dumps(said, ensure_ascii=False) + address_of(visit) + "".join(texts + invoices)
    )
