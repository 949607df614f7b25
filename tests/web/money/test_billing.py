"""Invoices issued by several benches at once."""

import pytest
from own_database import own_database
from workshop_process import program

ALL_AT_ONCE = """
import django; django.setup()
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from django.db import connection
from sideshake.web.models import Invoice, Owner, User, Visit, Watch
from sideshake.web.money.services import Issuing, issue
from sideshake.web.visits.services import arrive
from sideshake.web.start import open_workshop
open_workshop()
day = date(2026, 11, 20)
by = User.objects.create_user("at the till")
watch = Watch(title="travelling watch")
visit = arrive(Owner(name="Ottilie Marwood"), watch, Visit(arrived_on=day, step_since=day), by)
row = {"kind": "work", "text": "x", "quantity": "1", "each": "10", "tax_percent": "19"}
def one(_):
    try:
        return issue(Visit.objects.get(pk=visit.pk), Issuing(lines=[row], on=day), by).number
    finally:
        connection.close()
with ThreadPoolExecutor(4) as pool:
    print(*sorted(pool.map(one, range(12))))
"""


@pytest.mark.on_postgresql
def test_twelve_invoices_at_once_get_twelve_numbers_without_a_gap(tmp_path):
    with own_database() as address:
        ran = program(tmp_path, ALL_AT_ONCE, address=address)
    numbers = [int(number.removeprefix("INV-2026-")) for number in ran.stdout.split()]
    assert len(numbers) == 12, ran.stderr
    assert numbers == list(range(numbers[0], numbers[0] + 12))
