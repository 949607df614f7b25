"""A visit on its way from a finding to an agreed proposal."""

from datetime import date
from decimal import Decimal

import pytest

from sideshake.web.base.saving import save
from sideshake.web.models import Finding, Proposal, the_workshop
from sideshake.web.readings import hearing

from .heard_again import heard_watch, of_an_older_ear, upload


@pytest.fixture(scope="module")
def hears_once():
    """Return how uploads of a file are heard once for all its tests: a hearing takes a second.

    Whoever calls it has a recording heard anew only if it, or what is told of it, is another.
    """
    heard, hear = {}, hearing.read

    def read(reading, over):
        asked = (hearing.known_for, hearing.clock_of)
        part = (reading.heard_from_s, reading.heard_until_s, reading.said_watch)
        key = (reading.recording.sha256, *part, *(repr(each(reading)) for each in asked))
        hearing.file_of(reading.recording)  # which is a fault when it is gone
        if key not in heard:
            heard[key] = hear(reading, over)
        return heard[key]

    return read


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


@pytest.fixture(scope="module")
def ticking() -> bytes:
    """A recording of a watch."""
    return heard_watch()


@pytest.fixture
def three(client, visit, ticking, hears_once, monkeypatch):
    """Three readings, heard by the first ear: CH and FH before the work, CH after it."""
    with monkeypatch.context() as patch:
        patch.setattr(hearing, "read", hears_once)
        found = [
            upload(client, visit, ticking),
            upload(client, visit, ticking, position="FH"),
            upload(client, visit, ticking, after="on"),
        ]
    of_an_older_ear(*found)
    return found
