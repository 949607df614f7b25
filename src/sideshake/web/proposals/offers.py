"""A proposal's options by the workshop rules: what can be chosen, and what each choice costs."""

from collections.abc import Sequence
from decimal import Decimal

from sideshake.web.models import Option, Proposal
from sideshake.web.money.price_lines import lines_of, option_price, prices_of
from sideshake.workshop_rules.choices import Choice, Offered, choices
from sideshake.workshop_rules.money import Amount, rounded
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.totals import Totals, totals

MATERIAL = ("part", "outwork")


def offered_options(options: Sequence[Option], currency: str = "") -> tuple[Offered, ...]:
    """Return options with their numbers on the paper; without a currency, without their prices."""
    numbers = numbers_of(options)
    return tuple(
        Offered(
            number=number,
            need=WorkNeed(each.need),
            lines=lines_of(each.lines, currency) if currency else (),
            instead_of=numbers.get(each.instead_of) if each.instead_of else None,
        )
        for number, each in enumerate(options, start=1)
    )


def numbers_of(options: Sequence[Option]) -> dict[str, int]:
    """Return under which number an option of each key stands on the paper."""
    return {each.key: number for number, each in enumerate(options, start=1) if each.key}


def choices_of(proposal: Proposal) -> tuple[Choice, ...]:
    """Return what the owner can choose between, with the sum of each choice."""
    options = list(proposal.options.all())
    return choices(
        offered_options(options, proposal.currency),
        currency=proposal.currency,
        prices=prices_of(proposal),
    )


def proposal_totals(proposal: Proposal, *, chosen_only: bool = False) -> Totals:
    """Return the sums of a proposal: of what is advised, or of what the owner chose.

    Of options that exclude each other only the one that stands by itself is counted.
    """
    options = [
        option
        for option in proposal.options.all()
        if (option.chosen if chosen_only else is_advised(option))
    ]
    rows = [row for option in options for row in option.lines]
    lines = lines_of(rows, proposal.currency)
    return totals(lines, currency=proposal.currency, prices=prices_of(proposal))


def is_advised(option: Option) -> bool:
    """Return whether an option is among those advised, and takes no other's place."""
    return option.need != WorkNeed.POSSIBLE and not option.instead_of


def is_unchosen(proposal: Proposal) -> bool:
    """Return whether nothing of a proposal is agreed and nothing advised, so that it has no sum."""
    return proposal.state != "agreed" and not any(map(is_advised, proposal.options.all()))


def without_price(proposal: Proposal) -> list[str]:
    """Return the parts and the outwork of a proposal that stand at 0.00."""
    return [
        str(row["text"])
        for option in proposal.options.all()
        for row in option.lines
        if row["kind"] in MATERIAL and not Decimal(row["each"])
    ]


def hours_behind(option: Option, currency: str, hourly_rate: Decimal) -> Decimal | None:
    """Return how many hours the price of an option's work pays; None without work or a rate."""
    work = Option(lines=[row for row in option.lines if row["kind"] == "work"])
    asked = option_price(work, currency).value
    return (asked / hourly_rate).quantize(Decimal("0.1")) if asked and hourly_rate else None


def limit_of(proposal: Proposal) -> Amount | None:
    """Return the limit that the owner named, in the proposal's currency; None when none was."""
    named = proposal.visit.budget_limit
    if named is None:
        return None
    return Amount(rounded(named, proposal.currency), proposal.currency)
