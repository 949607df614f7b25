"""An apprentice sees no amount of money: a marker in every field, looked for at every address."""

from decimal import Decimal

import pytest
from filled_workshop import ALL

from sideshake.web.base.models import money_fields
from sideshake.web.base.saving import index_visit, save
from sideshake.web.models import Change, Option, Proposal, Visit

MARKS = ("931.77", "931,77")
WORD = "moonphasetariff"


@pytest.fixture
def marked(rows, visit, owner_of_workshop):
    """A filled visit whose every amount of money is the marker, told in the history too."""
    line = {"kind": "work", "text": WORD, "quantity": "1", "each": MARKS[0], "tax_percent": "20"}
    for row in (visit, *rows.values()):
        table = type(row)
        values = dict.fromkeys(money_fields(table), Decimal(MARKS[0]))
        if any(field.name == "lines" for field in table._meta.concrete_fields):
            values["lines"] = [line]
        if values:
            table._base_manager.filter(pk=row.pk).update(**values)
    found = Visit.objects.get(pk=visit.pk)
    found.declared_value = Decimal(MARKS[0]) + 1
    save(found, owner_of_workshop)
    found = Visit.objects.get(pk=visit.pk)
    found.declared_value = Decimal(MARKS[0])
    save(found, owner_of_workshop)
    index_visit(found)
    return rows


def looked_at(client, addresses):
    """Yield each page that can be read, as text."""
    for address in addresses:
        answer = client.get(address)
        if answer.status_code == 200 and "text" in answer.headers["Content-Type"]:
            yield address, b"".join(answer).decode()
        answer.close()


def everywhere(path_of):
    more = [f"/search/?q={WORD}", f"/visits/?words={WORD}"]
    return [path_of(name) for name in ALL] + more


def showing(client, addresses):
    return [at for at, text in looked_at(client, addresses) if any(mark in text for mark in MARKS)]


def test_no_address_shows_an_apprentice_an_amount(marked, path_of, apprentice_client):
    assert showing(apprentice_client, everywhere(path_of)) == []


def test_those_who_price_see_the_amounts(marked, path_of, visit, client):
    seen = showing(client, everywhere(path_of))
    number = visit.number
    for address in (f"/visits/{number}/", f"/visits/{number}/history/", "/money/"):
        assert address in seen


def test_a_word_of_a_price_finds_nothing_for_an_apprentice(
    marked, visit, apprentice_client, client
):
    for address in (f"/search/?q={WORD}", f"/visits/?words={WORD}"):
        assert visit.watch.title not in apprentice_client.get(address).text
        assert visit.watch.title in client.get(address).text


def test_what_an_apprentice_saves_keeps_the_amounts(marked, visit, apprentice_client):
    form = apprentice_client.get(f"/visits/{visit.number}/arrival/").context["form"]
    assert not money_fields(Visit) & set(form.fields)
    sent = {name: form[name].value() or "" for name in form.fields} | {
        "seen": form.instance.version
    }
    apprentice_client.post(f"/visits/{visit.number}/arrival/", sent)
    assert Visit.objects.get(pk=visit.pk).declared_value == Decimal(MARKS[0])


def test_the_fields_are_those_that_hold_money():
    assert money_fields(Visit) == {"budget_limit", "declared_value", "insured_out"}
    assert "tax_percent" not in money_fields(Proposal)
    assert money_fields(Option) == money_fields(Change) == frozenset()
