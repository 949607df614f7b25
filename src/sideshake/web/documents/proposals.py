"""A proposal as it stands on paper."""

from collections.abc import Iterator

from sideshake.documents.blocks import Picture
from sideshake.documents.proposal import Offer, OfferedChoice, OfferedOption
from sideshake.documents.withdrawal import Withdrawal
from sideshake.web.documents.care_cards import cautions_of
from sideshake.web.documents.price_rows import priced_lines, sum_rows
from sideshake.web.documents.words import (
    address_of,
    letterhead,
    paper_size,
    picture_of,
    written_day,
    written_money,
)
from sideshake.web.models import Option, Proposal, the_workshop
from sideshake.web.money.price_lines import option_price
from sideshake.web.proposals.offers import (
    choices_of,
    is_unchosen,
    limit_of,
    numbers_of,
    proposal_totals,
)
from sideshake.web.proposals.rights import has_form, rights_asked
from sideshake.wording import gettext as _
from sideshake.workshop_rules.choices import Choice, over
from sideshake.workshop_rules.money import Amount, rounded


def offer_of(proposal: Proposal) -> Offer:
    """Return a version of the proposal for paper."""
    day, agreed = proposal.sent_on or proposal.made_on, proposal.state == "agreed"
    limit = limit_of(proposal)
    return Offer(
        head=letterhead(),
        day=day,
        visit=proposal.visit.number,
        watch=proposal.visit.watch.title,
        edition=proposal.edition,
        replaced_by=newer_edition(proposal),
        to=address_of(proposal.visit),
        intro=proposal.intro,
        why_changed=proposal.why_changed,
        written_on=written_day(day),
        written_by=proposal.written_by.on_paper if proposal.written_by else "",
        duration=duration(proposal.weeks),
        expires=written_day(proposal.expires_on),
        options=tuple(offered(proposal)),
        choices=tuple(chosen(each, limit) for each in choices_of(proposal)),
        limit=written_money(limit) if limit else "",
        deposit=deposit_words(proposal),
        total=sums_of(proposal),
        tax=tax_sentence(proposal),
        agreed=agreed,
        cautions=tuple(each for each in cautions_of(proposal.visit) if each.grave),
        how_to_answer=the_workshop().proposal_words,
        rights=proposal.rights if proposal.sent_on else rights_asked(proposal),
        withdrawal=contract_of(proposal) if has_form(proposal) else None,
        paper=paper_size(),
    )


def contract_of(proposal: Proposal) -> Withdrawal:
    """Return the contract that a version becomes, as the form of withdrawal names it."""
    named = {"visit": proposal.visit.number, "edition": proposal.edition}
    return Withdrawal(
        work=_("work on %(watch)s") % {"watch": proposal.visit.watch.title},
        reference=_("proposal %(visit)s, version %(edition)s") % named,
    )


def newer_edition(proposal: Proposal) -> int | None:
    """Return which later version took its place; None while none did, or it is only written."""
    if proposal.state != "replaced":
        return None
    later = proposal.visit.proposals.filter(edition__gt=proposal.edition).exclude(state="draft")
    found = later.order_by("edition").last()
    return found.edition if found else None


def sums_of(proposal: Proposal) -> tuple[tuple[str, str], ...]:
    """Return the sums of what was agreed or is advised; none while there is neither."""
    if is_unchosen(proposal):
        return ()
    return sum_rows(proposal_totals(proposal, chosen_only=proposal.state == "agreed"))


def duration(weeks: int | None) -> str:
    """Return how long the work takes, in words; empty when it is not known."""
    if not weeks:
        return ""
    return _("about one week") if weeks == 1 else _("about %(n)s weeks") % {"n": weeks}


def deposit_words(proposal: Proposal) -> str:
    """Return the deposit asked for; empty when there is none."""
    if not proposal.deposit:
        return ""
    held = Amount(rounded(proposal.deposit, proposal.currency), proposal.currency)
    return _("%(amount)s of this sum") % {"amount": written_money(held)}


def tax_sentence(proposal: Proposal) -> str:
    """Return whether the prices hold the tax, by the rates of their lines."""
    lines = [row for each in proposal.options.all() for row in each.lines]
    if not lines:
        return ""
    if not any(float(row.get("tax_percent", "0")) for row in lines):
        return the_workshop().tax_wording or _("No tax is charged on these prices.")
    if proposal.prices_hold_tax:
        return _("All prices and sums include the tax.")
    return _("The prices of the options are without tax; the sums include it.")


def chosen(choice: Choice, limit: Amount | None) -> OfferedChoice:
    """Return a choice for paper, its sum held against the limit that the owner named."""
    return OfferedChoice(
        words=choice.words,
        numbers=", ".join(map(str, choice.numbers)),
        sum=written_money(choice.sums.gross),
        limit=limit_words(choice, limit) if limit else "",
    )


def limit_words(choice: Choice, limit: Amount) -> str:
    """Return how a choice stands to the limit."""
    beyond = over(limit, choice)
    if beyond.value <= 0:
        return _("within it")
    return _("over it by %(amount)s") % {"amount": written_money(beyond)}


def offered(proposal: Proposal) -> Iterator[OfferedOption]:
    """Yield the options for paper; a photograph stands at the first option that it belongs to."""
    options = list(proposal.options.all())
    numbers = numbers_of(options)
    shown: set[int] = set()
    for option in options:
        picture = None if option.photograph_id in shown else picture_of(option.photograph)
        shown.add(option.photograph_id or 0)
        yield offered_option(option, proposal.currency, numbers, picture=picture)


def offered_option(
    option: Option, currency: str, numbers: dict[str, int], *, picture: Picture | None
) -> OfferedOption:
    """Return one option for paper."""
    return OfferedOption(
        title=option.title,
        price=written_money(option_price(option, currency)),
        reason=option.reason,
        evidence=option.evidence,
        risk=option.risk,
        if_left=option.if_left,
        need=option.need,
        instead_of=numbers.get(option.instead_of) if option.instead_of else None,
        chosen=option.chosen if option.proposal.state == "agreed" else None,
        lines=tuple(priced_lines(option.lines, currency, sent=option.proposal.sent_on is not None)),
        pictures=(picture,) if picture else (),
    )
