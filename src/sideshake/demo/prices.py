"""Prices: lines of an option, the proposal's versions, invoice and payments."""

from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from sideshake.demo.days import Days
from sideshake.demo.script import OptionScript, VisitScript
from sideshake.demo.shapes import Workshop
from sideshake.demo.visit import PENNY, Invoice, Option, Payment, PriceLine, Proposal

State = Literal["draft", "sent", "agreed", "declined", "replaced"]
QUARTERS = 4
SMALL_TOTAL = Decimal(150)
"""Below it no deposit is asked."""
OUTWORK_SHARE = Decimal("0.75")
"""What an errand costs the workshop of what the owner pays."""
UNNUMBERED = ""


def price_lines(option: OptionScript, workshop: Workshop) -> tuple[PriceLine, ...]:
    """Return the lines of an option's price: the work in one sum, parts, outwork.

    The sum is of quarters of an hour; how many stand behind it is the workshop's business.
    """
    tax = workshop.tax_percent
    hours = Decimal(round(option.minutes * QUARTERS / 60)) / QUARTERS
    work = PriceLine(
        kind="work",
        text=option.title,
        each=rounded(hours * workshop.hourly_rate),
        tax_percent=tax,
    )
    if option.price is not None:
        fixed = PriceLine(kind="work", text=option.title, each=option.price, tax_percent=tax)
        return (fixed,)
    parts = (
        PriceLine(kind="part", text=text, each=each, tax_percent=tax)
        for _, text, each in option.parts
    )
    errands = (
        PriceLine(kind="outwork", text=f"{text} ({to})", each=each, tax_percent=tax)
        for to, text, each in option.outwork
    )
    return (*((work,) if hours else ()), *parts, *errands)


def option_of(script: OptionScript, workshop: Workshop) -> Option:
    """Return the option with its price."""
    return Option(
        key=script.key,
        title=script.title,
        reason=script.reason,
        evidence=script.evidence,
        risk=script.risk,
        if_left=script.if_left,
        lines=price_lines(script, workshop),
        need=script.need,
        instead_of=script.instead_of,
        chosen=script.chosen,
        picture=script.picture,
    )


def rounded(amount: Decimal) -> Decimal:
    """Return the amount to the penny."""
    return amount.quantize(PENNY, ROUND_HALF_UP)


def total_of(lines: tuple[PriceLine, ...]) -> Decimal:
    """Return the sum of the lines."""
    return sum((each.amount for each in lines), Decimal(0))


def chosen_lines(options: tuple[OptionScript, ...], workshop: Workshop) -> tuple[PriceLine, ...]:
    """Return the lines of what the owner wanted."""
    return tuple(line for each in options if each.chosen for line in price_lines(each, workshop))


def deposit_of(options: tuple[OptionScript, ...], workshop: Workshop) -> Decimal | None:
    """Return the deposit asked for; None for a small sum."""
    total = total_of(chosen_lines(options, workshop))
    if total < SMALL_TOTAL:
        return None
    return rounded(total * workshop.deposit_percent / 100)


def proposals_of(script: VisitScript, days: Days, workshop: Workshop) -> tuple[Proposal, ...]:
    """Return the versions of the proposal; a visit only looked at has none."""
    if not (script.options and days.reached("proposed")):
        return ()
    answered = days.reached("agreed")
    first = Proposal(
        edition=1,
        state=first_state(script, answered=answered),
        intro=script.intro,
        weeks=script.weeks,
        deposit=deposit_of(script.options, workshop),
        made_on=days.on("proposed"),
        sent_on=days.on("proposed"),
        expires_on=days.on("proposed", later=workshop.proposal_days),
        answered_on=days.on("agreed") if answered else None,
        channel=script.channel if answered else "",
        answer=script.answer if answered else "",
        options=tuple(option_of(each, workshop) for each in script.options),
    )
    return (first, *second_proposal(script, days, workshop))


def first_state(script: VisitScript, *, answered: bool) -> State:
    """Return how the first version stands."""
    if script.step == "declined":
        return "declined"
    if script.second:
        return "replaced"
    return "agreed" if answered else "sent"


def second_proposal(script: VisitScript, days: Days, workshop: Workshop) -> tuple[Proposal, ...]:
    """Return the version made after something new was found, if there was one."""
    second = script.second
    if second is None:
        return ()
    made_on = days.arrived + timedelta(days=second.after_day)
    made = Proposal(
        edition=2,
        state="agreed",
        intro=script.intro,
        weeks=script.weeks,
        deposit=None,
        made_on=made_on,
        sent_on=made_on,
        expires_on=made_on + timedelta(days=workshop.proposal_days),
        answered_on=made_on + timedelta(days=2),
        channel=second.channel,
        answer=second.answer,
        why_changed=second.why_changed,
        options=tuple(option_of(each, workshop) for each in second.options),
    )
    return (made,)


def invoices_of(script: VisitScript, days: Days, workshop: Workshop) -> tuple[Invoice, ...]:
    """Return the invoice, not yet numbered; none before the work is done, none over nothing."""
    lines = chosen_lines(script.last_options, workshop)
    if not days.reached("ready") or not total_of(lines):
        return ()
    issued = days.on("ready")
    return (
        Invoice(
            number=UNNUMBERED,
            issued_on=issued,
            due_on=issued + timedelta(days=workshop.payment_days),
            lines=lines,
        ),
    )


def payments_of(script: VisitScript, days: Days, workshop: Workshop) -> tuple[Payment, ...]:
    """Return what came in: the deposit after the agreement, the rest before the watch goes."""
    if not days.reached("agreed") or script.step == "declined":
        return ()
    deposit = deposit_of(script.options, workshop) or Decimal(0)
    paid = (
        Payment(amount=deposit, on=days.on("agreed"), deposit=True, note="deposit"),
    ) if days.reached("on-the-bench") and deposit else ()  # fmt: skip
    rest = total_of(chosen_lines(script.last_options, workshop)) - deposit
    if not days.reached("gone-home") or not rest:
        return paid
    how = "cash" if not script.carrier else "bank transfer"
    return (*paid, Payment(amount=rest, on=days.on("gone-home"), how=how))
