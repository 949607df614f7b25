"""Invoices, deposits and payments, through the pages; who sees a price."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.cache import cache
from priced_visits import option_typed

from sideshake.web.models import Invoice, Option, Payment, Proposal, Workshop, the_workshop
from sideshake.web.money import services as billing

pytestmark = pytest.mark.usefixtures("taxed")


def issue(client, visit="2026-001", *lines, on=None, **more):
    rows = lines or (("Overhaul", "1", "119.00", "19"),)
    typed = option_typed(Option(title="x", version=0), *rows)
    del typed["seen"]
    day = (on or date.today()).isoformat()
    return client.post(f"/visits/{visit}/invoice/", {**typed, "issued_on": day, **more})


def test_an_invoice_begins_with_what_was_agreed(client, agreed):
    page = client.get("/visits/2026-001/invoice/")
    assert page.context["lines"].initial[0]["text"] == agreed.options.get().lines[0]["text"]


def test_an_agreement_is_not_asked_for_twice(client, agreed):
    issue(client)
    page = client.get("/visits/2026-001/invoice/")
    assert page.context["lines"].initial == []
    assert "is issued for this visit already" in page.content.decode()


def test_a_second_press_issues_no_second_invoice(client, visit):
    assert issue(client, seen="0").status_code == 302
    answer = issue(client, seen="0")
    assert answer.status_code == 422
    assert "meanwhile" in answer.content.decode()
    assert Invoice.objects.count() == 1


def test_the_sums_are_shown_before_anything_is_issued(client, visit):
    # hand-worked: 2 x 59.50 holds 19 %: 100.00 and 19.00
    answer = issue(client, "2026-001", ("Overhaul", "2", "59.50", "19"), more="1")
    totals = answer.context["totals"]
    assert (answer.status_code, Invoice.objects.count()) == (200, 0)
    assert (totals.net.value, totals.tax.value) == (Decimal("100.00"), Decimal("19.00"))
    assert len(answer.context["lines"].forms) == 4


def test_no_invoice_is_issued_on_a_day_to_come(client, visit):
    answer = issue(client, on=date.today() + timedelta(days=1))
    assert answer.status_code == 422
    assert "a day to come" in answer.content.decode()


def test_numbers_of_invoices_have_no_gap_and_begin_anew_each_year(visit, colleague):
    row = {"kind": "work", "text": "x", "quantity": "1", "each": "10", "tax_percent": "19"}
    for on in (date(2026, 11, 20), date(2026, 11, 21), date(2027, 1, 2)):
        billing.issue(visit, billing.Issuing(lines=[row], on=on), colleague)
    numbers = list(Invoice.objects.order_by("pk").values_list("number", flat=True))
    assert numbers == ["INV-2026-001", "INV-2026-002", "INV-2027-001"]


def test_an_invoice_older_than_the_last_one_is_refused_and_what_was_typed_stays(client, visit):
    issue(client)
    answer = issue(client, on=date.today() - timedelta(days=1), note="with thanks")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "cannot be older" in page
    assert "with thanks" in page
    assert Invoice.objects.count() == 1


def test_the_invoice_says_what_was_paid_and_what_is_left(client, visit):
    # hand-worked: 119.00 less a deposit of 35.70 is 83.30
    issue(client)
    typed = {"amount": "35.70", "on": "2026-11-21", "how": "transfer", "deposit": "on"}
    client.post("/visits/2026-001/payments/new/", typed | {"invoice": Invoice.objects.get().pk})
    page = client.get(f"/invoices/{Invoice.objects.get().number}/").content.decode()
    assert "€35.70" in page
    assert "€83.30 are still to be paid." in page


def test_the_years_are_summed_and_open_ones_found(client, visit, colleague):
    # hand-worked, prices hold 19 %: 119.00 = 100.00 + 19.00; 59.50 = 50.00 + 9.50
    row = {"kind": "work", "text": "x", "quantity": "1", "each": "119", "tax_percent": "19"}
    for on, each in ((date(2025, 5, 2), "119"), (date(2026, 1, 5), "59.50")):
        asked = billing.Issuing(lines=[{**row, "each": each}], on=on)
        billing.issue(visit, asked, colleague)
    shown = client.get("/money/").context
    sums = [(s.year, s.net.value, s.tax.value, s.gross.value) for s in shown["years"]]
    assert sums == [
        (2026, Decimal("50.00"), Decimal("9.50"), Decimal("59.50")),
        (2025, Decimal("100.00"), Decimal("19.00"), Decimal("119.00")),
    ]
    assert [each.value for each in shown["open_now"].owed] == [Decimal("178.50")]
    assert [row[0].number for row in client.get("/money/?year=2025").context["rows"]] == [
        "INV-2025-001"
    ]
    Payment.objects.create(visit=visit, amount=Decimal("178.5"), currency="EUR", on=date.today())
    assert client.get("/money/?open=1").context["rows"] == []
    assert "Everything invoiced is paid." in client.get("/money/").content.decode()


def test_an_invoice_taken_back_leaves_nothing_open(client, visit):
    issue(client)
    assert [each.value for each in client.get("/money/").context["open_now"].owed] == [119]
    client.post(f"/invoices/{Invoice.objects.get().number}/cancel/")
    shown = client.get("/money/").context
    assert shown["open_now"].owed == ()
    assert (shown["years"][0].count, shown["years"][0].gross.value) == (2, 0)


def test_a_payment_of_nothing_is_refused(client, visit):
    typed = {"amount": "0.00", "on": "2026-11-21"}
    answer = client.post("/visits/2026-001/payments/new/", typed)
    assert answer.status_code == 422
    assert "The amount is 0: write what was paid" in answer.text
    assert "The amount is 0" not in client.get("/visits/2026-001/payments/new/").text


def test_an_apprentice_reads_no_price_in_the_history(apprentice_client, client, agreed):
    client.post("/visits/2026-001/payments/new/", {"amount": "413.57", "on": "2026-11-21"})
    assert "413.57" in client.get("/visits/2026-001/history/").content.decode()
    page = apprentice_client.get("/visits/2026-001/history/").content.decode()
    assert "413.57" not in page
    assert agreed.options.get().lines[0]["each"] not in page


def test_payments_and_deposit_leave_the_balance(client, visit):
    issue(client)
    for amount, deposit in (("35.70", "on"), ("83.30", "")):
        typed = {"amount": amount, "on": "2026-11-21", "how": "transfer"}
        client.post(
            "/visits/2026-001/payments/new/", typed | ({"deposit": "on"} if deposit else {})
        )
        page = client.get("/visits/2026-001/").content.decode()
        assert ("€83.30 are still to be paid." in page) == bool(deposit)
    assert "Everything is paid." in page


def test_money_given_back_is_below_zero(client, visit):
    client.post("/visits/2026-001/payments/new/", {"amount": "-20.00", "on": "2026-11-21"})
    assert Payment.objects.get().amount == Decimal("-20")


def offered(client):
    form = client.get("/visits/2026-001/payments/new/").context["form"]
    return [str(each) for each in form.fields["invoice"].queryset]


def test_a_payment_is_for_an_invoice_that_was_not_taken_back(client, visit):
    issue(client)
    first = Invoice.objects.get()
    assert offered(client) == [str(first)]
    client.post(f"/invoices/{first.number}/cancel/")
    assert offered(client) == []


def test_a_cancelling_invoice_takes_every_line_back(client, visit):
    issue(client)
    first = Invoice.objects.get().number
    client.post(f"/invoices/{first}/cancel/")
    taken_back = Invoice.objects.get(cancels__number=first)
    totals = client.get(f"/invoices/{taken_back.number}/").context["totals"]
    assert totals.gross.value == Decimal("-119.00")
    assert client.post(f"/invoices/{first}/cancel/").status_code == 422
    assert client.post(f"/invoices/{taken_back.number}/cancel/").status_code == 422


def test_a_workshop_without_tax_says_why_on_the_paper(client, visit):
    issue(client, "2026-001", ("Overhaul", "1", "100.00", "0"))
    page = client.get(f"/invoices/{Invoice.objects.get().number}/").content.decode()
    assert "small business" in page


PAGES = ("/visits/2026-001/proposal/1/", "/visits/2026-001/invoice/", "/money/",
         "/visits/2026-001/payments/new/", "/invoices/{number}/")  # fmt: skip


@pytest.mark.parametrize("page", PAGES)
def test_money_opens_to_no_stranger_and_no_apprentice(
    client, stranger, apprentice_client, agreed, page, django_assert_max_num_queries
):
    issue(client)
    page = page.format(number=Invoice.objects.get().number)
    assert stranger.get(page).status_code == 302
    assert apprentice_client.get(page).status_code == 403
    with django_assert_max_num_queries(15):
        assert client.get(page).status_code == 200


def test_an_apprentice_sees_options_but_no_price(apprentice_client, agreed):
    page = apprentice_client.get("/visits/2026-001/").content.decode()
    assert agreed.options.get().title in page
    assert "€" not in page


def test_the_history_tells_an_apprentice_no_price(client, apprentice_client, agreed):
    issue(client)
    client.post("/visits/2026-001/payments/new/", {"amount": "83.30", "on": "2026-11-21"})
    whole = client.get("/visits/2026-001/history/").content.decode()
    page = apprentice_client.get("/visits/2026-001/history/").content.decode()
    assert "83.3" in whole
    assert "83.3" not in page
    assert "119" not in page


def test_an_invoice_asks_which_reason_there_is_for_no_tax(client, visit):
    row = ("A watch", "1", "300.00", "0")
    Workshop.objects.update(tax_wording="")
    cache.clear()
    assert issue(client, "2026-001", row).status_code == 422
    answer = issue(client, "2026-001", row, **{"lines-0-no_tax": "second-hand"})
    assert answer.status_code == 302
    page = client.get(answer.url).content.decode()
    assert "Margin scheme — Second-hand goods." in page


def test_one_reason_is_chosen_for_all_lines_without_tax_that_name_none(client, visit):
    rows = [("A watch", "1", "300.00", "0"), ("A clean", "1", "60.00", "0"), ("A", "1", "9", "19")]
    chosen = {"no_tax": "small-business", "lines-0-no_tax": "second-hand"}
    assert issue(client, "2026-001", *rows, **chosen).status_code == 302
    lines = Invoice.objects.get().lines
    assert [row.get("no_tax") for row in lines] == ["second-hand", "small-business", None]


def test_a_taxed_line_has_no_reason_for_no_tax(client, visit):
    answer = issue(client, "2026-001", **{"lines-0-no_tax": "export"})
    assert answer.status_code == 422
    assert "a line without tax has a rate of 0" in answer.content.decode()


def test_a_line_with_a_reason_and_no_rate_carries_none(client, visit):
    answer = issue(client, "2026-001", ("A watch", "1", "300", ""), **{"lines-0-no_tax": "export"})
    assert answer.status_code == 302
    assert Invoice.objects.get().lines[0]["tax_percent"] == "0"


@pytest.mark.parametrize(("number", "percent", "warned"), [
    ("", "19", True), ("DE 123", "19", False), ("", "0", False),
])  # fmt: skip
def test_tax_without_a_tax_number_is_warned_of(client, visit, number, percent, warned):
    the_workshop()
    Workshop.objects.update(tax_number=number, tax_percent=percent, no_tax="small-business")
    cache.clear()
    line = ("Overhaul", "1", "119.00", percent)
    page = issue(client, "2026-001", line, more="1").content.decode()
    assert ("has no tax number" in page) == warned
    settings = client.get("/settings/").content.decode()
    assert ("no tax number is set" in settings) == warned


def test_the_customers_rights_are_printed_when_they_are_ticked(client, visit):
    issue(client, withdrawal="on")
    issue(client, guarantee="on")
    issue(client)
    first, second, third = Invoice.objects.order_by("pk").values_list("rights", flat=True)
    assert "within 14 days" in first
    assert "statutory rights" not in first
    assert "statutory rights" in second
    assert third == ""
    assert "check your local law" in client.get("/visits/2026-001/invoice/").content.decode()


def test_rights_without_words_are_not_offered(client, visit):
    the_workshop()
    Workshop.objects.update(withdrawal_words="", guarantee_words=" ")
    cache.clear()
    page = client.get("/visits/2026-001/invoice/").content.decode()
    assert "check your local law" not in page


def test_a_deposit_invoice_begins_with_the_deposit_agreed_on(client, agreed):
    Proposal.objects.update(deposit=Decimal("50"))
    page = client.get("/visits/2026-001/invoice/?deposit=1")
    assert [row["each"] for row in page.context["lines"].initial] == [Decimal("50.00")]
    assert "supplied_on" not in page.context["form"].fields
    assert "supplied_on" in client.get("/visits/2026-001/invoice/").context["form"].fields
    answer = issue(client, "2026-001", ("Deposit", "1", "50.00", "19"), kind="deposit")
    assert "Deposit invoice" in client.get(answer.url).content.decode()
    again = client.get("/visits/2026-001/invoice/").context["lines"].initial
    assert (again[-1]["kind"], again[-1]["each"]) == ("deposit", Decimal("-50.00"))


def test_a_deposit_taken_off_is_below_zero(client, visit):
    answer = issue(
        client, "2026-001", ("Deposit", "1", "50.00", "19"), **{"lines-0-kind": "deposit"}
    )
    assert answer.status_code == 422
    assert "below zero" in answer.content.decode()


def test_each_invoice_on_the_list_has_its_own_balance(client, visit):
    issue(client)
    issue(client, "2026-001", ("A strap", "1", "20.00", "19"))
    first, second = Invoice.objects.order_by("pk")
    typed = {"amount": "119.00", "on": "2026-11-21", "invoice": first.pk}
    client.post("/visits/2026-001/payments/new/", typed)
    shown = {row[0].pk: row[2] for row in client.get("/money/").context["rows"]}
    assert shown == {first.pk: 0, second.pk: Decimal("20.00")}


def test_a_payment_is_offered_for_the_first_invoice_that_is_open(client, visit):
    issue(client)
    found = Invoice.objects.get()
    form = client.get("/visits/2026-001/payments/new/").context["form"]
    assert form["invoice"].value() == found.pk
    client.post(f"/invoices/{found.number}/cancel/")
    form = client.get("/visits/2026-001/payments/new/").context["form"]
    assert (form["invoice"].value(), form.fields["invoice"].queryset.count()) == (None, 0)


def test_the_page_of_an_invoice_tells_where_to_pay_as_its_paper_does(client, visit, colleague):
    the_workshop()
    Workshop.objects.update(bank="", iban="GB82WEST12345698765432", tax_number="12/345")
    cache.clear()
    line = {"kind": "work", "text": "Overhaul", "quantity": "1", "each": "119", "tax_percent": "0",
            "no_tax": "export"}  # fmt: skip
    asked = billing.Issuing(lines=[line], on=date.today())
    found = billing.issue(visit, asked, colleague)
    page = client.get(f"/invoices/{found.number}/").content.decode()
    assert "IBAN GB82 WEST 1234 5698 7654 32" in page
    assert f"Reference {found.number}" in page
    assert "Tax no. 12/345" in page
    back = billing.cancel(found, colleague, on=date.today())
    page = client.get(f"/invoices/{back.number}/").content.decode()
    assert "IBAN" not in page
    assert "Reference" not in page
    assert '<td class="number">-1</td><td class="number">€119.00</td>' in page.replace("−", "-")
