"""Proposals: drafted from what was found, sent, answered, and never changed afterwards."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.bench.models import Option, Proposal, Step, User, Visit, Workshop, the_workshop
from sideshake.bench.price_lines import proposal_totals, stored_line
from sideshake.bench.services.measuring import judged
from sideshake.bench.services.saving import save
from sideshake.bench.services.visiting import move
from sideshake.bench.sheets import sheet_named
from sideshake.errors import InputError
from sideshake.shop.due import proposal_expiry
from sideshake.shop.findings import BY_KEY, Finding
from sideshake.shop.money import Amount
from sideshake.shop.options import Suggestion, price
from sideshake.shop.suggest import suggestions, unanswered
from sideshake.shop.totals import Line, deposit

BEFORE_PROPOSAL = (Step.ARRIVED, Step.LOOKED_OVER)


@transaction.atomic
def draft(visit: Visit, by: User, *, on: date) -> Proposal:
    """Return a new draft: options from the visit's findings and the verdict on its sizes.

    Raises
    ------
    InputError : there is a draft already
    """
    if visit.proposals.filter(state="draft").exists():
        raise InputError(_("a proposal is being written already; go on with that one"))
    shop = the_workshop()
    proposal = Proposal(
        visit=visit,
        edition=visit.proposals.count() + 1,
        currency=shop.currency,
        prices_hold_tax=shop.prices_hold_tax,
        made_on=on,
    )
    save(proposal, by)
    for place, each in enumerate(suggested(visit)):
        save(option_of(proposal, each, shop, place=place), by)
    set_usual_deposit(proposal, shop, by)
    return proposal


def suggested(visit: Visit) -> tuple[Suggestion, ...]:
    """Return what the shop suggests for a visit."""
    return suggestions(
        judged(visit).verdict, shop_findings(visit), sheet_named(visit.watch.calibre)
    )


def shop_findings(visit: Visit) -> tuple[Finding, ...]:
    """Return a visit's findings as the shop knows them."""
    return tuple(
        Finding(
            key=row.key if row.key in BY_KEY else "",
            text="" if row.key in BY_KEY else row.title,
            evidence=row.detail,
        )
        for row in visit.findings.all()
        if not row.mended
    )


def without_option(visit: Visit) -> tuple[Finding, ...]:
    """Return the findings that no suggested option answers."""
    return unanswered(shop_findings(visit))


def option_of(proposal: Proposal, each: Suggestion, shop: Workshop, *, place: int) -> Option:
    """Return a suggestion as an option, priced at the workshop's hourly rate."""
    hour = Amount(Decimal(shop.hourly_rate).quantize(Decimal("0.01")), proposal.currency)
    asked = price(each.time, hour=hour).middle
    lines = [priced(each.title, asked, "work", shop)] if each.time.most_min else []
    lines += [priced(part, hour.times(0), "part", shop) for part in each.parts]
    lines += [priced(each.outwork, hour.times(0), "outwork", shop)] if each.outwork else []
    return Option(
        proposal=proposal,
        place=place,
        key=each.key,
        title=each.title[:160],
        reason=each.reason,
        evidence="\n".join(each.evidence),
        risk=each.risk,
        if_left=each.if_left,
        advised=each.instead_of is None,
        lines=lines,
    )


def priced(text: str, each: Amount, kind: str, shop: Workshop) -> dict[str, str]:
    """Return a price line with the workshop's tax."""
    tax = Decimal(shop.tax_percent).normalize()
    return stored_line(kind, Line(text=text, quantity=1, each=each, tax_percent=tax))


def set_usual_deposit(proposal: Proposal, shop: Workshop, by: User) -> None:
    """Set the usual share of the advised options as the deposit."""
    gross = proposal_totals(proposal).gross
    proposal.deposit = deposit(gross, percent=Decimal(shop.deposit_percent)).value
    save(proposal, by)


@transaction.atomic
def send(proposal: Proposal, by: User, *, on: date, seen: int | None = None) -> None:
    """Freeze a draft as it goes to the owner, and bring the visit to proposed.

    Raises
    ------
    InputError : it is no draft, or has no option
    """
    require_state(proposal, "draft")
    if not proposal.options.exists():
        raise InputError(_("a proposal needs at least one option before it is sent"))
    proposal.state, proposal.sent_on = "sent", on
    proposal.expires_on = proposal.expires_on or proposal_expiry(on, the_workshop().proposal_days)
    save(proposal, by, seen=seen, what=f"{proposal} sent")
    replace_older(proposal, by)
    if proposal.visit.step in BEFORE_PROPOSAL:
        move(proposal.visit, Step.PROPOSED, by, on=max(on, proposal.visit.arrived_on))


def replace_older(proposal: Proposal, by: User) -> None:
    """Mark what was sent before and not answered as replaced."""
    for older in proposal.visit.proposals.filter(state="sent").exclude(pk=proposal.pk):
        older.state = "replaced"
        save(older, by, what=f"{older} replaced by {proposal}")


@transaction.atomic
def agree(proposal: Proposal, chosen: set[int], by: User) -> None:
    """Store the owner's yes to some options; day, channel and words are set on the proposal.

    Raises
    ------
    InputError : it does not wait for an answer, is over, or nothing was chosen
    """
    require_state(proposal, "sent")
    if proposal.expires_on and proposal.answered_on and proposal.answered_on > proposal.expires_on:
        raise InputError(
            _("this proposal ended on %(day)s; make a new version") % {"day": proposal.expires_on}
        )
    options = list(proposal.options.all())
    if not any(option.pk in chosen for option in options):
        raise InputError(_("tick at least one option, or record that the owner declined"))
    for option in options:
        option.chosen = option.pk in chosen
        save(option, by)
    proposal.state = "agreed"
    save(proposal, by, what=f"{proposal} agreed")
    for older in proposal.visit.proposals.filter(state="agreed").exclude(pk=proposal.pk):
        older.state = "replaced"
        save(older, by, what=f"{older} replaced by {proposal}")
    if proposal.visit.step in (*BEFORE_PROPOSAL, Step.PROPOSED):
        move(proposal.visit, Step.AGREED, by, on=day_of_answer(proposal))


@transaction.atomic
def decline(proposal: Proposal, by: User) -> None:
    """Store the owner's no, and bring a visit without other agreement to declined."""
    require_state(proposal, "sent")
    proposal.state = "declined"
    save(proposal, by, what=f"{proposal} declined")
    visit = proposal.visit
    if not visit.proposals.filter(state="agreed").exists():
        visit.declined_why = visit.declined_why or proposal.answer or _("the owner declined")
        move(visit, Step.DECLINED, by, on=day_of_answer(proposal))


def day_of_answer(proposal: Proposal) -> date:
    """Return the day of the answer, which cannot be before the watch arrived."""
    return max(proposal.answered_on or proposal.made_on, proposal.visit.arrived_on)


@transaction.atomic
def new_edition(proposal: Proposal, by: User, *, on: date, why: str) -> Proposal:
    """Return a draft that begins as a copy; the older version stays as it is.

    Raises
    ------
    InputError : it is a draft itself, another draft is open, or no reason is given
    """
    if proposal.state == "draft" or proposal.visit.proposals.filter(state="draft").exists():
        raise InputError(_("a proposal is being written already; go on with that one"))
    if not why.strip():
        raise InputError(_("say why the new version differs: the owner will ask"))
    options = list(proposal.options.all())
    copy = Proposal.objects.get(pk=proposal.pk)
    copy.pk, copy.version = None, 1
    copy.edition = proposal.visit.proposals.count() + 1
    copy.state, copy.made_on, copy.why_changed = "draft", on, why
    copy.sent_on = copy.expires_on = copy.answered_on = None
    copy.channel, copy.answer = "", ""
    save(copy, by, what=f"proposal {copy.edition} begun from {proposal.edition}")
    for option in options:
        option.pk, option.version, option.proposal = None, 1, copy
        save(option, by)
    return copy


def require_state(proposal: Proposal, state: str) -> None:
    """Refuse what may not be done with a proposal in its state."""
    if proposal.state != state:
        raise InputError(
            _("proposal %(edition)s is %(state)s: it does not change any more")
            % {"edition": proposal.edition, "state": proposal.get_state_display()}
        )


def differences(older: Proposal, newer: Proposal) -> list[str]:
    """Return in words what a newer version changes: options added, left out, priced anew."""
    was = {option.title: option for option in older.options.all()}
    now = {option.title: option for option in newer.options.all()}
    said = [_("new: %(title)s") % {"title": title} for title in now if title not in was]
    said += [_("left out: %(title)s") % {"title": title} for title in was if title not in now]
    said += [
        _("price changed: %(title)s") % {"title": title}
        for title in now
        if title in was and now[title].lines != was[title].lines
    ]
    return said
