"""What is held on an owner comes out as one file, and goes after one question."""

import csv
import io
import json
import zipfile
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from filled_workshop import fill

from sideshake.web.base.saving import remove
from sideshake.web.documents.issuing import place_of
from sideshake.web.models import (
    Change,
    Invoice,
    Issued,
    Owner,
    Payment,
    Photograph,
    Step,
    User,
    Visit,
)
from sideshake.web.owners.belonging import rows_on

from ..conftest import question_of


@pytest.fixture
def owner(transactional_db, visit, owner_of_workshop, data):
    """The owner of a filled visit that is over."""
    fill(visit, owner_of_workshop, data / "files")
    Owner.objects.update(address="3 Mill Lane", note="pays in coins", phone="+41 44 000")
    Visit.objects.update(step=Step.GONE_HOME)
    return Owner.objects.get()


@pytest.fixture
def given(client, owner):
    answer = client.post(f"/owners/{owner.pk}/give-out/")
    assert answer.headers["Content-Type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(b"".join(answer))) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_every_row_about_the_owner_is_in_the_json_and_in_the_tables(owner, given):
    tree = json.loads(given["records.json"])
    assert (tree["schema"], tree["version"]) == ("sideshake.owner", 1)
    for table, rows in rows_on(owner):
        name = table._meta.model_name
        held = [row.pk for row in rows]
        assert [row["id"] for row in tree["tables"][name]] == held
        sheet = csv.DictReader(io.StringIO(given[f"tables/{name}.csv"].decode("utf-8-sig")))
        assert [int(row["id"]) for row in sheet] == held


def test_files_come_out_as_the_very_bytes(given, data):
    invoice = Issued.objects.get(kind="invoice")
    assert given[f"papers/{invoice.stored}"] == place_of(invoice.stored).read_bytes()
    for name in ("photographs/a.jpg", "recordings/a.wav"):
        assert given[name] == (data / "files" / name).read_bytes()


def test_the_page_is_read_by_a_person(owner, given):
    page = given["read-me.html"].decode()
    for words in ("Ottilie Marwood", "3 Mill Lane", "pays in coins", "oil dried", "2026-0001"):
        assert words in page
    assert "+41 44 000" in page
    assert page.index("<h2>Owners (1)") < page.index("<h2>Visits (1)") < page.index("<h2>Changes")
    assert "<dt>Number</dt><dd>– → 2026-001</dd>" in page
    assert "&#x27;+41" not in page
    assert 'src="photographs/a.jpg"' in page
    assert "Its file is not there any more: papers/gone.pdf" in " ".join(page.split())
    assert page.count("not there any more") == 1


def test_prices_and_amounts_are_told_as_on_the_page_of_the_history(client, owner, visit):
    line = {"kind": "work", "text": "oil", "quantity": "1E+1", "each": "2.5", "tax_percent": "20"}
    fields = {"amount": [None, "1.7E+3"], "deposit": [None, False]}
    Change.objects.create(kind="payment", row=1, what="paid", visit=visit, fields=fields)
    Change.objects.create(
        kind="option", row=1, what="priced", visit=visit, fields={"lines": [[], [line]]}
    )
    page = " ".join(zip_of(client, owner)["read-me.html"].decode().split())
    told = " ".join(client.get(f"/visits/{visit.number}/history/").text.split())
    assert "– → 1700" in page
    assert "– → oil: 10 × 2.5, 20 %" in page
    for words in ("1700", "oil: 10 × 2.5, 20 %"):
        assert words in told
    for written in ("1.7E+3", "&quot;quantity&quot;"):
        assert written not in page
        assert written not in told


def test_nobody_elses_rows_are_in_it(client, owner):
    other = Owner.objects.create(name="Other", note="hush")
    answer = client.post(f"/owners/{owner.pk}/give-out/")
    with zipfile.ZipFile(io.BytesIO(b"".join(answer))) as archive:
        assert all(b"hush" not in archive.read(name) for name in archive.namelist())
    held = json.loads(zip_of(client, other)["records.json"])["tables"]
    assert [name for name, rows in held.items() if rows] == ["owner"]


def zip_of(client, owner):
    answer = client.post(f"/owners/{owner.pk}/give-out/")
    with zipfile.ZipFile(io.BytesIO(b"".join(answer))) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def asked(client, owner):
    return " ".join(client.get(f"/owners/{owner.pk}/erase/").text.split())


def test_the_question_tells_what_goes_and_what_stays(client, owner, settings):
    settings.BACKUPS.mkdir()
    (settings.BACKUPS / "2026-11-01T00-00-00-000000-daily.zip").touch()
    page = asked(client, owner)
    for words in (
        f"“erased owner {owner.pk}” stays in their place",
        "1 invoice with its paper as it was issued",
        "31 Dec 2036: 2026-0001",
        "10 years after the end of their own, as the settings say: check your local law",
        "2026-11-01T00-00-00-000000-daily.zip",
        "photographs 1, recordings 1, readings 1",
    ):
        assert words in page
    assert "No backup is known here" not in page
    assert "other owners" not in page


def test_without_invoices_nothing_is_said_to_stay(client, owner):
    Payment.objects.all().delete()
    Issued.objects.all().delete()
    Invoice.objects.all().delete()
    page = asked(client, owner)
    assert "nothing that names the owner" in page
    assert "No backup is known here" in page
    assert "as they were issued" not in page
    assert "check your local law" not in page


def test_the_name_in_other_visits_is_told(client, owner, watch, owner_of_workshop):
    from sideshake.web.base.saving import save
    from sideshake.web.models import Watch

    other = Watch.objects.create(owner=Owner.objects.create(name="Other"), title="diver")
    day = timezone.localdate()
    visit = Visit(number="2026-009", watch=other, arrived_on=day, step_since=day)
    visit.complaint = "as her friend Ottilie Marwood said"
    save(visit, owner_of_workshop)
    assert "2026-009" in asked(client, owner)


def test_it_asks_once_and_only_yes_erases(client, owner):
    address, before = f"/owners/{owner.pk}/erase/", Change.objects.count()
    before_it = client.get(f"/owners/{owner.pk}/").text
    assert "without a name now" not in before_it
    assert "The invoices are kept" not in before_it
    assert client.post(address, {"seen": ""}).status_code == 409
    assert client.post(address, {"seen": owner.version + 1}).status_code == 409
    assert (Owner.objects.get().name, Change.objects.count()) == ("Ottilie Marwood", before)
    answer = client.post(address, {"seen": owner.version}, follow=True)
    page = " ".join(answer.text.split())
    assert "Kept until 31 Dec 2036: invoices 1, payments 1." in page
    assert "watches and visits are rows without a name now. The invoices are kept as" in page
    assert "Ottilie" not in page


def test_no_invoice_is_told_to_be_kept_where_there_is_none(client, owner):
    Payment.objects.all().delete()
    Issued.objects.all().delete()
    Invoice.objects.all().delete()
    answer = client.post(f"/owners/{owner.pk}/erase/", {"seen": owner.version}, follow=True)
    page = " ".join(answer.text.split())
    assert "watches and visits are rows without a name now." in page
    assert "The invoices are kept" not in page


def test_what_came_after_the_question_was_read_is_asked_about_anew(
    owner, owner_of_workshop, settings
):
    browser, address = Client(), f"/owners/{owner.pk}/erase/"
    browser.force_login(owner_of_workshop)
    read = browser.get(address)
    assert "read it once more" not in read.text
    yes = {"seen": owner.version, "sure": question_of(read).mark}
    settings.BACKUPS.mkdir()
    (settings.BACKUPS / "2026-11-01T00-00-00-000000-daily.zip").touch()
    again = browser.post(address, yes)
    assert (again.status_code, "read it once more" in again.text) == (200, True)
    assert Owner.objects.get().name == "Ottilie Marwood"
    assert browser.post(address, {**yes, "sure": question_of(again).mark}).status_code == 302
    assert Owner.objects.get().name != "Ottilie Marwood"


def test_the_years_are_a_setting(client, owner):
    from sideshake.web.models import Workshop, the_workshop

    the_workshop()
    Workshop.objects.get().save()
    Workshop.objects.update(keep_years=0)
    Invoice.objects.update(issued_on=timezone.localdate() - timedelta(days=400))
    Payment.objects.update(on=timezone.localdate() - timedelta(days=400))
    assert "nothing that names the owner" in asked(client, owner)


def test_a_watch_that_is_here_speaks_against_it(client, owner):
    Visit.objects.update(step=Step.ON_TEST)
    page = asked(client, owner)
    assert "A watch of this owner is still here (2026-001)" in page
    assert "Erase for good" not in page


def test_an_apprentice_and_a_colleague_are_offered_neither(
    apprentice_client, colleague_client, client, owner
):
    for browser, offered in ((apprentice_client, False), (colleague_client, False), (client, True)):
        page = browser.get(f"/owners/{owner.pk}/").text
        assert ("Give out" in page, "/erase/" in page) == (offered, offered)


def test_a_photograph_that_can_be_taken_back_is_given_out_too(client, owner, data):
    remove(Photograph.objects.get(), User.objects.get())
    given = zip_of(client, owner)
    assert given["photographs/a.jpg"] == (data / "files" / "photographs" / "a.jpg").read_bytes()
    assert 'href="photographs/a.jpg"' in given["read-me.html"].decode()


def test_another_owners_photograph_that_can_be_taken_back_is_not(client, owner):
    remove(Photograph.objects.get(), User.objects.get())
    other = Owner.objects.create(name="Other")
    assert not [name for name in zip_of(client, other) if name.startswith("photographs/")]
