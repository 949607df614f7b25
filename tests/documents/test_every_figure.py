"""Whatever the records hold stands on the paper: a law, on figures drawn at random."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pdf_words import letters_of

from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, PositionRow, Proof
from sideshake.documents.bench_sheet import bench_sheet
from sideshake.documents.care_card import CareCardSize, card_sheet, care_card
from sideshake.documents.document import document_sheet
from sideshake.documents.hole_fit import ToNote
from sideshake.documents.invoice import BillLine, RateRow, invoice
from sideshake.documents.jewel_order import jewel_order_sheet
from sideshake.documents.proposal import OfferedOption, PricedLine, proposal
from sideshake.documents.report import PartFitted, report
from sideshake.documents.typeset import Sheet, pdf
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine
from sideshake.fit.jewel import Part
from sideshake.fit.materials import BRONZE, RUBY
from sideshake.movement.calendar import hand_time, observed, quick_set
from sideshake.movement.hand_times import outward, quarter_words
from sideshake.workshop_rules.money import Amount, money_text

DAY = date(2026, 11, 25)
quickly = settings(
    max_examples=15,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def printed(sheet: Sheet) -> str:
    return letters_of(pdf(sheet))


def missing(figures: list[str], sheet: Sheet) -> list[str]:
    text = printed(sheet)
    return [each for each in figures if "".join(each.split()).replace("-", "") not in text]


def measured(low, high, *, least_u, most_u):
    return st.builds(Measured, st.floats(low, high), st.floats(least_u, most_u))


heard = st.builds(
    HeardFigures,
    rate_s_per_day=measured(-900, 900, least_u=0.01, most_u=60) | st.none(),
    amplitude_deg=measured(100, 340, least_u=0.1, most_u=20) | st.none(),
    beat_error_ms=measured(0, 9.9, least_u=0.001, most_u=0.5),
)
positions = st.lists(st.tuples(heard, heard), min_size=1, max_size=6).map(
    lambda pairs: tuple(
        PositionRow(words=f"position {place}", before=before, after=after)
        for place, (before, after) in enumerate(pairs)
    )
)


def texts(each: HeardFigures) -> list[str]:
    rate, swing, error = each.rate_s_per_day, each.amplitude_deg, each.beat_error_ms
    return [value.text(sign=value is rate) for value in (rate, swing, error) if value is not None]


@quickly
@given(positions=positions, reserve=measured(10, 60, least_u=0.01, most_u=1))
def test_the_report_holds_every_reading_with_its_interval(told, positions, reserve):
    running = f"{reserve.text()} h"
    proof = Proof(positions=positions, running_time=running)
    pairs = [each for position in positions for each in (position.before, position.after)]
    figures = [running, *(text for each in pairs for text in texts(each))]
    assert missing(figures, document_sheet(report(replace(told, proof=proof)))) == []


amounts = st.decimals(Decimal("-99999.99"), Decimal("99999.99"), places=2)
lines = st.lists(st.tuples(amounts, st.integers(1, 99)), min_size=1, max_size=5)
money = st.tuples(st.sampled_from(["EUR", "GBP", "CHF", "USD", "SEK"]),
                  st.sampled_from(["en_GB", "de_CH", "de_DE", "fr_FR", "sv_SE"]))  # fmt: skip


def priced(rows, currency, locale) -> tuple[PricedLine, ...]:
    def written(amount):
        return money_text(Amount(amount, currency), locale)

    return tuple(
        PricedLine(what=f"Work {place}", quantity=str(count), each=written(each),
                   sum=written(each * count))
        for place, (each, count) in enumerate(rows)
    )  # fmt: skip


@quickly
@given(rows=st.lists(lines, min_size=1, max_size=4), money=money)
def test_the_proposal_holds_every_price(offer, rows, money):
    options = tuple(
        OfferedOption(title=f"Option {place}", price=written[0].sum, lines=written)
        for place, written in enumerate(priced(part, *money) for part in rows)
    )
    figures = [each.price for each in options]
    figures += [text for option in options for line in option.lines
                for text in (line.quantity, line.each, line.sum)]  # fmt: skip
    sheet = document_sheet(proposal(replace(offer, options=options)))
    assert missing([*figures, *(words for _name, words in offer.total)], sheet) == []


@quickly
@given(rows=lines, money=money)
def test_the_invoice_holds_every_line_and_sum(bill, rows, money):
    written = priced(rows, *money)
    rates = tuple(
        RateRow(words=f"Sum {place}", net=line.sum, tax=line.each, gross=line.sum)
        for place, line in enumerate(written)
    )
    billed = tuple(
        BillLine(what=line.what, quantity=line.quantity, each=line.each, tax="19 %", net=line.sum)
        for line in written
    )
    figures = [text for line in written for text in (line.quantity, line.each, line.sum)]
    made = replace(bill, lines=billed, rates=rates)
    assert missing(figures, document_sheet(invoice(made))) == []


@st.composite
def parts(draw):
    hole = draw(st.floats(0.1, 2.0))
    outside = hole + draw(st.floats(0.3, 0.9))
    return Part(
        outside_mm=round(outside, 3),
        hole_mm=round(hole, 3),
        thickness_mm=round(draw(st.floats(0.2, 1.5)), 2),
        material=draw(st.sampled_from([RUBY, BRONZE])),
        sink=draw(st.booleans()),
    )


@quickly
@given(made=st.lists(parts(), min_size=1, max_size=5, unique=True))
def test_the_jewel_order_holds_every_size(made):
    lines = tuple(
        OrderLine(part=part, quantity=place + 2, reference=f"2026-{place:03d}")
        for place, part in enumerate(made)
    )
    order = OrderDrawing(workshop="Ours", number="J2026-004", date="25 Nov 2026", lines=lines)
    figures = ["J2026-004"]
    for line in lines:
        part = line.part
        figures += [f"{part.outside_mm:.3f}", f"{part.hole_mm:.3f}", f"{part.thickness_mm:.3f}"]
        figures += [line.reference, part.material.name, f"quantity {line.quantity}", part.sizes]
    assert missing(figures, jewel_order_sheet(order, day=DAY)) == []


@quickly
@given(begins=st.integers(0, 1439), lasts=st.integers(0, 500), size=st.sampled_from(CareCardSize))
def test_the_care_card_holds_its_hours(begins, lasts, size):
    moved = (begins + lasts) % 1440
    times = [f"{each // 60:02d}:{each % 60:02d}" for each in (begins, moved)]
    seen = observed(*times)
    card = care_card(None, watch="Watch", workshop="Ours", observed=seen)
    hours = quick_set(seen)
    ends = outward(hours.start_h, hours.start_h + hours.length_h)
    figures = [quarter_words(each) for each in ends]
    half_day = 720 if 540 <= moved <= 900 else 0  # at noon by the hands: said of midnight
    figures += [hand_time((each + half_day) / 60) for each in (begins, moved)]
    assert missing(figures, card_sheet(replace(card, size=size), day=DAY)) == []


@quickly
@given(sizes=st.lists(st.floats(0.05, 3.0), min_size=1, max_size=16))
def test_the_bench_sheet_holds_what_each_size_should_come_to(bench, sizes):
    noted = tuple(
        ToNote(what=f"Size {place}", expected=f"{size:.3f} to {size + 0.003:.3f}")
        for place, size in enumerate(sizes)
    )
    told = replace(bench, holes=(replace(bench.holes[0], to_note=noted),))
    figures = [text for each in noted for text in (each.what, each.expected)]
    figures += [words for _name, words in bench.holes[0].facts]
    assert missing(figures, bench_sheet(told)) == []


@quickly
@given(parts=st.lists(st.integers(1, 9), max_size=4), story=st.booleans())
def test_the_report_holds_every_part(told, parts, story):
    fitted = tuple(PartFitted(what=f"{count} × Jewel {place}", origin="made for us",
                              old_part="given back")
                   for place, count in enumerate(parts))  # fmt: skip
    changed = replace(told, parts=fitted, story=told.story if story else "")
    assert missing([each.what for each in fitted], document_sheet(report(changed))) == []


def test_a_figure_that_is_not_there_is_missed(told):
    assert missing(["−51 ± 5"], document_sheet(report(told))) == ["−51 ± 5"]
    assert missing(["−50 ± 5"], document_sheet(report(told))) == []
