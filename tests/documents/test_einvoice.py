"""An invoice's data: who sells and buys, whatever the texts hold, and what is lacking."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sideshake.core.errors import InputError
from sideshake.documents.cii import cii
from sideshake.documents.einvoice import BillKind, Party, lacking
from sideshake.workshop_rules.bank import is_iban
from sideshake.workshop_rules.billed import billed_lines, unit_price
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.totals import NoTax, PriceTax, TaxedLine, totals
from tests.en16931_rules import faults

RAM = "{urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100}"


# The examples that ISO 13616 is explained with (ISO 13616-1, annex; the ECBS register of IBANs);
# the wrong ones have two figures changed places, which MOD 97-10 finds.
@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("GB82WEST12345698765432", True),
        ("DE89370400440532013000", True),
        ("CH9300762011623852957", True),
        ("GB28WEST12345698765432", False),
        ("DE89370400440532010300", False),
    ],
)
def test_an_iban_is_known_by_its_check_digits(text, right):
    assert is_iban(text) == right


@pytest.mark.parametrize(
    ("bank", "iban"),
    [
        ("Bank of Nowhere\nIBAN: DE89 3704 0044 0532 0130 00\nBIC X", "DE89370400440532013000"),
        ("DE89 3704 0044 0532 0130 01", ""),
        ("Bank of Nowhere, account 4711", ""),
    ],
)
def test_the_iban_is_found_in_the_bank_details(figures, bank, iban):
    made = replace(figures, bank=bank)
    assert made.iban == iban
    assert ("IBANID" in cii(made).decode()) == bool(iban)


# EN 16931-1, BR-CO-09: a VAT number begins with its country; Greece writes EL
@pytest.mark.parametrize(
    ("number", "country", "vat"),
    [
        ("DE 123.456-789", "DE", "DE123456789"),
        ("de123456789", "DE", "DE123456789"),
        ("EL123456789", "GR", "EL123456789"),
        ("XI123456789", "GB", "XI123456789"),
        ("12/345/678", "DE", ""),
        ("FR12345678901", "DE", ""),
        ("DE", "DE", ""),
        ("", "DE", ""),
    ],
)
def test_a_vat_number_is_told_from_another_tax_number(number, country, vat):
    assert Party(name="x", country=country, tax_number=number).vat_number == vat


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"tax_number": ""}, "the workshop's tax number"),
        ({"country": ""}, "the workshop's country"),
    ],
)
def test_what_the_seller_lacks_is_named_and_nothing_is_made(figures, change, what):
    assert lacking(figures) == ()
    made = replace(figures, seller=replace(figures.seller, **change))
    assert lacking(made) == (what,)
    with pytest.raises(InputError, match=what):
        cii(made)


def untaxed(figures, why):
    lines = (
        TaxedLine(text="x", each=Amount(Decimal(10), "EUR"), tax_percent=Decimal(0), no_tax=why),
    )  # fmt: skip
    return replace(
        figures, totals=totals(lines, currency="EUR"),
        lines=billed_lines(lines, currency="EUR", prices=PriceTax.NET),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("why", "what"),
    [
        (NoTax.EXPORT, "the workshop's VAT number, which begins with its country"),
        (NoTax.REVERSE_CHARGE, "the customer's VAT number, which begins with the country"),
        (NoTax.OTHER, "why no tax is charged"),
    ],
)
def test_what_a_reason_asks_for_is_named(figures, why, what):
    assert lacking(untaxed(figures, why)) == (what,)
    assert lacking(untaxed(figures, NoTax.SMALL_BUSINESS)) == ()


def test_a_currency_of_three_decimals_has_no_data(figures):
    # EN 16931-1, BR-DEC: two decimals; the Kuwaiti dinar has three (ISO 4217)
    lines = (TaxedLine(text="x", each=Amount(Decimal("1.234"), "KWD"), tax_percent=Decimal(5)),)
    made = replace(figures, totals=totals(lines, currency="KWD"))
    assert "at most 2 decimals" in lacking(made)[0]


@settings(
    max_examples=40, deadline=None, derandomize=True, database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
@given(words=st.text(min_size=1, max_size=60).filter(lambda text: text.strip("\x00 \n")))
def test_any_text_is_only_text(figures, words):
    line = replace(figures.lines[0], text=f"a {words}")
    made = replace(
        figures, lines=(line, *figures.lines[1:]), notes=(words,),
        buyer=Party(name=f"x {words}", address=(words, words, words, words), country="FR"),
    )  # fmt: skip
    tree = ET.fromstring(cii(made))
    assert tree.findtext(f".//{RAM}SpecifiedTradeProduct/{RAM}Name").startswith("a")


def test_a_discount_is_an_allowance_and_a_deposit_a_line_of_minus_one(figures):
    tree = ET.fromstring(cii(figures))
    (allowed,) = tree.findall(f".//{RAM}SpecifiedTradeAllowanceCharge")
    assert allowed.findtext(RAM + "ActualAmount") == "8.41"
    assert allowed.findtext(RAM + "Reason") == "Less, for the wait"
    quantities = [each.text for each in tree.iter(RAM + "BilledQuantity")]
    assert quantities == ["2.5", "1", "-1"]
    assert faults(cii(figures)) == []


def test_an_invoice_of_credits_alone_still_has_lines(figures):
    only = tuple(
        TaxedLine(text="x", each=Amount(Decimal(-10), "EUR"), tax_percent=Decimal(20)) for _ in "ab"
    )
    made = replace(
        figures, totals=totals(only, currency="EUR"), paid=Amount(Decimal(0), "EUR"),
        lines=billed_lines(only, currency="EUR", prices=PriceTax.NET),
    )  # fmt: skip
    assert faults(cii(made)) == []


def test_a_credit_note_says_positively_what_it_gives_back(figures):
    lines = tuple(
        TaxedLine(text=words, each=Amount(Decimal(each), "EUR"), tax_percent=Decimal(20))
        for words, each in (("Overhaul", "-100"), ("Discount", "10"))
    )
    made = replace(
        figures, kind=BillKind.CANCELLATION, totals=totals(lines, currency="EUR"),
        lines=billed_lines(lines, currency="EUR", prices=PriceTax.NET),
        paid=Amount(Decimal(0), "EUR"),
    )  # fmt: skip
    tree = ET.fromstring(cii(made))
    assert tree.findtext(f".//{RAM}TypeCode") == "381"
    assert tree.findtext(f".//{RAM}GrandTotalAmount") == "108.00"
    assert faults(cii(made)) == []


# by hand: 3 x 0.003 = 0.009, so 0.01; 0.333 x 3.00 = 0.999, so 1.00; 7 x 14.29 = 100.03 is too
# much, and 7 x 14.286 = 100.002, so 100.00
@pytest.mark.parametrize(
    ("net", "quantity", "price"),
    [("1.00", "0.333", "3.00"), ("100.00", "7", "14.286"), ("-8.40", "1", "-8.40"),
     ("0.00", "5", "0.00"), ("0.01", "3", "0.003")],
)  # fmt: skip
def test_a_unit_price_has_the_fewest_decimals_that_give_the_sum(net, quantity, price):
    found = unit_price(Amount(Decimal(net), "EUR"), Decimal(quantity))
    assert str(found) == price


def test_a_deposit_invoice_keeps_the_rules_without_a_warning(figures):
    """PEPPOL-EN16931-R008 warns of an empty element; nothing is delivered with a deposit."""
    asked = replace(figures, kind=BillKind.DEPOSIT, supplied_on=None)
    data = cii(asked).decode()
    assert faults(data.encode()) == []
    assert "<ram:ShipToTradeParty>" in data
    assert "OccurrenceDateTime" not in data
    empty = re.sub("<ram:ShipToTradeParty>.*?</ram:ShipToTradeParty>", "", data, flags=re.DOTALL)
    assert any("empty elements" in each for each in faults(empty.encode()))


def test_an_invoice_of_finished_work_says_when_it_was_supplied_and_not_to_whom(figures):
    data = cii(figures).decode()
    assert "OccurrenceDateTime" in data
    assert "ShipToTradeParty" not in data
