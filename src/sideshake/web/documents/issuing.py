"""Papers that are issued: kept as the very bytes, and given again unchanged ever after."""

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from django.db import DatabaseError, IntegrityError, transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.core.version import PROGRAM
from sideshake.documents.kinds import CareCardSize, Made, PaperKind
from sideshake.storage.files import NAME_LETTERS, write_whole
from sideshake.storage.folder import made as made_folder
from sideshake.web.base.holding import hold_workshop
from sideshake.web.base.saving import save
from sideshake.web.documents.registry import makers
from sideshake.web.documents.words import address_of, letterhead
from sideshake.web.models import Invoice, Issued, Proposal, User, Visit
from sideshake.web.money import services as billing
from sideshake.web.storage.stored_files import stored_file
from sideshake.web.storage.tables import PAPERS
from sideshake.web.visits.queries import whole_visit

WRITTEN: ContextVar[list[Path] | None] = ContextVar("WRITTEN", default=None)
"""The files written in the transaction that is under way."""


@contextmanager
def together() -> Iterator[None]:
    """Keep rows and files together: both, or neither where something goes wrong.

    The files go while the workshop's row is still locked: nobody else can be about to issue the
    very same bytes.
    """
    around, written = WRITTEN.get(), list[Path]()
    with transaction.atomic():
        hold_workshop()
        token = WRITTEN.set(written)
        try:
            with transaction.atomic():
                yield
        except BaseException:
            drop_unkept(written)
            raise
        finally:
            WRITTEN.reset(token)
    if around is not None:
        around.extend(written)


def drop_unkept(written: list[Path]) -> None:
    """Remove files that no row names; what cannot be asked for now is found at the next start."""
    with suppress(DatabaseError):
        for path in written:
            if not Issued.objects.filter(stored=path.name).exists():
                path.unlink(missing_ok=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class IssueAsked:
    """A paper to be issued by hand: which, and the size of a card."""

    kind: PaperKind
    size: CareCardSize = CareCardSize.A6

    @property
    def ending(self) -> str:
        """Return what tells the two cards apart."""
        return f"-{self.size}" if self.kind is PaperKind.CARE_CARD else ""


BY_HAND: dict[PaperKind, Callable[[Visit, IssueAsked, date], Made]] = {
    PaperKind.REPORT: lambda visit, _asked, day: makers.report_paper(visit, day=day),
    PaperKind.REPORT_PAGE: lambda visit, _asked, day: makers.report_page(visit, day=day),
    PaperKind.CARE_CARD: lambda visit, asked, day: makers.card_paper(visit, asked.size, day=day),
}
"""The papers that somebody issues; invoices and proposals are when they get their number, a jewel
order is by `outwork.ordering`."""


@together()
def issue_paper(number: str, asked: IssueAsked, by: User, *, on: date) -> Issued:
    """Return a paper of a visit as it goes out of the house today.

    Raises
    ------
    InputError : the visit has no such paper yet, or it is issued in another way
    """
    require_by_hand(asked)
    visit = whole_visit(number)
    made_so = BY_HAND[asked.kind](visit, asked, on)
    return freeze(visit, made_so, by, on=on, of=f"{number}{asked.ending}")


def require_by_hand(asked: IssueAsked) -> None:
    """Refuse a paper that is issued in another way.

    Raises
    ------
    InputError : it is an invoice, a proposal or a jewel order, or is never issued
    """
    if asked.kind not in BY_HAND:
        raise InputError(_("only report and care card are issued by hand"))


@together()
def issue_invoice(visit: Visit, asked: billing.Issuing, by: User) -> Invoice:
    """Return an issued invoice, its paper kept.

    Raises
    ------
    InputError : as `billing.issue`; nothing is written
    """
    invoice = billing.issue(visit, asked, by)
    invoice_given(invoice, by)
    return invoice


@together()
def cancel_invoice(invoice: Invoice, by: User, *, on: date) -> Invoice:
    """Return the invoice that takes another one back; the papers of both are kept.

    Raises
    ------
    InputError : as `billing.cancel`; nothing is written
    """
    invoice_given(invoice, by)  # what was never given is kept as it was before its payments go
    taken_back = billing.cancel(invoice, by, on=on)
    invoice_given(taken_back, by)
    return taken_back


@together()
def send_proposal(
    proposal: Proposal, by: User, *, on: date, seen: int | None = None, free: bool = False
) -> None:
    """Freeze a draft as it goes to the owner, its paper kept; `free` lets a part cost nothing.

    Raises
    ------
    InputError : as `proposing.send`; nothing is written
    """
    from sideshake.web.proposals import services as proposing

    proposing.send(proposal, by, on=on, seen=seen, free=free)
    proposal_given(proposal, by)


def invoice_given(invoice: Invoice, by: User | None = None) -> Made:
    """Return an invoice's paper: the one that was issued; one without is made now, and kept."""
    return given(
        invoice.visit,
        PaperKind.INVOICE,
        invoice.number,
        lambda: freeze(
            invoice.visit,
            makers.invoice_paper(invoice),
            by or invoice.issued_by,
            on=invoice.issued_on,
        ),
    )


def proposal_given(proposal: Proposal, by: User | None = None) -> Made:
    """Return a proposal's paper: a draft as it stands, a sent one as it was sent."""
    if proposal.sent_on is None:
        return makers.proposal_paper(proposal)
    on = proposal.sent_on
    return given(
        proposal.visit,
        PaperKind.PROPOSAL,
        makers.proposal_name(proposal),
        lambda: freeze(proposal.visit, makers.proposal_paper(proposal), by, on=on),
    )


def given(visit: Visit, kind: PaperKind, of: str, make: Callable[[], Issued]) -> Made:
    """Return the issued paper of that name; without one, what `make` issues."""
    rows = Issued.objects.filter(visit=visit, kind=kind, of=of)
    found = rows.first()
    if found is None:
        try:
            with together():
                found = make()
        except IntegrityError:  # somebody else asked for it at the same moment
            found = rows.get()
    return as_made(found)


def freeze(visit: Visit, paper: Made, by: User | None, *, on: date, of: str = "") -> Issued:
    """Return a paper's row after its bytes were written; the file is there before the row.

    It is called within `together`.
    """
    sha256 = hashlib.sha256(paper.data).hexdigest()
    name = f"{sha256[:NAME_LETTERS]}.{paper.kind.ending}"
    row = Issued(
        visit=visit,
        kind=paper.kind.value,
        of=of or paper.of,
        issued_on=on,
        to=address_of(visit),
        letterhead=head_told(),
        lacks=list(paper.gaps),
        stored=name,
        sha256=sha256,
        bytes=len(paper.data),
        program=PROGRAM,
        issued_by=by,
    )
    row.edition = Issued.objects.filter(kind=row.kind, of=row.of).count() + 1
    path = place_of(name)
    if not path.exists():
        made_folder(path.parent)
        written = WRITTEN.get()
        if written is not None:
            written.append(path)
        write_whole(path, paper.data)
    save(row, by, what=f"{row} issued")
    return row


def head_told() -> dict[str, Any]:
    """Return the letterhead of this day as text; the logo by its hash."""
    head = letterhead()
    logo = hashlib.sha256(head.logo.data).hexdigest() if head.logo else ""
    told = {name: value for name, value in asdict(head).items() if name != "logo"}
    return {**told, "logo_sha256": logo}


def place_of(name: str) -> Path:
    """Return where an issued paper of this name lies."""
    return stored_file(PAPERS, name)


def as_made(issued: Issued) -> Made:
    """Return an issued paper with its bytes, proved to be those that were issued.

    Raises
    ------
    InputError : the file is gone, or is not what was issued
    """
    try:
        data = place_of(issued.stored).read_bytes()
    except FileNotFoundError:
        raise InputError(
            _("the file of the issued paper %(name)s is gone; a backup has it") % {"name": issued}
        ) from None
    if hashlib.sha256(data).hexdigest() != issued.sha256:
        raise InputError(
            _("the file of the issued paper %(name)s was changed; a backup has it as it was")
            % {"name": issued}
        )
    edition = f"-{issued.edition}" if issued.edition > 1 else ""
    return Made(
        kind=PaperKind(issued.kind), of=issued.of + edition, data=data, gaps=tuple(issued.lacks)
    )
