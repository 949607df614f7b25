"""Proposals: drafted from what was found, sent, answered, and never changed afterwards."""

from datetime import date
from decimal import Decimal

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.putting_aside import link
from sideshake.web.base.saving import remove, save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.measuring.services import judged
from sideshake.web.models import (
    Option,
    Proposal,
    Removed,
    Severity,
    Step,
    User,
    Visit,
    Workshop,
    the_workshop,
)
from sideshake.web.money.price_lines import stored_line
from sideshake.web.owners.speaking import speaking_to_owner
from sideshake.web.proposals.offers import proposal_totals, without_price
from sideshake.web.proposals.rights import form_asked, is_consumer, rights_asked
from sideshake.web.visits.services import move
from sideshake.workshop_rules.due import proposal_expiry
from sideshake.workshop_rules.findings import BY_KEY, SeenFinding
from sideshake.workshop_rules.money import Amount, rounded
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.options import Suggestion, price, to_step
from sideshake.workshop_rules.suggest import suggestions, unanswered
from sideshake.workshop_rules.totals import TaxedLine, deposit

BEFORE_PROPOSAL = (Step.ARRIVED, Step.LOOKED_OVER, Step.DECLINED)
"""Steps from which a proposal leads on; after a no there may be another one."""
NEED_OF: dict[str, WorkNeed] = {
    Severity.NOTE: WorkNeed.POSSIBLE,
    Severity.WORN: WorkNeed.ADVISED,
    Severity.BROKEN: WorkNeed.NECESSARY,
    Severity.DANGER: WorkNeed.NECESSARY,
}
"""What a finding asks for, by how bad it is."""


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
        withdrawal=shop.withdrawal,
        withdrawal_form=shop.withdrawal_form and is_consumer(visit.watch.owner),
        guarantee=shop.guarantee,
        written_by=by,
        made_on=on,
    )
    save(proposal, by)
    for place, each in enumerate(suggested(visit)):
        save(option_of(proposal, each, shop, place=place), by)
    proposal.deposit = usual_deposit(proposal)
    save(proposal, by)
    return proposal


def suggested(visit: Visit) -> tuple[Suggestion, ...]:
    """Return what the workshop rules suggest for a visit, in its owner's language."""
    verdict, sheet = judged(visit).verdict, sheet_named(visit.watch.calibre)
    with speaking_to_owner(visit):
        return suggestions(verdict, shop_findings(visit), sheet)


def shop_findings(visit: Visit) -> tuple[SeenFinding, ...]:
    """Return a visit's findings as the workshop rules know them."""
    return tuple(
        SeenFinding(
            key=row.key if row.key in BY_KEY else "",
            text="" if row.key in BY_KEY else row.title,
            evidence=row.detail,
            need=NEED_OF[row.severity],
        )
        for row in visit.findings.all()
        if not row.mended
    )


def without_option(visit: Visit) -> tuple[SeenFinding, ...]:
    """Return the findings that no suggested option answers."""
    return unanswered(shop_findings(visit))


def option_of(proposal: Proposal, each: Suggestion, shop: Workshop, *, place: int) -> Option:
    """Return a suggestion as an option, priced at the workshop's hourly rate."""
    hour = Amount(rounded(Decimal(shop.hourly_rate), proposal.currency), proposal.currency)
    asked = to_step(price(each.time, hour=hour).middle, Decimal(shop.prices_to))
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
        need=each.need,
        instead_of=each.instead_of or "",
        lines=lines,
    )


def priced(text: str, each: Amount, kind: str, shop: Workshop) -> dict[str, str]:
    """Return a price line with the workshop's tax."""
    tax = Decimal(shop.tax_percent).normalize()
    return stored_line(kind, TaxedLine(text=text, quantity=1, each=each, tax_percent=tax))


def usual_deposit(proposal: Proposal) -> Decimal:
    """Return the workshop's usual share of the advised options."""
    gross = proposal_totals(proposal).gross
    if gross.value <= 0:
        return Decimal(0)
    return deposit(gross, percent=Decimal(the_workshop().deposit_percent)).value


@transaction.atomic
def write_round(proposal: Proposal, by: User, *, seen: int | None = None) -> None:
    """Write what stands round the options of a draft.

    Raises
    ------
    InputError : it was sent; nothing is written
    """
    held_draft(proposal.pk)
    save(proposal, by, seen=seen)


@transaction.atomic
def write_option(option: Option, by: User, *, seen: int | None = None) -> None:
    """Write an option of a draft; a deposit of the usual share follows the price.

    Raises
    ------
    InputError : the proposal was sent; nothing is written
    """
    proposal = held_draft(option.proposal_id)
    usual = usual_deposit(proposal)
    save(option, by, seen=seen)
    if not option.key:
        option.key = f"own-{option.pk}"
        save(option, by)
    follow_options(proposal, usual, by)


@transaction.atomic
def take_out(option: Option, by: User, *, seen: int | None = None) -> Removed | None:
    """Put an option of a draft aside, and return what holds it.

    Raises
    ------
    InputError : the proposal was sent; nothing is removed
    """
    proposal = held_draft(option.proposal_id)
    usual = usual_deposit(proposal)
    links = []
    for other in proposal.options.filter(instead_of=option.key).exclude(instead_of=""):
        links.append(link(other, "instead_of"))
        other.instead_of = ""
        save(other, by)
    aside = remove(option, by, seen=seen, links=links)
    follow_options(proposal, usual, by)
    return aside


@transaction.atomic
def shift(option: Option, places: int, by: User) -> None:
    """Move an option of a draft so many places down; up when below zero."""
    proposal = held_draft(option.proposal_id)
    options = list(proposal.options.all())
    at = options.index(option)
    options.insert(min(max(at + places, 0), len(options) - 1), options.pop(at))
    for place, each in enumerate(options):
        each.place = place
        save(each, by)
    follow_options(proposal, usual_deposit(proposal), by)


def held_draft(pk: int) -> Proposal:
    """Return a draft as it is stored, held until the transaction ends.

    Raises
    ------
    InputError : it is no draft any more
    """
    hold_visits(Proposal.objects.filter(pk=pk).values_list("visit", flat=True))
    proposal = held(Proposal.objects.all()).get(pk=pk)
    require_state(proposal, "draft")
    return proposal


def follow_options(proposal: Proposal, usual: Decimal, by: User) -> None:
    """Keep the deposit at the usual share if it was that, and let the draft's version rise.

    Whoever sends a draft has seen its options: with the version, sending finds out.
    """
    now = usual_deposit(proposal)
    if proposal.deposit == usual and now != usual:
        proposal.deposit = now
        save(proposal, by)
    else:
        Proposal.objects.filter(pk=proposal.pk).update(version=F("version") + 1)


@transaction.atomic
def send(
    proposal: Proposal, by: User, *, on: date, seen: int | None = None, free: bool = False
) -> None:
    """Freeze a draft as it goes to the owner, and bring the visit to proposed.

    Raises
    ------
    InputError : it is no draft, has no option, or has a part at 0.00 and it is not said that such
        parts are `free`
    """
    require_state(proposal, "draft")
    if not proposal.options.exists():
        raise InputError(_("a proposal needs at least one option before it is sent"))
    if not free and (unpriced := without_price(proposal)):
        raise InputError(
            _("no price yet for %(what)s: give one, or say that it costs nothing")
            % {"what": ", ".join(unpriced)}
        )
    proposal.state, proposal.sent_on, proposal.written_by = "sent", on, by
    with speaking_to_owner(proposal.visit):
        proposal.rights = rights_asked(proposal)
    proposal.withdrawal_form = form_asked(proposal)
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
    copy.channel, copy.answer, copy.rights = "", "", ""
    save(copy, by, what=f"proposal {copy.edition} begun from {proposal.edition}")
    for option in options:
        option.pk, option.version, option.proposal, option.chosen = None, 1, copy, False
        save(option, by)
    return copy


def require_state(proposal: Proposal, state: str) -> None:
    """Refuse what may not be done with a proposal in its state."""
    if proposal.state != state:
        raise InputError(
            _("proposal %(edition)s is %(state)s: it does not change any more")
            % {"edition": proposal.edition, "state": proposal.get_state_display()}
        )
