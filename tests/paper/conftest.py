"""Made-up paper for the tests: nothing in it is a real workshop, watch or person."""

import io
from dataclasses import replace
from datetime import date

import pytest
from PIL import Image, ImageDraw

from sideshake.command.measured import measurements_at
from sideshake.fit.jewel import Part
from sideshake.fit.materials import RUBY
from sideshake.fit.workshop import Workshop as Tools
from sideshake.movement.sheet_file import sheet_at
from sideshake.paper.bench_sheet import BenchSheet, Job
from sideshake.paper.blocks import Caution, Letterhead, Picture
from sideshake.paper.care_card import CardSize, care_card
from sideshake.paper.hole_fit import hole_fit
from sideshake.paper.invoice import Bill
from sideshake.paper.proposal import Offer, OfferedOption, PricedLine
from sideshake.paper.report import Done, Finding, Heard, PartFitted, Position, Proof, Report
from sideshake.pictures.jewel_sheet import JewelOrder, OrderLine
from sideshake.quantities import Measured
from sideshake.shop.repair import Lying, Repair, repair
from sideshake.wear.measurements import bench as laid_out
from sideshake.wear.verdict import Place

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
    before = Heard(rate_s_per_day=Measured(-50, 2.5), amplitude_deg=Measured(208, 2))
    after = Heard(
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
        story="My grandfather wore it on the ice.\nIt stopped in 1974.",
        portrait=drawn_picture("front.png", caption="As it came"),
        seen=(("Dial", "silver, two counters"), ("Case number", "88123")),
        findings=(
            Finding(
                title="The hole in the bridge is worn oval",
                detail="1.012 by 0.936 mm where it should be round.",
                pictures=(drawn_picture("hole.png"),),
            ),
        ),
        done=(
            Done(
                what="Jewelled the bridge",
                measured="hole: 0.921 ± 0.006 mm",
                why="The barrel stands upright again.",
            ),
        ),
        parts=(PartFitted(what="Jewel", origin="made for us", old_part="there was none"),),
        not_original=("A jewel sits where the maker drilled a plain hole.",),
        proof=Proof(
            positions=(Position(words="dial up", before=before, after=after),),
            difference=("It swings 64 ± 5° more than before.",),
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


@pytest.fixture
def bill(offer):
    return Bill(
        head=HEAD,
        day=DAY,
        number="2026-007",
        visit="2026-014",
        watch="Expedition chronograph",
        to=offer.to,
        issued="25 November 2026",
        due="9 December 2026",
        lines=offer.options[0].lines,
        sums=(("Total", "€240.00"), ("Deposit paid", "−€80.00"), ("Still to pay", "€160.00")),
    )


def repair_of(place: Place, *, made_of=RUBY, reamers_mm=()) -> Repair:
    """The repair of the shipped leaning barrel at one hole."""
    sheet, found = sheet_at("tarnbrook-31"), measurements_at("leaning-barrel", {})
    lying = Lying(calibre=sheet, found=found, bench=laid_out(sheet, found))
    tools = Tools(reamers_mm=reamers_mm)
    return repair(lying, place, made_of=made_of, tools=tools, reference="2026-014")


@pytest.fixture
def repair_for():
    return repair_of


REAMERS_MM = (1.09, 1.19, 1.29, 1.39, 1.49)


@pytest.fixture
def bench():
    hole = hole_fit(
        repair_of(Place.ABOVE, reamers_mm=REAMERS_MM),
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
        jobs=(Job(title="Let down the mainspring", caution="A released spring cuts."),),
    )


@pytest.fixture
def order():
    part = Part(outside_mm=2.0, hole_mm=0.92, thickness_mm=0.6)
    line = OrderLine(part=part, quantity=2, reference="2026-014")
    return JewelOrder(workshop=HEAD.name, number="J-3", date="25 Nov 2026", lines=(line,))


@pytest.fixture
def card():
    made = care_card(
        sheet_at("lindquell-25"),
        watch="Steel calendar watch",
        workshop=HEAD.name,
        next_service="March 2030",
    )
    return replace(made, size=CardSize.A6)
