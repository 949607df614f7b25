"""An invoice as XML: UN/CEFACT Cross Industry Invoice in the profile EN 16931 of Factur-X.

A credit (a price below zero) is an allowance on the document, a deposit invoiced before is a line
of which there are minus one, and a cancellation is a credit note with positive amounts.
"""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from drafthorse.models.accounting import ApplicableTradeTax, CategoryTradeTax, TradeAllowanceCharge
from drafthorse.models.document import Document
from drafthorse.models.note import IncludedNote
from drafthorse.models.party import TaxRegistration, TradeParty
from drafthorse.models.payment import PaymentMeans, PaymentTerms
from drafthorse.models.tradelines import LineItem

from sideshake.core.errors import InputError
from sideshake.documents.einvoice import BillKind, EInvoice, Party, lacking, percent_text
from sideshake.workshop_rules.billed import BilledLine
from sideshake.workshop_rules.money import nothing, sum_of
from sideshake.workshop_rules.totals import NoTax, RateSum

GUIDELINE = "urn:cen.eu:en16931:2017"
SCHEMA = "FACTUR-X_EN16931"
ONE = "C62"
"""A piece or a job (UN/ECE Recommendation 20)."""
CREDIT_TRANSFER = "30"
VAT = "VAT"
STANDARD, ZERO, EXEMPT, EXPORT, REVERSE = "S", "Z", "E", "G", "AE"
"""Categories of tax (UNTDID 5305)."""
CATEGORIES = {NoTax.EXPORT: EXPORT, NoTax.REVERSE_CHARGE: REVERSE}
REASON_CODES = {
    NoTax.SECOND_HAND: "VATEX-EU-F",
    NoTax.WORKS_OF_ART: "VATEX-EU-I",
    NoTax.COLLECTORS_ITEMS: "VATEX-EU-J",
    NoTax.EXPORT: "VATEX-EU-G",
    NoTax.REVERSE_CHARGE: "VATEX-EU-AE",
}
"""Why there is no tax (the code list VATEX of EN 16931)."""


def cii(invoice: EInvoice) -> bytes:
    """Return the invoice as XML, checked against the XSD of its profile.

    Raises
    ------
    InputError : it lacks what EN 16931 asks for; says what
    """
    missing = lacking(invoice)
    if missing:
        raise InputError(f"invoice {invoice.number} does not say {', '.join(missing)}")
    document = Document()
    document.context.guideline_parameter.id = GUIDELINE
    head(document, invoice)
    parties(document, invoice)
    charges, credits_ = parted(invoice.lines, sign_of(invoice))
    for number, line in enumerate(charges, start=1):
        document.trade.items.add(item(number, line, sign_of(invoice)))
    for line in credits_:
        document.trade.settlement.allowance_charge.add(allowance(line, sign_of(invoice)))
    settlement(document, invoice)
    sums(document, invoice, charges, credits_)
    return bytes(document.serialize(schema=SCHEMA))


def sign_of(invoice: EInvoice) -> int:
    """Return -1 for a cancellation: a credit note says positively what it gives back."""
    return -1 if invoice.kind is BillKind.CANCELLATION else 1


def parted(
    lines: tuple[BilledLine, ...], sign: int
) -> tuple[tuple[BilledLine, ...], tuple[BilledLine, ...]]:
    """Return the lines that are charged and those that lower the sum; some line must be charged."""
    credited = tuple(line for line in lines if line.net.value * sign < 0 and not line.apart)
    charged = tuple(line for line in lines if line not in credited)
    return (charged, credited) if charged else (lines, ())


def head(document: Document, invoice: EInvoice) -> None:
    """Write number, kind, days, notes and what other invoice is meant."""
    document.header.id = plain(invoice.number)
    document.header.type_code = invoice.kind.value
    document.header.issue_date_time = invoice.issued_on
    for words in filter(None, map(plain, invoice.notes)):
        document.header.notes.add(IncludedNote(content=words))
    if invoice.supplied_on:
        document.trade.delivery.event.occurrence = invoice.supplied_on
    else:  # nothing is supplied with a deposit; for whom the work will be, so that nothing is empty
        document.trade.delivery.ship_to.name = plain(invoice.buyer.name)
    if len(invoice.earlier) == 1:  # the library has room for one; the lines name each
        reference = document.trade.settlement.invoice_referenced_document
        reference.issuer_assigned_id = plain(invoice.earlier[0].number)
        reference.issue_date_time = invoice.earlier[0].on


def parties(document: Document, invoice: EInvoice) -> None:
    """Write who sells and who buys."""
    seller, buyer = invoice.seller, invoice.buyer
    if not seller.vat_number:  # BR-CO-26: then another number must tell who sells
        document.trade.agreement.seller.id = plain(seller.tax_number)
    write_party(document.trade.agreement.seller, seller)
    write_party(document.trade.agreement.buyer, buyer)
    registered = (
        ("VA", seller.vat_number) if seller.vat_number else ("FC", plain(seller.tax_number))
    )
    document.trade.agreement.seller.tax_registrations.add(TaxRegistration(id=registered))
    if buyer.vat_number:
        known = TaxRegistration(id=("VA", buyer.vat_number))
        document.trade.agreement.buyer.tax_registrations.add(known)


def write_party(there: TradeParty, party: Party) -> None:
    """Write name, address and email."""
    there.name = plain(party.name)
    lines = [plain(line) for line in party.address if plain(line)]
    first, second, *rest = [*lines, "", ""]
    if first:
        there.address.line_one = first
    if second:
        there.address.line_two = second
    if any(rest):
        there.address.line_three = ", ".join(filter(None, rest))
    there.address.country_id = party.country
    if party.email:
        there.electronic_address.uri_ID = ("EM", plain(party.email))


def item(number: int, line: BilledLine, sign: int) -> LineItem:
    """Return a line; its price is never below zero (BR-27), so its quantity is."""
    made = LineItem()
    made.document.line_id = str(number)
    made.product.name = plain(line.text)
    made.agreement.net.amount = written(line.price)
    made.delivery.billed_quantity = (written(line.counted(back=sign < 0) * sign), ONE)
    made.settlement.trade_tax.type_code = VAT
    made.settlement.trade_tax.category_code = category(line.tax_percent, line.no_tax)
    made.settlement.trade_tax.rate_applicable_percent = percent_text(line.tax_percent)
    made.settlement.monetary_summation.total_amount = written(line.net.value * sign)
    return made


def allowance(line: BilledLine, sign: int) -> TradeAllowanceCharge:
    """Return a credit as an allowance on the whole document."""
    made = TradeAllowanceCharge()
    made.indicator = False
    made.actual_amount = written(-line.net.value * sign)
    made.reason = plain(line.text)
    made.trade_tax.add(
        CategoryTradeTax(
            type_code=VAT,
            category_code=category(line.tax_percent, line.no_tax),
            rate_applicable_percent=percent_text(line.tax_percent),
        )
    )
    return made


def settlement(document: Document, invoice: EInvoice) -> None:
    """Write how and until when to pay, and the tax by category."""
    there = document.trade.settlement
    there.currency_code = invoice.currency
    if invoice.is_to_be_paid:
        there.payment_reference = plain(invoice.number)
    if invoice.iban and invoice.is_to_be_paid:
        means = PaymentMeans(type_code=CREDIT_TRANSFER)
        means.payee_account.iban = invoice.iban
        if invoice.bic:
            means.payee_institution.bic = invoice.bic
        there.payment_means.add(means)
    for key, rates in by_category(invoice.totals.by_rate).items():
        there.trade_tax.add(breakdown(*key, rates, invoice))
    there.terms.add(PaymentTerms(due=invoice.due_on))


def by_category(rates: Iterable[RateSum]) -> dict[tuple[str, Decimal], list[RateSum]]:
    """Return the sums by category and rate: each may stand once (BR-E-01 and its like)."""
    found: dict[tuple[str, Decimal], list[RateSum]] = defaultdict(list)
    for each in rates:
        found[category(each.tax_percent, each.no_tax), each.tax_percent].append(each)
    return found


def breakdown(
    category_code: str, percent: Decimal, rates: list[RateSum], invoice: EInvoice
) -> ApplicableTradeTax:
    """Return the tax of a category and rate, with the reason where there is none."""
    zero, sign = nothing(invoice.currency), sign_of(invoice)
    made = ApplicableTradeTax()
    made.calculated_amount = written(sum((each.tax for each in rates), start=zero).value * sign)
    made.type_code = VAT
    made.basis_amount = written(sum((each.net for each in rates), start=zero).value * sign)
    made.category_code = category_code
    made.rate_applicable_percent = percent_text(percent)
    reasons = [each.no_tax for each in rates if each.no_tax]
    if reasons:
        said = [each.words or plain(invoice.other_reason) for each in reasons]
        made.exemption_reason = " ".join(said)
        codes = {REASON_CODES.get(each) for each in reasons}
        code = codes.pop() if len(codes) == 1 else None
        if code:
            made.exemption_reason_code = code
    return made


def sums(
    document: Document,
    invoice: EInvoice,
    charges: tuple[BilledLine, ...],
    credits_: tuple[BilledLine, ...],
) -> None:
    """Write the sums of the document."""
    there, sign = document.trade.settlement.monetary_summation, sign_of(invoice)
    currency, totals = invoice.currency, invoice.totals
    charged = sum_of(tuple(line.net for line in charges), currency)
    credited = sum_of(tuple(line.net for line in credits_), currency)
    there.line_total = written(charged.value * sign)
    there.charge_total = "0.00"
    there.allowance_total = written(-credited.value * sign)
    there.tax_basis_total = (written(totals.net.value * sign), None)
    there.tax_total = (written(totals.tax.value * sign), currency)
    there.grand_total = (written(totals.gross.value * sign), None)
    there.prepaid_total = written(invoice.paid.value * sign)
    there.due_amount = written(invoice.due.value * sign)


def category(percent: Decimal, no_tax: NoTax | None) -> str:
    """Return the category of tax."""
    if no_tax is None:
        return STANDARD if percent else ZERO
    return CATEGORIES.get(no_tax, EXEMPT)


def written(value: Decimal) -> str:
    """Return a number as XML has it: no exponent, zero without a sign."""
    return f"{value + 0:f}"


def plain(text: str) -> str:
    """Return a text without what XML cannot hold (XML 1.0, 2.2: control signs)."""
    kept = "".join(
        letter if letter >= " " else " " for letter in text if letter not in "\ufffe\uffff"
    )
    return " ".join(kept.encode("utf-8", "ignore").decode().split())
