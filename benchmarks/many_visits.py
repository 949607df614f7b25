"""A workshop with 10,000 visits, all invented: what a busy bench has after a working life.

A visit has five photographs, a look-over, findings, sizes, readings, a proposal, a bench plan with
its tests, an invoice, payments and a history; two in a hundred are still in the house.
"""

import random
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.db import models, transaction

from sideshake.movement.sheet_file import shipped_sheet
from sideshake.web import models as records
from sideshake.web.base.saving import folded
from sideshake.web.models import Step
from sideshake.workshop_rules.acceptance import AcceptanceTest, checks_before_home
from sideshake.workshop_rules.findings import SeenFinding, UsualFinding, usual_findings
from sideshake.workshop_rules.look_over import questions
from sideshake.workshop_rules.options import Suggestion
from sideshake.workshop_rules.plan import PlannedStep, bench_steps
from sideshake.workshop_rules.question import Question
from sideshake.workshop_rules.suggest import suggestions

VISITS, WATCHES, OWNERS = 10_000, 6_000, 4_000
ITEMS, BATCHES = 800, 2_000
PHOTOGRAPHS = 5
OPEN_SHARE = 0.02
CALIBRES = ("tarnbrook-31", "wendelmoor-43", "lindquell-25")
FIRST, LAST_DAY = date(2001, 1, 8), date(2026, 11, 20)
STAY_DAYS = 45
CHUNK = 500
FORENAMES = ("Ottilie", "Ruben", "Wenna", "Aldous", "Greta", "Ivo", "Maud", "Cyrus", "Tamsin")
SURNAMES = ("Marwood", "Thrale", "Penhale", "Oakshott", "Vellacott", "Brunning", "Carne", "Dorrit")
TITLES = ("silver hunter", "expedition chronograph", "square wrist watch", "nurse's fob watch",
          "gold repeater", "pilot's watch", "railway watch", "thin dress watch")  # fmt: skip
WORDS = (
    "stops", "in", "the", "night", "gains", "after", "a", "fall", "crown", "slips", "crystal",
    "cracked", "grandfather", "wore", "it", "at", "sea", "dial", "spotted", "runs",
)  # fmt: skip
SIZES = (("above.hole_long_mm", 1.012), ("above.hole_short_mm", 0.936), ("above.pivot_mm", 0.896),
         ("above.room_mm", 2.8), ("below.hole_mm", 0.928), ("below.pivot_mm", 0.897),
         ("barrel.endshake_mm", 0.045), ("barrel.gap_bridge_mm", 0.2),
         ("barrel.gap_plate_mm", 0.21))  # fmt: skip
POSITIONS = ("CH", "FH", "3H", "6H", "9H", "12H")
FOUND = (SeenFinding(key="oil-dried"), SeenFinding(key="winding-rough"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the shop knows of a calibre: the same for all its watches."""

    asked: tuple[Question, ...]
    findings: tuple[UsualFinding, ...]
    options: tuple[Suggestion, ...]
    steps: tuple[PlannedStep, ...]
    checks: tuple[AcceptanceTest, ...]

    @classmethod
    def of(cls, calibre: str) -> "Known":
        sheet = shipped_sheet(calibre)
        options = suggestions(None, FOUND, sheet)
        return cls(
            asked=questions(sheet), findings=usual_findings(sheet), options=options,
            steps=bench_steps(sheet, options), checks=checks_before_home(sheet),
        )  # fmt: skip


class Filler:
    """Makes the rows of one visit after the other, from a fixed seed."""

    def __init__(self, *, visits: int = VISITS, seed: int = 20261125) -> None:
        self.visits = visits
        self.watches = max(1, visits * WATCHES // VISITS)
        self.owners = max(1, visits * OWNERS // VISITS)
        self.items = max(10, visits * ITEMS // VISITS)
        self.batches = max(20, visits * BATCHES // VISITS)
        self.random = random.Random(seed)
        self.people: list[Any] = []
        self.known = [Known.of(calibre) for calibre in CALIBRES]

    def words(self, count: int) -> str:
        return " ".join(self.random.choices(WORDS, k=count))

    def fill(self) -> None:
        """Write everything."""
        self.people = [
            records.User.objects.create_user(name, role=role)
            for name, role in zip(("owner", "colleague", "apprentice"), records.Role, strict=True)
        ]
        records.the_workshop()
        store(records.Owner, map(self.owner, range(self.owners)))
        store(records.Watch, map(self.watch, range(self.watches)))
        store(records.Item, map(self.item, range(self.items)))
        store(records.Batch, map(self.batch, range(self.batches)))
        for start in range(0, self.visits, CHUNK):
            self.chunk(range(start, min(start + CHUNK, self.visits)))

    @transaction.atomic
    def chunk(self, numbers: range) -> None:
        visits = [self.visit(number) for number in numbers]
        records.Visit.objects.bulk_create(visits)
        rows: list[models.Model] = [row for visit in visits for row in self.about(visit)]
        for model in dict.fromkeys(type(row) for row in rows):
            store(model, (row for row in rows if type(row) is model))

    def about(self, visit: Any) -> Iterator[models.Model]:
        """Yield every row that belongs to a visit, parents before their children."""
        parts: tuple[Callable[[Any], Iterator[models.Model]], ...] = (
            self.photographs, self.look_over, self.findings, self.sizes, self.readings,
            self.proposals, self.plan, self.money, self.used, self.history,
        )  # fmt: skip
        rows = [row for part in parts for row in part(visit)]
        yield from rows
        said = [visit.complaint, visit.number, *(str(row) for row in rows)]
        text = folded("\n".join(said))
        yield records.VisitText(visit=visit, folded=text, unpriced=text)

    def owner(self, at: int) -> Any:
        name = f"{self.random.choice(FORENAMES)} {self.random.choice(SURNAMES)} {at}"
        return records.Owner(
            id=at + 1, name=name, email=f"owner{at}@example.org", address=f"{at} Mill Lane\nTarn",
            since=FIRST,
        )  # fmt: skip

    def watch(self, at: int) -> Any:
        calibre = CALIBRES[(at + 1) % len(CALIBRES)]
        return records.Watch(
            id=at + 1, owner_id=at % self.owners + 1, title=self.random.choice(TITLES),
            calibre=calibre, case_serial=str(100000 + at), movement_serial=str(500000 + at),
            story=self.words(40), dial_seen=self.words(12), case_seen=self.words(12),
        )  # fmt: skip

    def item(self, at: int) -> Any:
        kind = self.random.choice(records.Kind.values)
        return records.Item(
            id=at + 1, kind=kind, name=f"{kind} {0.5 + at % 90 / 100:.2f} mm, {at}", low_at=2,
            hole_mm=0.5 + at % 90 / 100, outside_mm=1.2 + at % 50 / 100, thickness_mm=0.3,
            place=f"drawer {at % 40}",
        )  # fmt: skip

    def batch(self, at: int) -> Any:
        return records.Batch(
            id=at + 1, item_id=at % self.items + 1, label=f"B{at}",
            received_on=self.day(at / self.batches), quantity=self.random.randint(1, 20),
            supplier="Harrowgill Jewels",
        )  # fmt: skip

    def day(self, share: float) -> date:
        return FIRST + (LAST_DAY - FIRST) * share

    def visit(self, at: int) -> Any:
        arrived = self.day(at / self.visits)
        is_open = at >= self.visits * (1 - OPEN_SHARE)
        steps = list(Step)
        step = steps[at % 7] if is_open else steps[7 if at % 20 else 8]
        gone = None if is_open else arrived + timedelta(days=STAY_DAYS)
        return records.Visit(
            id=at + 1, number=f"{arrived.year}-{at + 1:05d}", watch_id=at % self.watches + 1,
            step=step, step_since=gone or arrived, arrived_on=arrived, received_by=self.people[0],
            promised_on=arrived + timedelta(days=STAY_DAYS - 5), complaint=self.words(15),
            gone_home_on=gone if step == Step.GONE_HOME else None,
            warranty_until=gone + timedelta(days=365) if gone else None,
            next_service_on=gone + timedelta(days=1461) if gone else None,
            parcel_seen=self.words(8), declared_value=Decimal(900),
        )  # fmt: skip

    def photographs(self, visit: Any) -> Iterator[models.Model]:
        mark = {"across": 0.4, "down": 0.6, "text": "scratch at the lug", "grave": False}
        for place in range(PHOTOGRAPHS):
            name = f"{visit.pk:08x}{place}".rjust(64, "0")
            yield records.Photograph(
                visit=visit, stored=f"{name}.jpg", sha256=name, format="JPEG", bytes=3_000_000,
                width_px=4000, height_px=3000, caption=f"view {place + 1}", place=place,
                marks=[mark] * (place % 3),
            )  # fmt: skip

    def known_of(self, visit: Any) -> Known:
        return self.known[visit.watch_id % len(self.known)]

    def look_over(self, visit: Any) -> Iterator[models.Model]:
        for asked in self.known_of(visit).asked:
            answer = self.random.choice(asked.answers)
            yield records.LookOver(
                visit=visit, question=asked.key, choice=answer.key, said=answer.text,
                by=self.people[2],
            )  # fmt: skip

    def findings(self, visit: Any) -> Iterator[models.Model]:
        for seen in self.random.sample(self.known_of(visit).findings, 3):
            yield records.Finding(visit=visit, key=seen.key, title=seen.title, part=seen.part)

    def sizes(self, visit: Any) -> Iterator[models.Model]:
        for key, value in SIZES:
            off = self.random.gauss(0, 0.003)
            yield records.Measurement(visit=visit, key=key, value=round(value + off, 3), u=0.004)

    def readings(self, visit: Any) -> Iterator[models.Model]:
        for after in (False, True):
            for position in POSITIONS:
                rate, swing = self.random.gauss(5, 8), self.random.gauss(250, 20)
                yield records.Reading(
                    visit=visit, position=position, wound="full", after=after, state="heard",
                    sentence=f"Gains {rate:.1f} ± 0.4 s a day, swings {swing:.0f} ± 3°.",
                    heard_at=at_noon(visit.arrived_on), beats_per_hour=18000, lift_angle_deg=52,
                    lift_angle_u_deg=1, rate_s_per_day=rate, rate_u_s_per_day=0.2,
                    amplitude_deg=swing, amplitude_u_deg=1.5, beat_error_ms=0.4,
                    beat_error_u_ms=0.05,
                )  # fmt: skip

    def proposals(self, visit: Any) -> Iterator[models.Model]:
        proposal = records.Proposal(
            id=visit.pk, visit=visit, edition=1, currency="EUR", made_on=visit.arrived_on,
            sent_on=visit.arrived_on, expires_on=visit.arrived_on + timedelta(days=30),
            answered_on=visit.arrived_on, state="agreed", channel="email", answer=self.words(6),
        )  # fmt: skip
        yield proposal
        for place, offered in enumerate(self.known_of(visit).options):
            yield records.Option(
                proposal=proposal, place=place, key=offered.key, title=offered.title,
                reason=offered.reason, risk=offered.risk, if_left=offered.if_left,
                lines=[work_line()], chosen=True,
            )  # fmt: skip

    def plan(self, visit: Any) -> Iterator[models.Model]:
        known = self.known_of(visit)
        done = at_noon(visit.arrived_on)
        for place, step in enumerate(known.steps):
            yield records.PlanStep(
                visit=visit, key=step.key, place=place, title=step.title, how=step.how,
                caution=step.caution or "", planned_minutes=30, minutes=25, done_at=done,
                done_by=self.people[1],
            )  # fmt: skip
        for place, check in enumerate(known.checks):
            yield records.PlanStep(
                visit=visit, kind="test", key=f"test-{check.key}", place=place, title=check.title,
                how=check.noted, unit=check.unit, result="good", done_at=done,
            )  # fmt: skip

    def money(self, visit: Any) -> Iterator[models.Model]:
        if visit.step != Step.GONE_HOME:
            return
        yield records.Invoice(
            visit=visit, number=f"R{visit.number}", issued_on=visit.gone_home_on, currency="EUR",
            due_on=visit.gone_home_on + timedelta(days=14), lines=[work_line()] * 3,
            issued_by=self.people[0],
        )  # fmt: skip
        for deposit in (True, False):
            yield records.Payment(
                visit=visit, amount=Decimal(360), currency="EUR", on=visit.gone_home_on,
                how="bank", deposit=deposit,
            )  # fmt: skip

    def used(self, visit: Any) -> Iterator[models.Model]:
        yield records.Used(
            visit=visit, batch_id=visit.pk % self.batches + 1, on=visit.arrived_on,
            by=self.people[1], note="barrel bridge",
        )  # fmt: skip
        if visit.pk % 4 == 0:
            yield records.Outwork(
                visit=visit, what="jewel for the barrel bridge", to="Harrowgill Jewels", jewel=True,
                hole_mm=0.91, outside_mm=1.6, thickness_mm=0.4, sent_on=visit.arrived_on,
                back_on=visit.gone_home_on,
            )  # fmt: skip

    def history(self, visit: Any) -> Iterator[models.Model]:
        for place in range(20):
            yield records.Change(
                at=at_noon(visit.arrived_on), by=self.people[place % 2], visit=visit, kind="visit",
                row=visit.pk, what="visit: step", fields={"step": ["arrived", "looked-over"]},
            )  # fmt: skip


def work_line() -> dict[str, str]:
    return {"kind": "work", "text": "overhaul", "quantity": "1", "each": "240", "tax_percent": "20"}


def at_noon(day: date) -> datetime:
    return datetime.combine(day, time(12), tzinfo=UTC)


def store(model: type[models.Model], rows: Iterable[models.Model]) -> None:
    model._default_manager.bulk_create(list(rows), batch_size=CHUNK)
