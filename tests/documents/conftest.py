"""Made-up paper for the tests: nothing in it is a real workshop, watch or person."""

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from PIL import Image, ImageDraw

from sideshake.command.measured import measurements_at
from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, MeasuredChange, PositionRow, Proof
from sideshake.documents.answer import Cause
from sideshake.documents.bench_sheet import BenchSheet, SheetJob
from sideshake.documents.blocks import Caution, Letterhead, Picture
from sideshake.documents.care_card import CareCardSize, care_card
from sideshake.documents.cii import cii
from sideshake.documents.einvoice import BillKind, EInvoice, Party
from sideshake.documents.hole_fit import hole_fit
from sideshake.documents.invoice import Bill, BillLine, RateRow
from sideshake.documents.proposal import Offer, OfferedOption, PricedLine
from sideshake.documents.report import Done, PartFitted, Report, ReportFinding
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine
from sideshake.fit.jewel import Part
from sideshake.fit.materials import RUBY
from sideshake.fit.workshop import WorkshopTools
from sideshake.movement.sheet_file import sheet_at
from sideshake.wear.measurements import bench as laid_out
from sideshake.wear.verdict import BearingPlace
from sideshake.workshop_rules.billed import billed_lines
from sideshake.workshop_rules.money import Amount, money_text
from sideshake.workshop_rules.repair import Lying, Repair, repair
from sideshake.workshop_rules.totals import NoTax, PriceTax, TaxedLine, totals

DAY = date(2026, 11, 25)
HEAD = Letterhead(
    name="Werkstatt Aldermoor",
    address="Mill Lane 3\nOberaldermoor",
    phone="+44 1632 960123",
    email="bench@example.org",
    tax_number="12/345/678",
    bank="Bank of Nowhere, account 4711",
)


def drawn_picture(name: str, *, caption: str = "") -> Picture:
    image = Image.new("RGB", (400, 300), "#e3cfa0")
    ImageDraw.Draw(image).ellipse((100, 50, 300, 250), outline="#1f2f4a", width=6)
    written = io.BytesIO()
    image.save(written, "PNG")
    return Picture(name=name, data=written.getvalue(), alt="a ring", caption=caption)


@pytest.fixture
def told():
    before = HeardFigures(rate_s_per_day=Measured(-50, 2.5), amplitude_deg=Measured(208, 2))
    after = HeardFigures(
        rate_s_per_day=Measured(6.2, 0.2),
        amplitude_deg=Measured(272, 1.5),
        beat_error_ms=Measured(0.2, 0.02),
    )
    return Report(
        head=HEAD,
        day=DAY,
        visit="2026-014",
        watch="Expedition chronograph",
        owner="Ottilie Marwood",
        written="25 November 2026",
        result="It now keeps time within 7 seconds a day.",
        told_us="It stops at night.",
        causes=(
            Cause(
                found="The hole in the bridge is worn oval",
                done="Jewelled the bridge. Hole: 0.921 ± 0.006 mm.",
                put_right=True,
            ),
        ),
        story="My grandfather wore it on the ice.\nIt stopped in 1974.",
        portrait=drawn_picture("front.png", caption="As it came"),
        seen=(("Dial", "silver, two counters"), ("Case number", "88123")),
        findings=(
            ReportFinding(
                title="The hole in the bridge is worn oval",
                detail="1.012 by 0.936 mm where it should be round.",
                pictures=(drawn_picture("hole.png"),),
            ),
        ),
        done=(
            Done(
                what="Jewelled the bridge",
                measured="Hole: 0.921 ± 0.006 mm",
                why="The barrel stands upright again.",
            ),
        ),
        parts=(PartFitted(what="Jewel", origin="made for us", old_part="there was none"),),
        not_original=("A jewel sits where the maker drilled a plain hole.",),
        proof=Proof(
            positions=(PositionRow(words="dial up", before=before, after=after),),
            changes=(MeasuredChange(sentences=("It swings 64 ± 5° more than before.",)),),
            conditions=(("Lift angle used", "50 ± 1°"),),
            running_time="46.2 ± 0.3 h",
            water="held 1 bar, dry",
            water_day="20 November 2026",
        ),
        look_after=("Wind it once a day.",),
        cautions=(Caution(title="Radium paint", words="Never open the case.", grave=True),),
        next_service="November 2030",
        warranty="12 months",
    )


@pytest.fixture
def offer():
    lines = (
        PricedLine(what="Work", quantity="2", each="€80.00", sum="€160.00"),
        PricedLine(what="Jewel", quantity="1", each="€80.00", sum="€80.00"),
    )
    return Offer(
        head=HEAD,
        day=DAY,
        visit="2026-014",
        watch="Expedition chronograph",
        edition=2,
        to="Ottilie Marwood\nLane 3",
        intro="Thank you for your patience.",
        duration="six weeks",
        expires="25 December 2026",
        options=(
            OfferedOption(
                title="A jewel for the bridge",
                price="€240.00",
                reason="The barrel leans and rubs.",
                evidence="The hole is 1.012 by 0.936 mm.",
                risk="The bridge may crack.",
                if_left="It will stop again.",
                lines=lines,
            ),
            OfferedOption(title="Polish the case", price="€60.00", need="possible"),
        ),
        total=(("Net", "€252.10"), ("Tax 19 %", "€47.90"), ("Total", "€300.00")),
    )


def priced(text, each, percent, *, no_tax=None, quantity="1", apart=False):
    return TaxedLine(
        text=text,
        quantity=Decimal(quantity),
        each=Amount(Decimal(each), "EUR"),
        tax_percent=Decimal(percent),
        no_tax=no_tax,
        apart=apart,
    )


@pytest.fixture
def figures():
    """An invoice with two rates, a discount and a deposit taken off; prices contain the tax."""
    lines = (
        priced("Overhaul of the movement", "80.00", 19, quantity="2.5"),
        priced("A watch sold second-hand", "60.00", 0, no_tax=NoTax.SECOND_HAND),
        priced("Less, for the wait", "-10.00", 19),
        priced("Deposit, invoice INV-2026-003 of 2 October 2026", "-80.00", 19, apart=True),
    )
    return EInvoice(
        kind=BillKind.INVOICE,
        number="INV-2026-007",
        issued_on=DAY,
        due_on=date(2026, 12, 9),
        supplied_on=date(2026, 11, 20),
        seller=Party(
            name=HEAD.name, address=tuple(HEAD.address.splitlines()), country="AT",
            tax_number=HEAD.tax_number,
        ),
        buyer=Party(name="Ottilie Marwood", address=("Lane 3",), country="FR"),
        lines=billed_lines(lines, currency="EUR", prices=PriceTax.GROSS),
        totals=totals(lines, currency="EUR", prices=PriceTax.GROSS),
        paid=Amount(Decimal(30), "EUR"),
    )  # fmt: skip


def euros(amount):
    return money_text(amount, "en_GB")


@pytest.fixture
def bill(offer, figures):
    sums = figures.totals
    return Bill(
        head=HEAD,
        day=DAY,
        number=figures.number,
        visit="2026-014",
        watch="Expedition chronograph",
        to=offer.to,
        to_tax_number="FR 12 345678901",
        issued="25 November 2026",
        due="9 December 2026",
        supplied="20 November 2026",
        lines=tuple(
            BillLine(
                what=line.text, quantity=str(line.quantity), each=f"€{line.each_net}",
                tax=f"{line.tax_percent} %", net=euros(line.net), gross=euros(line.gross),
            )
            for line in figures.lines
        ),
        rates=tuple(
            RateRow(
                words=f"Tax {each.tax_percent} %", net=euros(each.net), tax=euros(each.tax),
                gross=euros(each.gross),
            )
            for each in sums.by_rate
        ),
        total=RateRow(
            words="Total", net=euros(sums.net), tax=euros(sums.tax), gross=euros(sums.gross)
        ),
        paid=(("Paid 3 November 2026", "−€30.00"),),
        left=("Still to be paid by 9 December 2026", euros(figures.due)),
        reasons=sums.wordings,
        note="Thank you for your patience.",
        rights="You may withdraw from this contract within 14 days.",
        data=cii(figures),
    )  # fmt: skip


def repair_of(place: BearingPlace, *, made_of=RUBY, reamers_mm=()) -> Repair:
    """The repair of the shipped leaning barrel at one hole."""
    sheet, found = sheet_at("tarnbrook-31"), measurements_at("leaning-barrel", {})
    lying = Lying(calibre=sheet, found=found, bench=laid_out(sheet, found))
    tools = WorkshopTools(reamers_mm=reamers_mm)
    return repair(lying, place, made_of=made_of, tools=tools, reference="2026-014")


@pytest.fixture
def repair_for():
    return repair_of


REAMERS_MM = (1.09, 1.19, 1.29, 1.39, 1.49)


@pytest.fixture
def bench():
    hole = hole_fit(
        repair_of(BearingPlace.ABOVE, reamers_mm=REAMERS_MM),
        in_drawer_mm=REAMERS_MM[1:],
        endshake_mm=Measured(0.03),
    )
    return BenchSheet(
        head=HEAD,
        day=DAY,
        visit="2026-014",
        watch="Expedition chronograph",
        calibre="Tarnbrook 31",
        holes=(hole,),
        jobs=(SheetJob(title="Let down the mainspring", caution="A released spring cuts."),),
    )


@pytest.fixture
def order():
    part = Part(outside_mm=2.0, hole_mm=0.92, thickness_mm=0.6)
    line = OrderLine(part=part, quantity=2, reference="2026-014")
    return OrderDrawing(workshop=HEAD.name, number="J-3", date="25 Nov 2026", lines=(line,))


@pytest.fixture
def card():
    made = care_card(
        sheet_at("lindquell-25"),
        watch="Steel calendar watch",
        workshop=HEAD.name,
        next_service="March 2030",
    )
    return replace(made, size=CareCardSize.A6)
