"""Prices that held tax, invoiced without any: the net is taken. Every figure is reckoned by hand.

Article 73 of Directive 2006/112/EC: the taxable amount is the price without the tax.
"""

from datetime import date
from decimal import Decimal

import pytest
from priced_visits import option_typed

from sideshake.web.documents.bills import bill_of
from sideshake.web.models import Invoice, Option, Proposal

pytestmark = pytest.mark.usefixtures("taxed")
AT = "/visits/2026-001/invoice/"


@pytest.fixture
def priced(agreed):
    """By hand: 745.20 / 1.2 = 621.00; 3 × 100.00 / 1.2 = 250.00, of which a third is no price."""
    owner = agreed.visit.watch.owner
    owner.tax_number = "FR 12 345678901"
    owner.save()
    Option.objects.update(lines=[
        {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "745.20",
         "tax_percent": "20"},
        {"kind": "part", "text": "jewel", "quantity": "3", "each": "100.00", "tax_percent": "20"},
    ])  # fmt: skip
    return agreed


def typed(overhaul="745.20", tax="0", **more):
    lines = (("Overhaul", "1", overhaul, tax), ("jewel", "3", "100.00", tax))
    rows = option_typed(Option(title="x", version=0), *lines)
    del rows["seen"]
    rows["lines-INITIAL_FORMS"] = "2"
    return {**rows, "issued_on": date.today().isoformat(), "no_tax": "reverse-charge", **more}


def prices():
    return [(row["text"], row["quantity"], row["each"]) for row in Invoice.objects.get().lines]


def test_an_agreed_price_that_held_tax_is_invoiced_net_where_none_is_charged(client, priced):
    page = client.post(AT, typed(more="1"))
    assert page.context["totals"].gross.value == Decimal("871.00")
    said = page.content.decode()
    assert "“Overhaul”: the price agreed on, €745.20, held 20 % tax; without tax €621.00" in said
    assert client.post(AT, typed()).status_code == 302
    assert prices() == [("Overhaul", "1", "621.00"), ("3 × jewel", "1", "250.00")]
    paper = bill_of(Invoice.objects.get())
    assert [line.net for line in paper.lines] == ["€621.00", "€250.00"]
    assert paper.total.gross == "€871.00"


def test_an_agreed_price_keeps_its_tax_where_tax_is_charged(client, priced):
    taxed = typed(tax="20", no_tax="")
    assert "held 20 % tax" not in client.post(AT, {**taxed, "more": "1"}).content.decode()
    assert client.post(AT, taxed).status_code == 302
    assert prices() == [("Overhaul", "1", "745.20"), ("jewel", "3", "100.00")]
    assert bill_of(Invoice.objects.get()).total.net == "€871.00"


def test_a_price_typed_anew_is_taken_as_it_is(client, priced):
    assert client.post(AT, typed(overhaul="621.00")).status_code == 302
    assert prices()[0] == ("Overhaul", "1", "621.00")


def test_a_price_that_held_no_tax_is_taken_as_it_is(client, priced):
    Proposal.objects.update(prices_hold_tax=False)
    assert client.post(AT, typed()).status_code == 302
    assert prices() == [("Overhaul", "1", "745.20"), ("jewel", "3", "100.00")]


def test_under_a_margin_scheme_the_tax_stays_in_the_price(client, priced):
    assert client.post(AT, typed(no_tax="second-hand")).status_code == 302
    assert prices()[0] == ("Overhaul", "1", "745.20")


def test_another_quantity_has_the_net_of_what_it_comes_to(client, priced):
    """By hand: 6 × 100.00 / 1.2 = 500.00, and 500.00 / 6 is no price."""
    assert client.post(AT, typed(**{"lines-1-quantity": "6"})).status_code == 302
    assert prices()[1] == ("6 × jewel", "1", "500.00")
