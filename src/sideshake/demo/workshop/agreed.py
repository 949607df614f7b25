"""What was proposed, agreed, done and paid in a visit."""

from datetime import date, datetime, timedelta
from typing import Any

from sideshake.demo import visit as told
from sideshake.demo.workshop.rows import copied, moment, moments
from sideshake.demo.workshop.standing import StandingRows
from sideshake.web.models import (
    Invoice,
    JewelOrder,
    Option,
    Outwork,
    Payment,
    Photograph,
    PlanStep,
    Proposal,
    Used,
    User,
    Visit,
)

A_DAY, BENCH = timedelta(days=1), timedelta(days=3)
"""Work that is not ended was done in the first days at the bench."""


def write_proposals(
    visit: Visit,
    season_visit: told.Visit,
    standing: StandingRows,
    photographs: dict[str, Photograph],
) -> None:
    """Write the versions of the proposal with their options."""
    shop = standing.workshop
    for each in season_visit.proposals:
        row = copied(
            Proposal, each, visit=visit, currency=shop.currency,
            prices_hold_tax=shop.prices_hold_tax, written_by=standing.writer,
        )  # fmt: skip
        row.save()
        Option.objects.bulk_create(
            copied(
                Option, option, proposal=row, place=place, lines=lines(option.lines),
                photograph=photographs.get(option.picture or ""),
            )
            for place, option in enumerate(each.options)
        )  # fmt: skip


def lines(told_lines: tuple[told.PriceLine, ...]) -> list[dict[str, str]]:
    """Return the lines of a price as the records keep them: numbers as decimal text."""
    return [
        {
            "kind": each.kind,
            "text": each.text,
            "quantity": str(each.quantity),
            "each": str(each.each),
            "tax_percent": str(each.tax_percent),
        }
        for each in told_lines
    ]


def write_plan(visit: Visit, season_visit: told.Visit, people: dict[str, User]) -> None:
    """Write the steps at the bench and the tests."""
    times = iter(times_of(season_visit))
    PlanStep.objects.bulk_create(
        plan_step(visit, each, place, people[each.by], next(times))
        if each.done_on
        else copied(PlanStep, each, visit=visit, place=place)
        for place, each in enumerate(season_visit.plan)
    )


def plan_step(visit: Visit, each: told.BenchStep, place: int, by: User, at: datetime) -> PlanStep:
    """Return a step that is done."""
    return copied(PlanStep, each, visit=visit, place=place, done_at=at, done_by=by)


def times_of(season_visit: told.Visit) -> list[datetime]:
    """Return when each step was done that is done: the work one after the other, then the tests."""
    work = [each.done_on for each in season_visit.plan if each.done_on and each.kind == "work"]
    tests = [each.done_on for each in season_visit.plan if each.done_on and each.kind == "test"]
    if not work:
        return []
    first, key = work[0], season_visit.key
    last = tests[0] if tests else first + BENCH
    times = moments(first, max(first, last - A_DAY), len(work), key)
    return times + [moment(day, f"{key} {place}") for place, day in enumerate(tests)]


def write_parts(
    visit: Visit, season_visit: told.Visit, standing: StandingRows, orders: dict[str, JewelOrder]
) -> None:
    """Write what came out of the drawer for it, and what went out to others."""
    by = standing.people["edda"]
    Used.objects.bulk_create(
        copied(Used, each, visit=visit, batch=standing.batches[each.batch], by=by)
        for each in season_visit.used
    )
    Outwork.objects.bulk_create(
        copied(Outwork, each, visit=visit, order=orders.get(each.order))
        for each in season_visit.outwork
    )


def write_money(visit: Visit, season_visit: told.Visit, standing: StandingRows) -> None:
    """Write invoices and payments."""
    shop, by = standing.workshop, standing.people["edda"]
    common: dict[str, Any] = {"visit": visit, "currency": shop.currency}
    invoice = None
    for each in season_visit.invoices:
        invoice = copied(
            Invoice, each, lines=lines(each.lines), issued_by=by,
            supplied_on=supplied_on(season_visit, each.issued_on),
            prices_hold_tax=shop.prices_hold_tax, tax_wording=shop.tax_wording, **common,
        )  # fmt: skip
        invoice.save()
    Payment.objects.bulk_create(
        copied(Payment, each, invoice=invoice, **common) for each in season_visit.payments
    )


def supplied_on(season_visit: told.Visit, issued_on: date) -> date:
    """Return the day on which the last work was done; that of the invoice when no day is told."""
    work = [each for each in season_visit.plan if each.kind == "work" and each.done_on]
    days = [at.date() for at in times_of(season_visit)[: len(work)]]
    return min(max(days, default=issued_on), issued_on)
