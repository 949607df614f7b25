"""What is overdue stands on the first page with who waits for whom; what is not, does not."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from sideshake.web.models import Invoice, Outwork, Payment, Proposal, Visit
from sideshake.web.overview.overdue import overdue
from sideshake.web.templatetags.bench import day as written
from sideshake.workshop_rules.due import ANSWER_DAYS, days_over

LINE = {"kind": "work", "text": "overhaul", "quantity": "1", "each": "370.27", "tax_percent": "0"}


@pytest.fixture
def day(db):
    """The workshop's own today."""
    return timezone.localdate()


@pytest.fixture
def ago(day):
    return lambda days: day - timedelta(days=days)


@pytest.fixture
def invoiced(visit, ago):
    def made(due_ago, number="INV-2026-001", **more):
        return Invoice.objects.create(
            visit=visit, number=number, issued_on=ago(due_ago + 14), due_on=ago(due_ago),
            currency="EUR", lines=[LINE], **more,
        )  # fmt: skip

    return made


def told(client, path="/"):
    """Return the lines of the section on what is overdue, as a person reads them."""
    page = client.get(path).content.decode()
    part = re.search(r'<section class="part overdue".*?</section>', page, re.DOTALL)
    if part is None:
        return []
    items = re.findall(r"<li>(.*?)</li>", part[0], re.DOTALL)
    return [" ".join(re.sub(r"<[^>]+>", "", each).split()) for each in items]


def of_visit(client):
    page = client.get("/visits/2026-001/").content.decode()
    return " ".join(re.sub(r"<[^>]+>", "", page).split())


def test_days_are_counted_from_the_day_after_the_last():
    assert days_over(date(2024, 2, 28), date(2024, 3, 1)) == 2  # 29 February 2024 is between
    assert days_over(date(2026, 12, 31), date(2027, 1, 1)) == 1


def test_a_workshop_in_which_nothing_is_late_says_nothing(client, visit):
    assert told(client) == []
    assert "overdue" not in of_visit(client)


def test_an_unpaid_invoice_is_told_with_its_sum_and_who_owes_it(client, invoiced, ago):
    invoiced(14)
    assert told(client) == [
        f"Invoice INV-2026-001, €370.27, was due on {written(ago(14))}: 14 days overdue; "
        "you wait for Ottilie Marwood."
    ]
    assert "14 days overdue" in of_visit(client)
    assert "14 days overdue" in client.get("/invoices/INV-2026-001/").content.decode()
    money = client.get("/money/").content.decode()
    assert "14 days overdue" in money
    assert "€370.27 of it is overdue." in money


def test_an_invoice_due_today_is_not_overdue(client, invoiced):
    invoiced(0)
    assert told(client) == []
    for path in ("/visits/2026-001/", "/money/", "/invoices/INV-2026-001/"):
        assert "overdue" not in client.get(path).content.decode()


def test_a_day_after_it_is(client, invoiced):
    invoiced(1)
    assert "one day overdue" in told(client)[0]


@pytest.mark.parametrize("linked", [True, False])
def test_a_paid_invoice_is_not_overdue(client, invoiced, visit, day, linked):
    paid = {"visit": visit, "currency": "EUR", "on": day, "amount": Decimal("370.27")}
    Payment.objects.create(**paid, invoice=invoiced(30) if linked else None)
    if not linked:
        invoiced(30)
    assert told(client) == []
    assert "overdue" not in of_visit(client)


def test_of_a_part_paid_one_the_rest_is_overdue(client, invoiced, visit, day):
    made = invoiced(30)
    Payment.objects.create(visit=visit, currency="EUR", on=day, amount=300, invoice=made)
    assert "€70.27" in told(client)[0]


@pytest.mark.parametrize(
    ("paid", "words"),
    [(Decimal("370.27"), "Everything is paid."), (Decimal(300), "€70.27 are still to be paid.")],
)
def test_what_was_paid_for_no_invoice_counts_on_each_page_alike(
    client, invoiced, visit, day, paid, words
):
    invoiced(30)
    Payment.objects.create(visit=visit, currency="EUR", on=day, amount=paid)
    left, late = Decimal("370.27") - paid, 30 if paid < 370 else 0
    bill, money = client.get("/invoices/INV-2026-001/"), client.get("/money/")
    assert words in bill.text
    assert (bill.context["open"], bill.context["late"]) == (bool(left), late)
    ((_invoice, _gross, shown, days),) = money.context["rows"]
    assert (shown, days) == (left, late)
    assert [each.value for each in money.context["overdue"]] == ([left] if left else [])
    assert len(told(client)) == bool(left)


def test_who_has_paid_too_much_reads_so_at_the_invoice(client, invoiced, visit, day):
    made = invoiced(30)
    Payment.objects.create(visit=visit, currency="EUR", on=day, amount=400, invoice=made)
    page = client.get("/invoices/INV-2026-001/").text
    assert "€29.73 more were paid than invoiced so far." in page
    assert "Everything is paid." not in page


def test_a_cancelled_invoice_is_not_overdue(client, invoiced):
    first = invoiced(30)
    back = [{**LINE, "each": "-370.27"}]
    second = invoiced(29, number="INV-2026-002", cancels=first)
    Invoice.objects.filter(pk=second.pk).update(lines=back)
    assert told(client) == []


def test_the_books_are_read_once_for_the_money_page(client, invoiced):
    invoiced(3)
    client.get("/money/")
    with CaptureQueriesContext(connection) as asked:
        client.get("/money/")
    sums = [each for each in asked if "SUM(" in each["sql"]]
    assert len(sums) == 1


def test_an_invoice_due_later_brings_none_of_its_visit_twice(client, invoiced, ago):
    invoiced(3)
    invoiced(2, number="INV-2026-002")
    invoiced(-5, number="INV-2026-003")
    assert len(told(client)) == 2


def test_money_is_told_where_no_watch_is_here(client, invoiced, visit):
    invoiced(3)
    Visit.objects.update(step="gone-home")
    assert len(told(client)) == 1


def test_a_promise_that_was_not_kept_says_that_the_owner_waits(client, visit, ago):
    Visit.objects.update(promised_on=ago(63))
    assert told(client) == [
        f"2026-001 expedition chronograph, promised for {written(ago(63))}: 63 days overdue; "
        "Ottilie Marwood waits for you."
    ]
    assert "63 days overdue" in of_visit(client)


def test_while_the_owner_has_not_answered_you_wait_for_the_owner(client, visit, ago, day):
    Visit.objects.update(promised_on=ago(3))
    Proposal.objects.create(
        visit=visit, edition=1, state="sent", currency="EUR", made_on=ago(2), sent_on=ago(2)
    )
    assert "you wait for the answer of Ottilie Marwood" in told(client)[0]


@pytest.mark.parametrize("step", ["ready", "gone-home", "declined"])
def test_a_watch_that_is_done_keeps_nobody_waiting(client, visit, ago, step):
    Visit.objects.update(promised_on=ago(63), step=step)
    assert told(client) == []
    assert "overdue" not in of_visit(client)


def test_a_promise_for_today_is_not_late(client, visit, day):
    Visit.objects.update(promised_on=day)
    assert told(client) == []
    assert "overdue" not in of_visit(client)


def out(visit, ago, **more):
    given = {"what": "jewel", "to": "N. Corrick", "sent_on": ago(20), "due_on": ago(4)}
    return Outwork.objects.create(visit=visit, **{**given, **more})


def test_outwork_that_should_be_back_is_told_with_its_maker(client, visit, ago):
    out(visit, ago)
    assert told(client) == [
        f"2026-001 jewel, expected back on {written(ago(4))}: 4 days overdue; "
        "you wait for N. Corrick."
    ]
    assert "4 days overdue" in of_visit(client)
    assert "4 days overdue" in client.get("/outwork/").text


@pytest.mark.parametrize("case", ["back", "not sent", "due today", "no day"])
def test_outwork_that_is_back_or_not_due_is_not(client, visit, ago, case):
    given = {
        "back": {"back_on": ago(1)},
        "not sent": {"sent_on": None},
        "due today": {"due_on": ago(0)},
        "no day": {"due_on": None},
    }
    out(visit, ago, **given[case])
    assert told(client) == []
    assert "overdue" not in of_visit(client)


def offered(visit, ago, sent_ago, **more):
    given = {"state": "sent", "currency": "EUR", "made_on": ago(sent_ago), "sent_on": ago(sent_ago)}
    return Proposal.objects.create(visit=visit, edition=1, **{**given, **more})


def test_a_proposal_without_an_answer_is_told(client, visit, ago):
    offered(visit, ago, 9)
    assert told(client) == [
        "2026-001 Proposal 1 was sent 9 days ago, no answer; you wait for Ottilie Marwood."
    ]
    assert "sent 9 days ago, no answer" in of_visit(client)


def test_one_sent_a_week_ago_has_time_still(client, visit, ago):
    offered(visit, ago, ANSWER_DAYS)
    assert told(client) == []
    assert "no answer" not in of_visit(client)


def test_one_that_held_for_a_day_only_is_over_sooner(client, visit, ago):
    offered(visit, ago, 3, expires_on=ago(2))
    assert "sent 3 days ago, no answer" in told(client)[0]


@pytest.mark.parametrize("state", ["agreed", "declined", "replaced", "draft"])
def test_one_that_is_answered_or_replaced_is_not(client, visit, ago, state):
    offered(visit, ago, 40, state=state)
    assert told(client) == []
    assert "no answer" not in of_visit(client)


def test_an_apprentice_sees_what_is_late_but_no_money(apprentice_client, visit, invoiced, ago):
    invoiced(14)
    Visit.objects.update(promised_on=ago(5))
    lines = told(apprentice_client)
    assert len(lines) == 1
    assert "promised" in lines[0]
    assert "370" not in apprentice_client.get("/").content.decode()


def test_the_longest_overdue_comes_first(visit, invoiced, ago, day, owner_of_workshop):
    invoiced(2)
    out(visit, ago)
    Visit.objects.update(promised_on=ago(3))
    offered(visit, ago, 9)
    found = overdue(day, owner_of_workshop)
    assert [each.what for each in found] == ["proposal", "outwork", "promise", "money"]
    assert [each.you_wait for each in found] == [True] * 4


def test_the_day_is_the_workshops_own(client, visit, settings):
    """Late in the evening of UTC it is the next day already in the east."""
    moment = timezone.now()
    settings.TIME_ZONE = "Pacific/Kiritimati"  # UTC+14
    there = (moment + timedelta(hours=14)).date()
    Visit.objects.update(promised_on=there - timedelta(days=1))
    with timezone.override("Pacific/Kiritimati"):
        assert timezone.localdate() == there
        assert "one day overdue" in told(client)[0]
