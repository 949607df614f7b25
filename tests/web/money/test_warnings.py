"""What is told before an invoice is issued. The articles are those of Directive 2006/112/EC."""

from datetime import date

import pytest
from priced_visits import option_typed

from sideshake.web.models import Invoice, Option

pytestmark = pytest.mark.usefixtures("taxed")
AT = "/visits/2026-001/invoice/"


def page_of(client, kind="work", tax="0", **more):
    typed = option_typed(Option(title="x", version=0), ("Overhaul", "1", "100.00", tax))
    del typed["seen"]
    typed |= {"issued_on": date.today().isoformat(), "lines-0-kind": kind, **more}
    return client.post(AT, typed)


@pytest.mark.parametrize(("kind", "reason", "warned"), [
    ("work", "second-hand", True), ("work", "collectors-items", True),
    ("part", "second-hand", False), ("work", "export", False),
])  # fmt: skip
def test_work_under_the_margin_scheme_is_warned_of_and_not_refused(
    client, visit, kind, reason, warned
):
    page = page_of(client, kind, no_tax=reason, more="1").content.decode()
    assert ("margin scheme is for goods that are resold" in page) == warned
    assert page_of(client, kind, no_tax=reason).status_code == 302
    assert Invoice.objects.count() == 1


def test_work_with_tax_is_no_margin(client, visit):
    page = page_of(client, tax="19", more="1").content.decode()
    assert "margin scheme is for goods" not in page


@pytest.mark.parametrize("address", ["", " ", "Lane 3\nOberaldermoor"])
def test_a_customer_without_an_address_is_told_of_before_anything_is_issued(client, visit, address):
    owner = visit.watch.owner
    owner.address = address
    owner.save()
    page = client.get(AT).content.decode()
    assert ("The customer has no address" in page) == (not address.strip())
