"""An erased owner: a marker in every field stands afterwards only where the law keeps it."""

import json
from datetime import date

import pytest
from django.db import connection, models
from django.utils import timezone
from filled_workshop import fill
from kept_workshop import kept_tables

from sideshake.core.errors import InputError
from sideshake.web.base.rows import lines
from sideshake.web.base.saving import EditConflict, index_visit, remove, save
from sideshake.web.documents.issuing import place_of
from sideshake.web.models import (
    Change,
    Finding,
    Invoice,
    Issued,
    JewelOrder,
    Outwork,
    Owner,
    Payment,
    Photograph,
    Recording,
    Removed,
    Step,
    Used,
    Visit,
    VisitText,
    Watch,
)
from sideshake.web.owners import erasing
from sideshake.web.owners.belonging import rows_on, way_to_owner
from sideshake.web.owners.erasing import erase, kept_of, scrub

MARK = "zqheirloomqz"
TODAY = date(2026, 11, 30)
NOT_MARKED = {"stored", "sha256", "kind", "of", "number", "state", "currency", "question", "key",
              "held"}  # fmt: skip
"""Columns by which the program finds something; nobody writes words into them."""
KEPT_BY_LAW = {"invoice", "payment", "issued"}


def marked(field, value):
    """Return the marker as this field holds it; the value as it is if no words fit into it."""
    if isinstance(field, models.JSONField):
        return (
            [{"text": MARK, "across": 0.5, "down": 0.5, "grave": False}] if value == [] else value
        )
    if not isinstance(field, models.CharField | models.TextField) or field.choices:
        return value
    if field.name in NOT_MARKED or (field.max_length or 99) < len(MARK):
        return value
    return f"{MARK}@example.org" if isinstance(field, models.EmailField) else MARK


def mark_all(owner):
    """Write the marker into every field of everything about an owner."""
    for table, rows in rows_on(owner):
        for row in rows:
            fields = [
                f for f in table._meta.concrete_fields if not f.remote_field and f.name != "id"
            ]
            values = {f.attname: marked(f, getattr(row, f.attname)) for f in fields}
            if table is Change:
                values["fields"] = {"note": [MARK, None]}
            table._base_manager.filter(pk=row.pk).update(**values)


@pytest.fixture
def owner(transactional_db, visit, owner_of_workshop, data):
    """The owner of a filled visit that is over, with the marker everywhere."""
    rows = fill(visit, owner_of_workshop, data / "files")
    save(Payment.objects.get(), owner_of_workshop)
    for folder, name in (("photographs", "a.jpg"), ("recordings", "a.wav")):
        path = data / "files" / folder / name
        path.write_bytes(path.read_bytes() + MARK.encode())
    drawn = f"reading-pictures/{rows['Reading'].pk}-1-lateness-ring-2.svg"
    for name in ("photographs/a-small.jpg", drawn):
        (data / "files" / name).parent.mkdir(exist_ok=True)
        (data / "files" / name).write_text(MARK)
    report = Issued.objects.get(kind="report")
    Issued.objects.filter(pk=report.pk).update(stored="report.pdf")
    place_of("report.pdf").write_text(MARK)
    place_of("report.pdf").with_name("not-ours.pdf").write_text("another")
    remove(Finding.objects.create(visit=visit, title=MARK), owner_of_workshop)
    mark_all(visit.watch.owner)
    Visit.objects.update(step=Step.GONE_HOME)
    index_visit(Visit.objects.select_related("watch__owner").get())
    return Owner.objects.get()


def tables_holding(text):
    """Return the tables, with the kind of the row, in which a text stands."""
    return {
        (table._meta.model_name, json.loads(line).get("kind", ""))
        for table in kept_tables()
        for line in lines(table)
        if text in line.decode()
    }


def files_holding(folder, text):
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and text.encode() in path.read_bytes()
    }


def names(rows):
    return {table._meta.model_name for table, _rows in rows}


@pytest.mark.django_db
def test_every_table_leads_to_an_owner_or_is_known_to_be_about_none():
    about_none = {"user", "workshop", "item", "batch", "jewelorder", "calibre"}
    found = {t._meta.model_name for t in kept_tables()} - about_none - {"takingin", "takenin"}
    found -= {"visittext", "leaving"}  # no records; the words are emptied: see below
    assert names(rows_on(Owner(pk=0))) == found
    assert way_to_owner(VisitText)


def test_the_marker_stood_everywhere(owner, data):
    before = {name for name, _kind in tables_holding(MARK)}
    assert before >= names(rows_on(owner)) - {"recording", "earlier", "visittext"} | {"visittext"}
    assert len(files_holding(data, MARK)) == 5


def test_after_erasing_the_marker_stands_only_where_the_law_keeps_it(
    owner, owner_of_workshop, data
):
    kept = erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert [each.number for each in kept.invoices] == ["2026-0001"]
    assert kept.until == date(2036, 12, 31)
    assert tables_holding(MARK) <= {
        ("invoice", "work"), ("payment", ""), ("issued", "invoice"),
        ("change", "invoice"), ("change", "payment"), ("change", "issued"),
    }  # fmt: skip
    assert files_holding(data, MARK) == set()
    invoice_paper = Issued.objects.get()
    assert place_of(invoice_paper.stored).exists()
    assert invoice_paper.to == MARK
    assert place_of("report.pdf").with_name("not-ours.pdf").exists()


def test_name_and_words_are_gone_and_the_rows_that_stay_are_nameless(owner, owner_of_workshop):
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    watch, visit = Watch.objects.get(), Visit.objects.get()
    assert (owner.name, owner.address, owner.email) == (f"erased owner {owner.pk}", "", "")
    assert owner.erased_on == TODAY
    assert (watch.title, watch.story, watch.case_serial) == (f"erased watch {watch.pk}", "", "")
    assert (visit.number, visit.complaint, visit.declared_value) == ("2026-001", "", None)
    assert VisitText.objects.get().folded == ""
    assert Used.objects.get().quantity == 1
    assert not Photograph.objects.exists()
    assert not Recording.objects.exists()


def test_a_later_saving_makes_nothing_findable_again(owner, owner_of_workshop):
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    payment = Payment.objects.get()
    payment.note = "reminded"
    save(payment, owner_of_workshop)
    assert VisitText.objects.get().folded == ""


def test_no_remains_lie_in_the_database_file(owner, owner_of_workshop):
    if connection.vendor != "sqlite":
        assert scrub()  # PostgreSQL reuses the room by itself, docs/workshop.md says so
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA secure_delete=OFF")  # some systems have it on
    Invoice.objects.update(lines=[], note="", rights="", tax_wording="")
    erase(owner, owner_of_workshop, seen=owner.version, on=date(2050, 1, 1))
    assert MARK.encode() in connection.connection.serialize()
    assert scrub()
    assert MARK.encode() not in connection.connection.serialize()


def test_when_the_years_are_over_the_money_goes_too(owner, owner_of_workshop, data):
    erase(owner, owner_of_workshop, seen=owner.version, on=date(2036, 12, 31))
    assert Invoice.objects.count() == 1
    owner.refresh_from_db()
    kept = erase(owner, owner_of_workshop, seen=owner.version, on=date(2037, 1, 1))
    assert kept.until is None
    assert tables_holding(MARK) == set()
    assert not Invoice.objects.exists()
    assert not Payment.objects.exists()
    assert not Issued.objects.exists()
    assert [path.name for path in (data / "files" / "papers").iterdir()] == ["not-ours.pdf"]


def test_a_cancelled_invoice_stays_as_long_as_the_one_that_cancels_it(owner, owner_of_workshop):
    first = Invoice.objects.get()
    late = Invoice.objects.create(
        visit=first.visit, number="2028-0001", issued_on=date(2028, 1, 2), currency="EUR",
        due_on=date(2028, 1, 2), cancels=first,
    )  # fmt: skip
    assert {each.pk for each in kept_of(owner, on=date(2038, 12, 31)).invoices} == {
        first.pk,
        late.pk,
    }
    erase(owner, owner_of_workshop, seen=owner.version, on=date(2039, 1, 1))
    assert not Invoice.objects.exists()


def test_a_picture_that_another_owner_has_too_stays(owner, owner_of_workshop, data):
    other = Owner.objects.create(name="Other")
    watch = Watch.objects.create(owner=other, title="diver")
    visit = Visit.objects.create(number="2", watch=watch, arrived_on=TODAY, step_since=TODAY)
    mine = {f.attname: getattr(Photograph.objects.get(), f.attname) for f in
            Photograph._meta.concrete_fields if f.name not in ("id", "visit")}  # fmt: skip
    Photograph.objects.create(visit=visit, **mine)
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert (data / "files" / "photographs" / "a.jpg").exists()


@pytest.fixture
def others_visit(owner):
    other = Owner.objects.create(name="Ines Talvik", since=TODAY)
    watch = Watch.objects.create(owner=other, title="Table clock")
    return Visit.objects.create(
        number="2026-900", watch=watch, arrived_on=TODAY, step_since=timezone.now()
    )


def test_the_file_of_a_photograph_that_was_put_aside_goes_too(owner, owner_of_workshop, data):
    remove(Photograph.objects.get(), owner_of_workshop)
    folder = data / "files" / "photographs"
    assert {path.name for path in folder.iterdir()} >= {"a.jpg", "a-small.jpg"}
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert list(folder.iterdir()) == []


def test_a_picture_that_another_owner_can_take_back_stays(
    owner, owner_of_workshop, data, others_visit
):
    mine = {f.attname: getattr(Photograph.objects.get(), f.attname) for f in
            Photograph._meta.concrete_fields if f.name not in ("id", "visit")}  # fmt: skip
    remove(Photograph.objects.create(visit=others_visit, **mine), owner_of_workshop)
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert (data / "files" / "photographs" / "a.jpg").exists()


def order_paper(visit, data, **told):
    path = data / "files" / "papers" / "order.pdf"
    path.write_text("an order")
    return Issued.objects.create(
        visit=visit, kind="jewel-order", of=JewelOrder.objects.get().number, issued_on=TODAY,
        stored=path.name, sha256="d", bytes=8, program="0.1.0", **told,
    )  # fmt: skip


def test_the_paper_of_an_order_that_others_have_wishes_in_stays_with_them(
    owner, owner_of_workshop, data, others_visit
):
    paper = order_paper(Visit.objects.get(number="2026-001"), data, to=MARK)
    theirs = Outwork.objects.create(
        visit=others_visit, what="jewel", jewel=True, order=JewelOrder.objects.get()
    )
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    paper.refresh_from_db()
    assert (paper.visit, paper.to) == (others_visit, "")
    assert place_of(paper.stored).read_text() == "an order"
    assert list(JewelOrder.objects.get().wishes.all()) == [theirs]


def test_the_paper_of_an_order_for_nobody_else_goes(owner, owner_of_workshop, data, others_visit):
    paper = order_paper(Visit.objects.get(number="2026-001"), data)
    Outwork.objects.create(visit=others_visit, what="another jewel", jewel=True)
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert not Issued.objects.filter(pk=paper.pk).exists()
    assert not place_of(paper.stored).exists()


def test_an_owner_whose_watch_is_here_is_not_erased(owner, owner_of_workshop):
    Visit.objects.update(step=Step.READY)
    with pytest.raises(InputError, match=r"still here \(2026-001\)"):
        erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert MARK in Owner.objects.get().name


def test_whoever_has_not_seen_the_owner_as_it_is_erases_nothing(owner, owner_of_workshop):
    with pytest.raises(EditConflict):
        erase(owner, owner_of_workshop, seen=0, on=TODAY)


def test_nothing_goes_when_it_fails_half_way(owner, owner_of_workshop, data, monkeypatch):
    def fail(*_given):
        raise InputError("broken")

    monkeypatch.setattr(erasing, "forget_history", fail)
    before = {table: list(lines(table)) for table in kept_tables()}
    with pytest.raises(InputError):
        erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert {table: list(lines(table)) for table in kept_tables()} == before
    assert len(files_holding(data, MARK)) == 5


def test_the_history_of_others_stays_as_it_is(owner, owner_of_workshop):
    other = Owner(name="Other", note="kept")
    save(other, owner_of_workshop)
    told = list(Change.objects.filter(kind="owner", row=other.pk).values())
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert list(Change.objects.filter(kind="owner", row=other.pk).values()) == told


@pytest.mark.parametrize("visit_known", [True, False])
def test_what_was_removed_before_is_erased_too_but_not_what_was_another_owners(
    owner, owner_of_workshop, others_visit, visit_known
):
    gone = Finding.objects.filter(visit__watch__owner=owner).first()
    own = remove(gone, owner_of_workshop)
    theirs = remove(Finding.objects.create(visit=others_visit, title="scratch"), owner_of_workshop)
    if not visit_known:
        Removed.objects.update(visit=None)
    erase(owner, owner_of_workshop, seen=owner.version, on=TODAY)
    assert not Removed.objects.filter(pk=own.pk).exists()
    assert Removed.objects.filter(pk=theirs.pk).exists()
