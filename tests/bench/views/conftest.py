"""A visit on its way from a finding to an agreed proposal."""

from datetime import date
from decimal import Decimal

import pytest

from sideshake.bench.models import (
    Finding,
    Proposal,
    the_workshop,
)
from sideshake.bench.services.saving import save


@pytest.fixture
def taxed(db):
    """The workshop with a tax, an hourly rate, and why there may be none."""
    shop = the_workshop()
    shop.tax_percent, shop.hourly_rate = Decimal("19"), Decimal("90")
    shop.tax_wording = "No tax is charged: small business."
    shop.save()


@pytest.fixture
def found(visit, colleague):
    save(Finding(visit=visit, key="oil-dried", title="Oil dried"), colleague)
    return visit


@pytest.fixture
def drafted(client, found):
    client.post(f"/visits/{found.number}/proposal/begin/")
    return Proposal.objects.get()


@pytest.fixture
def sent(client, drafted):
    client.post("/visits/2026-001/proposal/1/send/", {"seen": drafted.version})
    drafted.refresh_from_db()
    return drafted


@pytest.fixture
def agreed(client, sent):
    chosen = [option.pk for option in sent.options.all()]
    client.post(
        "/visits/2026-001/proposal/1/answer/",
        {
            "answered_on": date.today().isoformat(),
            "channel": "phone",
            "answer": "Please do it",
            "chosen": chosen,
        },
    )
    sent.refresh_from_db()
    return sent
