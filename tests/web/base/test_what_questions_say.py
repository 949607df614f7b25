"""What a question tells before something cannot be undone: only what the record says."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.web.base.asking import kept_words
from sideshake.web.models import KEPT, Invoice, Option, Payment, Removed
from sideshake.web.proposals.views import sending
from sideshake.web.sample_clock.views import forgetting
from sideshake.web.templatetags.bench import day as written

from ..conftest import question_of

LINE = {"kind": "work", "text": "overhaul", "quantity": "1", "each": "119", "tax_percent": "0"}


@pytest.fixture
def browser(owner_of_workshop):
    """Somebody who answers nothing by themselves."""
    client = Client()
    client.force_login(owner_of_workshop)
    return client


@pytest.mark.parametrize("advised", [True, False])
def test_the_sum_of_what_we_advise_is_told_where_something_is_advised(drafted, advised):
    Option.objects.update(need="advised" if advised else "possible", instead_of="")
    told = sending(drafted).told[0]
    assert ("What we advise comes to" in told) is advised
    assert f"t holds until {written(drafted.expires_on)}." in told
    assert "0.00" not in told


@pytest.mark.parametrize("paid", [True, False])
def test_what_was_paid_on_a_cancelled_invoice_is_told_where_something_was(browser, visit, paid):
    day = timezone.localdate()
    bill = Invoice.objects.create(
        visit=visit, number="INV-2026-001", issued_on=day, due_on=day, currency="EUR", lines=[LINE]
    )
    if paid:
        Payment.objects.create(
            visit=visit, currency="EUR", on=day, amount=Decimal(50), invoice=bill
        )
    told = question_of(browser.post("/invoices/INV-2026-001/cancel/")).told
    assert ("What was paid on INV-2026-001 is then for no invoice" in " ".join(told)) is paid
    assert len(told) == 1 + paid


def test_a_clock_is_forgotten_with_the_day_of_its_check_where_one_is_kept(db):
    fast = Measured(3.25, 0.5)
    stays = "New readings by it will not be corrected."
    checked = SampleClock(fast_ppm=fast, checked=True, name="desk", date="2026-03-05")
    day = written(date(2026, 3, 5))
    assert forgetting(checked) == (f"It was checked on {day}.", stays)
    undated = SampleClock(fast_ppm=fast, checked=True, name="desk")
    assert forgetting(undated) == (stays,)


@pytest.mark.parametrize(
    ("count", "words", "others"),
    [
        (1, "It was removed more than 30 days ago", "They"),
        (2, "They were removed more than 30 days ago", "It "),
    ],
)
def test_one_old_thing_is_told_of_as_one(browser, count, words, others):
    for _each in range(count):
        Removed.objects.create(kind="finding", what="finding: old", held="{}")
    Removed.objects.update(at=timezone.now() - timedelta(days=31))
    told = " ".join(question_of(browser.post("/removed/throw-away/")).told)
    assert words in told
    assert others not in told
    assert ("deleted with it;" in told) is (count == 1)


def test_the_days_of_the_way_back_are_those_that_are_kept():
    assert f"for {KEPT.days} days at least" in kept_words()
