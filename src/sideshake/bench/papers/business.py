"""A proposal as it stands on paper."""

from decimal import Decimal

from django.utils.translation import gettext as _

from sideshake.bench.models import (
    Option,
    Proposal,
    the_workshop,
)
from sideshake.bench.papers.bills import tax_words
from sideshake.bench.papers.words import (
    address_of,
    letterhead,
    paper_size,
    picture_of,
    written_day,
    written_money,
)
from sideshake.bench.price_lines import (
    lines_of,
    option_price,
    proposal_totals,
)
from sideshake.paper.proposal import Offer, OfferedOption, PricedLine
from sideshake.shop.money import Amount
from sideshake.shop.totals import Totals


def offer_of(proposal: Proposal) -> Offer:
    """Return a version of the proposal for paper."""
    sums = proposal_totals(proposal, chosen_only=proposal.state == "agreed")
    total = sum_rows(sums)
    if proposal.deposit is not None:
        held = Amount(proposal.deposit.normalize(), proposal.currency)
        total = ((_("Of this as a deposit"), written_money(held)), *total)
    return Offer(
        head=letterhead(),
        day=proposal.sent_on or proposal.made_on,
        visit=proposal.visit.number,
        watch=proposal.visit.watch.title,
        edition=proposal.edition,
        to=address_of(proposal.visit),
        intro=proposal.intro,
        why_changed=proposal.why_changed,
        duration=_("about %(n)s weeks") % {"n": proposal.weeks} if proposal.weeks else "",
        expires=written_day(proposal.expires_on),
        options=tuple(offered(option, proposal.currency) for option in proposal.options.all()),
        total=total,
        how_to_answer=the_workshop().proposal_words,
        paper=paper_size(),
    )


def offered(option: Option, currency: str) -> OfferedOption:
    """Return one option for paper."""
    picture = picture_of(option.photograph)
    return OfferedOption(
        title=option.title,
        price=written_money(option_price(option, currency)),
        reason=option.reason,
        evidence=option.evidence,
        risk=option.risk,
        if_left=option.if_left,
        advised=option.advised,
        lines=tuple(priced_lines(option.lines, currency)),
        pictures=(picture,) if picture else (),
    )


def priced_lines(rows: list[dict[str, str]], currency: str) -> list[PricedLine]:
    """Return price lines as text."""
    return [
        PricedLine(
            what=line.text,
            quantity=f"{Decimal(line.quantity).normalize():f}",
            each=written_money(line.each),
            sum=written_money(line.total),
        )
        for line in lines_of(rows, currency)
    ]


def sum_rows(sums: Totals) -> tuple[tuple[str, str], ...]:
    """Return net, tax by rate and total as rows; the total last."""
    rows = [
        row
        for each in sums.by_rate
        if each.tax.value
        for row in (
            (_("Without tax"), written_money(each.net)),
            (tax_words(each.tax_percent), written_money(each.tax)),
        )
    ]
    return (*rows, (_("Together"), written_money(sums.gross)))
