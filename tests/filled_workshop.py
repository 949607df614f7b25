"""A visit with something in every table, and the address of every page about it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import soundfile
from django.db.models import Model
from django.urls import URLPattern, URLResolver, get_resolver
from PIL import Image

from sideshake.movement.sheet_file import shipped_text
from sideshake.web.calibres.sheets import plain_sheet
from sideshake.web.documents.issuing import invoice_given
from sideshake.web.models import (
    Batch,
    Calibre,
    Earlier,
    Finding,
    Invoice,
    Issued,
    Item,
    JewelOrder,
    LookOver,
    Measurement,
    Option,
    Outwork,
    Payment,
    Photograph,
    PlanStep,
    Programme,
    Proposal,
    Reading,
    Recording,
    Rehearing,
    Removed,
    Round,
    Used,
)
from sideshake.web.readings.microphone_check import begin as begin_trial
from sideshake.web.sample_clock.check import begin
from sideshake.web.sample_clock.session import Reference


@dataclass(frozen=True)
class Address:
    name: str
    pattern: str

    def filled(self, known: dict[str, object]) -> str:
        """Return the address with each gap filled: by what stands before it, or by its own name."""

        def fitting(gap: re.Match) -> str:
            room, between, name = gap.groups()
            return f"{room}{between}{known[room] if room in known else known[name]}"

        return re.sub(r"([\w-]*)([/.])<(?:\w+:)?(\w+)>", fitting, self.pattern)


def addresses(found=None, before: str = "/") -> Iterator[Address]:
    for entry in get_resolver().url_patterns if found is None else found:
        here = before + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from addresses(entry.url_patterns, here)
        elif isinstance(entry, URLPattern):
            yield Address(str(entry.name), here)


ALL = {each.name: each for each in addresses()}


DAY = date(2026, 3, 5)
SIZES = {
    "above.hole_long_mm": 1.012, "above.hole_short_mm": 0.936, "above.long_axis_deg": 95,
    "above.pivot_mm": 0.896, "above.room_mm": 2.8, "above.edge_mm": 1.6,
    "above.thickness_mm": 0.6, "below.hole_mm": 0.928, "below.pivot_mm": 0.897,
    "below.room_mm": 2.4, "below.thickness_mm": 0.55, "barrel.endshake_mm": 0.045,
    "barrel.gap_bridge_mm": 0.2, "barrel.gap_plate_mm": 0.21,
    "directions.centre_wheel_deg": 60, "directions.crown_wheel_deg": 200,
}  # fmt: skip


class Rows(dict):
    """What a visit is filled with: the first row of each kind, by the name of its model."""

    def note(self, model: type[Model], **values) -> Model:
        made = model._default_manager.create(**values)
        return self.setdefault(model.__name__, made)


def fill(visit, by, files: Path) -> Rows:
    """Return the rows of a visit with something in every table; its files lie on the disk."""
    rows = Rows()
    seen_and_heard(rows, visit, files)
    worked(rows, visit, by)
    priced(rows, visit)
    return rows


def seen_and_heard(rows: Rows, visit, files: Path) -> None:
    for folder in ("photographs", "recordings"):
        (files / folder).mkdir(parents=True)
    Image.new("RGB", (40, 30), "#c9b48a").save(files / "photographs" / "a.jpg")
    soundfile.write(files / "recordings" / "a.wav", [0.0] * 48000, 48000)
    photograph = rows.note(
        Photograph, visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9,
        width_px=40, height_px=30,
        marks=[{"across": 0.5, "down": 0.5, "text": "dent", "grave": False}],
    )  # fmt: skip
    rows.note(LookOver, visit=visit, question="winding", choice="g", said="Good")
    rows.note(Finding, visit=visit, key="oil-dried", title="oil dried", photograph=photograph)
    for key, value in SIZES.items():
        rows.note(Measurement, visit=visit, key=key, value=value, u=0.004)
    recording = rows.note(
        Recording, visit=visit, stored="a.wav", sha256="b", bytes=9, rate_hz=48000, duration_s=1
    )
    plan = [
        {"position": "CH", "chronograph_on": False},
        {"position": "6H", "chronograph_on": False},
    ]
    rows.note(
        Reading, visit=visit, recording=recording, state="heard", round=rows.note(
            Round, visit=visit, plan=plan
        ), position="CH", wound="full",
        sentence="Gains.", rate_s_per_day=6.2, rate_u_s_per_day=0.4, amplitude_deg=243,
        amplitude_u_deg=3, beat_error_ms=0.6, beat_error_u_ms=0.1, beats_per_hour=18000,
    )  # fmt: skip
    rows.note(
        Earlier, reading=rows["Reading"], fate="heard", sentence="Lost.",
        run=rows.note(Rehearing, scope="visit", of="2026-001", program="0.1.0", ear=2),
    )  # fmt: skip
    rows.note(
        Programme, visit=visit, size="large", begun_on=DAY,
        states=[{"at": f"2026-03-0{day}T08:00:00+00:00", "state_s": 2.5 * day} for day in (5, 6)],
    )  # fmt: skip


def worked(rows: Rows, visit, by) -> None:
    rows.note(PlanStep, visit=visit, key="open-case", place=1, title="Case opened", minutes=5)
    rows.note(PlanStep, visit=visit, key="beat", kind="test", place=2, title="Beat", unit="ms")
    rows.note(Calibre, name="own-12", sheet=plain_sheet(shipped_text("tolvane-26")))
    item = rows.note(Item, name="jewel 0.91", kind="jewel", hole_mm=0.91)
    batch = rows.note(Batch, item=item, received_on=DAY, quantity=5)
    rows.note(Used, visit=visit, batch=batch, on=DAY, by=by)
    order = rows.note(JewelOrder, number="J1", to="a jewel maker", ordered_on=DAY)
    rows.note(
        Outwork, visit=visit, what="jewel", jewel=True, hole_mm=0.91, outside_mm=1.5,
        thickness_mm=0.3, order=order,
    )  # fmt: skip


def priced(rows: Rows, visit) -> None:
    line = {"kind": "work", "text": "overhaul", "quantity": "1", "each": "240", "tax_percent": "20"}
    proposal = rows.note(
        Proposal, visit=visit, edition=1, currency="EUR", made_on=DAY, state="agreed",
        answered_on=DAY, channel="phone",
    )  # fmt: skip
    rows.note(
        Option, proposal=proposal, key="overhaul", title="overhaul", lines=[line], chosen=True
    )
    rows.note(
        Invoice, visit=visit, number="2026-0001", issued_on=DAY, due_on=DAY, currency="EUR",
        lines=[line],
    )  # fmt: skip
    invoice_given(rows["Invoice"])
    rows.note(
        Issued, visit=visit, kind="report", of=visit.number, issued_on=DAY, stored="gone.pdf",
        sha256="c", bytes=9, program="0.1.0",
    )  # fmt: skip
    rows.note(Removed, visit=visit, kind="finding", what="finding: dent", held="{}")
    rows.note(Removed, visit=visit, kind="payment", what="payment: 931.77 EUR", held="{}")
    rows.note(Payment, visit=visit, amount=100, currency="EUR", on=DAY, deposit=True)


def gaps_of(visit, filled: Rows, apprentice) -> dict[str, object]:
    """Return what stands in the gaps of the addresses, by what stands before each."""
    return {
        "visits": visit.number,
        "owners": visit.watch.owner_id,
        "watches": visit.watch_id,
        "people": apprentice.pk,
        "findings": filled["Finding"].pk,
        "photographs": filled["Photograph"].pk,
        "points": 0,
        "size": "small",
        "jewel": "above",
        "desk": "third.above",
        "desk-after": "third.above",
        "drawing": "svg",
        "sheet": 1,
        "ending": "svg",
        "card": "a6",
        "kind": "lateness",
        "readings": filled["Reading"].pk,
        "recordings": filled["Recording"].pk,
        "drawn": "positions",
        "proposal": filled["Proposal"].edition,
        "options": filled["Option"].pk,
        "invoices": filled["Invoice"].number,
        "payments": filled["Payment"].pk,
        "plan": filled["PlanStep"].pk,
        "tests": PlanStep.objects.get(kind="test").pk,
        "drawer": filled["Item"].pk,
        "use": filled["Item"].pk,
        "batch": filled["Batch"].pk,
        "batches": filled["Batch"].pk,
        "used": filled["Used"].pk,
        "jewels": filled["JewelOrder"].pk,
        "outwork": filled["Outwork"].pk,
        "calibres": "tolvane-26",
        "calibre": filled["Calibre"].pk,
        "section": "train",
        "microphone": begin_trial("desk", 48000),
        "clock": begin(Reference(recorder="desk", beats_per_hour=3600, within_ppm=10), 48000),
        "programmes": filled["Programme"].pk,
        "rounds": filled["Round"].pk,
        "hear-again": filled["Rehearing"].pk,
        "earlier": filled["Earlier"].pk,
        "comparisons": 1,
        "papers": filled["Issued"].pk,
        "removed": filled["Removed"].pk,
        "token": "x",
    }
