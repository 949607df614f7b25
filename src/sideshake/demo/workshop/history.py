"""Who did what when, told of the visits written in: a line for each, as saving would have made."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

from sideshake.demo import visit as told
from sideshake.demo.workshop.rows import moment
from sideshake.web.base.saving import change_words, differences
from sideshake.web.models import Change, Record, Step, User, Visit

EVENING = timedelta(hours=17, minutes=30)
"""A step is ended after the day's work for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryEvent:
    """A record that came to be, or the visit going on to a step."""

    day: date
    by: User | None
    record: Record
    step: tuple[str, str] | None = None

    @property
    def at(self) -> datetime:
        """Return the moment: a step's is the evening, the arrival's the early morning."""
        if isinstance(self.record, Visit):
            first = moment(self.day, "").replace(hour=0, minute=0, second=0)
            return first + (EVENING if self.step else timedelta(hours=7, minutes=50))
        return moment(self.day, f"{self.record._meta.model_name} {self.record.pk}")


def write_history(visit: Visit, season_visit: told.Visit, people: dict[str, User]) -> None:
    """Write the history of one visit."""
    events = sorted(
        [
            HistoryEvent(day=season_visit.arrived_on, by=visit.received_by, record=visit),
            *steps(visit, season_visit),
            *seen(visit, season_visit, people),
            *done(visit, people),
        ],
        key=lambda each: each.at,
    )
    rows = Change.objects.bulk_create(change(visit, each) for each in events)
    for row, event in zip(rows, events, strict=True):
        row.at = event.at
    Change.objects.bulk_update(rows, ["at"])


def steps(visit: Visit, season_visit: told.Visit) -> Iterator[HistoryEvent]:
    """Yield the visit going from step to step."""
    for (before, _), (after, day) in pairwise(days_of_steps(season_visit)):
        yield HistoryEvent(day=day, by=visit.received_by, record=visit, step=(before, after))


def days_of_steps(season_visit: told.Visit) -> list[tuple[str, date]]:
    """Return the steps the visit went through, each with its day as the records tell it."""
    work = [each.done_on for each in season_visit.plan if each.kind == "work" and each.done_on]
    tests = [each.done_on for each in season_visit.plan if each.kind == "test" and each.done_on]
    proposed = [each.sent_on for each in season_visit.proposals if each.sent_on]
    answered = [each.answered_on for each in season_visit.proposals if each.answered_on]
    now: tuple[str, date] = (season_visit.step, season_visit.step_since)
    known: dict[str, list[date]] = {
        Step.LOOKED_OVER: [looked_on(season_visit)] if season_visit.look_over else [],
        Step.PROPOSED: proposed,
        Step.AGREED: [] if now[0] == Step.DECLINED else answered,
        Step.ON_THE_BENCH: work,
        Step.ON_TEST: tests,
        Step.READY: [each.issued_on for each in season_visit.invoices],
    }
    found = [(step, min(days)) for step, days in known.items() if days]
    ways = [(Step.ARRIVED.value, season_visit.arrived_on), *found]
    return [each for each in ways if each[0] != now[0]] + [now]


def looked_on(season_visit: told.Visit) -> date:
    """Return the day of the look-over: when the back and the inside were photographed."""
    days = [each.taken_on for each in season_visit.photographs]
    return max(days, default=season_visit.arrived_on)


def seen(visit: Visit, season_visit: told.Visit, people: dict[str, User]) -> Iterator[HistoryEvent]:
    """Yield what was photographed, answered, found, measured and heard being written down."""
    looked, by = looked_on(season_visit), visit.received_by
    for photograph in visit.photographs.all():
        day = photograph.taken_at.date() if photograph.taken_at else looked
        yield HistoryEvent(day=day, by=people["miro"], record=photograph)
    for row in (*visit.look_over.all(), *visit.findings.all(), *visit.measurements.all()):
        late = getattr(row, "after", False)
        yield HistoryEvent(day=season_visit.step_since if late else looked, by=by, record=row)
    for found in visit.rounds.all():
        yield HistoryEvent(day=found.begun_at.date(), by=by, record=found)
    for reading in visit.readings.all():
        if reading.heard_at:
            yield HistoryEvent(day=reading.heard_at.date(), by=by, record=reading)


def done(visit: Visit, people: dict[str, User]) -> Iterator[HistoryEvent]:
    """Yield proposals, work, parts and money being written down."""
    runs_it = people["edda"]
    for proposal in visit.proposals.all():
        yield HistoryEvent(day=proposal.made_on, by=runs_it, record=proposal)
    for step in visit.plan.all():
        if step.done_at:
            yield HistoryEvent(day=step.done_at.date(), by=step.done_by, record=step)
    for used in visit.used.select_related("batch"):
        yield HistoryEvent(day=used.on, by=used.by, record=used)
    for outwork in visit.outwork.all():
        if outwork.sent_on:
            yield HistoryEvent(day=outwork.sent_on, by=runs_it, record=outwork)
    for invoice in visit.invoices.all():
        yield HistoryEvent(day=invoice.issued_on, by=runs_it, record=invoice)
    for payment in visit.payments.all():
        yield HistoryEvent(day=payment.on, by=runs_it, record=payment)


def change(visit: Visit, event: HistoryEvent) -> Change:
    """Return the line of the history about an event."""
    if event.step:
        fields: dict[str, Any] = {"step": list(event.step)}
        what = f"{visit}: {Step(event.step[1]).label}"
    else:
        fields = differences(None, event.record)
        what = change_words(event.record, None, fields)
    return Change(
        by=event.by, visit=visit, kind=event.record._meta.model_name or "",
        row=event.record.pk, what=what, fields=fields,
    )  # fmt: skip
