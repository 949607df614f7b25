"""Whatever writes holds rows in one order: the workshop, then visits, then the rest."""

from datetime import date

import pytest
from django.db import connection
from django.db.models import QuerySet
from django.utils import timezone
from filled_workshop import fill
from PIL import Image

from sideshake.photo.intake import freed
from sideshake.web.base.saving import remove, save
from sideshake.web.evidence import photographs
from sideshake.web.models import (
    Finding,
    JewelOrder,
    Owner,
    Payment,
    Removed,
    Step,
    Visit,
    the_workshop,
)
from sideshake.web.outwork import ordering
from sideshake.web.owners.erasing import erase
from sideshake.web.removal.services import take_back, throw_away
from sideshake.web.storage.taking_in import gone

RANKS = ("workshop", "visit")


@pytest.fixture
def held(monkeypatch):
    """The kinds of rows in the order in which they are held first, as PostgreSQL would."""
    found = {}

    def told(rows, **_how):
        found.setdefault(rows.model._meta.model_name)
        return rows.all()

    monkeypatch.setattr(QuerySet, "select_for_update", told)
    monkeypatch.setattr(connection.features, "has_select_for_update", True)
    return found


@pytest.fixture
def rows(visit, owner_of_workshop, data):
    the_workshop()
    found = fill(visit, owner_of_workshop, data / "files")
    save(Payment.objects.get(), owner_of_workshop)
    return found


def test_an_owner_is_erased(rows, owner_of_workshop, held):
    Visit.objects.update(step=Step.GONE_HOME)
    owner = Owner.objects.get()
    erase(owner, owner_of_workshop, seen=owner.version, on=date(2026, 11, 30))
    assert list(held)[:3] == ["workshop", "visit", "owner"]


def test_what_was_removed_is_taken_back(rows, owner_of_workshop, held):
    aside = remove(rows["Finding"], owner_of_workshop)
    held.clear()
    take_back(aside, owner_of_workshop)
    assert list(held)[:3] == ["workshop", "visit", "removed"]


def test_an_option_is_taken_back(rows, owner_of_workshop, held):
    rows["Proposal"].__class__.objects.update(state="draft")
    aside = remove(rows["Option"], owner_of_workshop)
    held.clear()
    take_back(aside, owner_of_workshop)
    assert list(held)[:2] == list(RANKS)


def test_an_order_of_jewels_is_changed(rows, owner_of_workshop, held):
    order = JewelOrder.objects.get()
    order.packing = "a box"
    ordering.change_order(order, [rows["Outwork"].pk], owner_of_workshop, on=date(2026, 4, 1))
    assert list(held)[:4] == ["workshop", "visit", "jewelorder", "outwork"]


def test_a_photograph_is_kept(rows, visit, colleague, tmp_path, held):
    source = tmp_path / "new.png"
    Image.new("RGB", (50, 40), "#336699").save(source)
    photographs.keep(visit, freed(source, limits=photographs.limits()), colleague)
    assert list(held)[:2] == list(RANKS)


def test_what_is_old_is_thrown_away(rows, held):
    throw_away(timezone.now())
    assert list(held) == ["workshop"]


def test_rows_of_an_import_are_held_before_they_go(rows, held):
    before = Finding.objects.count()
    assert gone("finding", Finding.objects.all()) == before > 0
    assert list(held) == ["finding"]
    assert not Finding.objects.exists()
    assert Removed.objects.count() == 2
