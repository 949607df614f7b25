"""What is overdue, with who waits for whom: money, promised dates, outwork, proposals."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from django.db.models import Exists, OuterRef

from sideshake.web.models import ENDED, Outwork, Proposal, Step, User, Visit
from sideshake.web.money.ledger import debts, ledger
from sideshake.web.money.services import open_invoices
from sideshake.workshop_rules.due import ANSWER_DAYS, days_over
from sideshake.workshop_rules.money import Amount

KEEPS_NO_PROMISE = (*ENDED, Step.READY)
"""A watch that is ready, gone home or declined keeps nobody waiting for the work."""


class OverdueKind(StrEnum):
    """What is overdue."""

    MONEY = "money"
    PROMISE = "promise"
    OUTWORK = "outwork"
    PROPOSAL = "proposal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overdue:
    """One thing that is overdue since `day`; `of` says which, `who` is waited for or waits."""

    what: OverdueKind
    days: int
    day: date
    visit: Visit
    who: str
    of: str = ""
    sum: Amount | None = None
    you_wait: bool = True
    """Whether the workshop waits for `who`; else it is the other way round."""


def overdue(day: date, user: User) -> list[Overdue]:
    """Return all that is overdue and somebody's business, what is overdue longest first."""
    money = overdue_money(day) if user.may_price else ()
    found = [*money, *overdue_promises(day), *overdue_outwork(day), *overdue_proposals(day)]
    return sorted(found, key=lambda each: (-each.days, each.visit.number, each.what))


def overdue_money(day: date, debtors: Collection[int] | None = None) -> Iterator[Overdue]:
    """Yield the invoices that should have been paid; `debtors` as `debts` has them, if known."""
    owing = debts(ledger()).debtors if debtors is None else debtors
    rows = Visit.objects.filter(pk__in=owing, invoices__due_on__lt=day).distinct()
    rows = rows.select_related("watch__owner")
    for visit in rows.prefetch_related("invoices", "payments"):
        for invoice, left in open_invoices(visit):
            days = days_over(invoice.due_on, day)
            if days:
                yield Overdue(
                    what=OverdueKind.MONEY,
                    days=days,
                    day=invoice.due_on,
                    visit=visit,
                    who=str(visit.watch.owner),
                    of=invoice.number,
                    sum=left,
                )


def overdue_promises(day: date) -> Iterator[Overdue]:
    """Yield the visits that should be ready; of one whose owner has not answered, you wait."""
    asked = Proposal.objects.filter(visit=OuterRef("pk"), state="sent")
    rows = Visit.objects.exclude(step__in=KEEPS_NO_PROMISE).filter(promised_on__lt=day)
    for visit in rows.select_related("watch__owner").annotate(asked=Exists(asked)):
        yield Overdue(
            what=OverdueKind.PROMISE,
            days=promise_over(visit, day),
            day=visit.promised_on or day,
            visit=visit,
            who=str(visit.watch.owner),
            you_wait=bool(visit.asked),
        )


def promise_over(visit: Visit, day: date) -> int:
    """Return for how many days a visit should have been ready; 0 when it is not late."""
    return 0 if visit.step in KEEPS_NO_PROMISE else days_over(visit.promised_on, day)


def overdue_outwork(day: date) -> Iterator[Overdue]:
    """Yield the work that should be back."""
    rows = Outwork.objects.filter(back_on=None, due_on__lt=day).exclude(sent_on=None)
    for work in rows.select_related("visit__watch__owner"):
        yield Overdue(
            what=OverdueKind.OUTWORK,
            days=outwork_over(work, day),
            day=work.due_on or day,
            visit=work.visit,
            who=work.to,
            of=work.what,
        )


def outwork_over(work: Outwork, day: date) -> int:
    """Return for how many days outwork should have been back; 0 when it is not late."""
    out = work.sent_on is not None and work.back_on is None
    return days_over(work.due_on, day) if out else 0


def overdue_proposals(day: date) -> Iterator[Overdue]:
    """Yield the proposals that nobody has answered for longer than usual, or that are over."""
    rows = Proposal.objects.filter(state="sent", sent_on__lt=day)
    rows = rows.exclude(visit__step__in=ENDED).select_related("visit__watch__owner")
    for proposal in rows:
        days = answer_over(proposal, day)
        if days:
            yield Overdue(
                what=OverdueKind.PROPOSAL,
                days=days,
                day=proposal.sent_on or day,
                visit=proposal.visit,
                who=str(proposal.visit.watch.owner),
                of=str(proposal.edition),
            )


def answer_over(proposal: Proposal, day: date) -> int:
    """Return how many days ago a proposal was sent that should be answered by now; else 0."""
    if proposal.state != "sent" or proposal.sent_on is None:
        return 0
    ends = proposal.sent_on + timedelta(days=ANSWER_DAYS)
    last = min(ends, proposal.expires_on) if proposal.expires_on else ends
    return (day - proposal.sent_on).days if days_over(last, day) else 0
