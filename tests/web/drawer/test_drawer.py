"""The drawer, as a restorer uses it."""

from datetime import date

import pytest

from sideshake.core.errors import InputError
from sideshake.web.base.saving import save
from sideshake.web.drawer.services import JewelWish, fitting, items_in_stock, low_items
from sideshake.web.models import Batch, Item, Used

QUERIES = 15


def item(by, name="mainspring 1.30", kind="spring", **told):
    made = Item(name=name, kind=kind, **told)
    save(made, by)
    return made


def batch(by, of, quantity, **told):
    made = Batch(item=of, quantity=quantity, received_on=date(2026, 1, 5), **told)
    save(made, by)
    return made


def use(by, visit, of, quantity=1):
    made = Used(visit=visit, batch=of, quantity=quantity, on=date(2026, 3, 9), by=by)
    save(made, by)
    return made


def stock(of):
    return items_in_stock().get(pk=of.pk).stock


def test_stock_is_right_with_several_batches_and_several_uses(colleague, visit):
    """By hand: 5 + 7 received, 1 + 2 + 3 used leave 6; joined rows would multiply to another."""
    spring = item(colleague)
    first, second = batch(colleague, spring, 5), batch(colleague, spring, 7)
    for of, quantity in ((first, 1), (first, 2), (second, 3)):
        use(colleague, visit, of, quantity)
    found = items_in_stock().get(pk=spring.pk)
    assert (found.received, found.gone, found.stock) == (12, 6, 6)


def test_an_item_without_a_batch_has_none_in_stock(colleague):
    assert stock(item(colleague)) == 0


def test_low_is_what_lies_at_or_under_its_mark(colleague):
    low, enough = item(colleague, "low", low_at=2), item(colleague, "enough", low_at=2)
    item(colleague, "never low", low_at=0)
    batch(colleague, low, 2)
    batch(colleague, enough, 3)
    assert list(low_items()) == [low]


def test_the_drawer_lists_items_by_kind_and_words_and_what_runs_low(client, colleague):
    batch(colleague, item(colleague, "stem for tarnbrook", "part", low_at=1), 1)
    item(colleague, "balance jewel", "jewel", hole_mm=0.1)
    page = client.get("/drawer/").content.decode()
    assert "Running low" in page
    assert "balance jewel" in page
    sifted = client.get("/drawer/?kind=jewel&words=balance").context["page"]
    assert [each.name for each in sifted.object_list] == ["balance jewel"]
    assert (
        "Nothing in the drawer is like that" in client.get("/drawer/?words=moon").content.decode()
    )


def test_an_empty_drawer_says_what_to_do(client):
    assert "Write the first item" in client.get("/drawer/").content.decode()


def test_an_item_and_its_batch_are_written_with_a_comma(client):
    given = {
        "kind": "jewel",
        "name": "hole jewel",
        "hole_mm": "0,10",
        "outside_mm": "1,20",
        "thickness_mm": "0.3",
        "low_at": "0",
    }
    answer = client.post("/drawer/new/", given)
    made = Item.objects.get()
    assert answer.url == f"/drawer/{made.pk}/"
    assert (made.hole_mm, made.outside_mm, made.thickness_mm) == (0.1, 1.2, 0.3)
    given = {"received_on": "2026-02-01", "quantity": "4", "origin": "generic", "cost": "3.50"}
    assert client.post(f"/drawer/{made.pk}/batches/new/", given).status_code == 302
    assert stock(made) == 4
    assert str(Batch.objects.get().cost.normalize()) == "3.5"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"hole_mm": "1,3"}, "smaller than the outside"),
        ({"hole_mm": "-0.1"}, "above zero"),
        ({"name": ""}, "required"),
        ({"low_at": "x"}, "whole number"),
    ],
)
def test_an_impossible_item_is_refused_and_stays_in_the_form(client, given, words):
    good = {
        "kind": "jewel",
        "name": "hole jewel",
        "hole_mm": "0.1",
        "outside_mm": "1.2",
        "low_at": "0",
    }
    answer = client.post("/drawer/new/", {**good, **given})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Item.objects.exists()


def test_a_piece_goes_from_the_drawer_into_a_watch_and_comes_back(client, colleague, visit):
    spring = item(colleague)
    of = batch(colleague, spring, 2)
    assert "mainspring 1.30" in client.get(f"/visits/{visit.number}/use/").content.decode()
    chosen = client.get(f"/visits/{visit.number}/use/{spring.pk}/")
    assert chosen.url == f"/visits/{visit.number}/use/batch/{of.pk}/"
    given = {"quantity": "1", "on": "2026-03-09", "old_part": "kept", "note": "barrel"}
    assert client.post(chosen.url, given).status_code == 302
    assert stock(spring) == 1
    assert visit.number in client.get(f"/drawer/{spring.pk}/").content.decode()
    assert "mainspring 1.30" in client.get(f"/visits/{visit.number}/").content.decode()
    used = Used.objects.get()
    client.post(f"/used/{used.pk}/back/", {"seen": used.version})
    assert stock(spring) == 2


def test_several_batches_are_offered_and_empty_ones_not(client, colleague, visit):
    spring = item(colleague)
    full, other = batch(colleague, spring, 2), batch(colleague, spring, 2)
    empty = batch(colleague, spring, 1)
    use(colleague, visit, empty)
    offered = client.get(f"/visits/{visit.number}/use/{spring.pk}/").context["batches"]
    assert offered == [full, other]


def test_an_empty_batch_is_refused_in_words(client, colleague, visit):
    of = batch(colleague, item(colleague), 1)
    use(colleague, visit, of)
    given = {"quantity": "1", "on": "2026-03-09", "old_part": "none", "note": "typed"}
    answer = client.post(f"/visits/{visit.number}/use/batch/{of.pk}/", given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "There are 0 left of mainspring 1.30" in page
    assert "typed" in page
    assert Used.objects.count() == 1


def test_a_correction_takes_no_more_than_is_left(client, colleague, visit):
    spring = item(colleague)
    used = use(colleague, visit, batch(colleague, spring, 3))
    given = {"on": "2026-03-09", "old_part": "none", "note": "", "seen": used.version}
    assert client.post(f"/used/{used.pk}/", {**given, "quantity": "4"}).status_code == 422
    assert client.post(f"/used/{used.pk}/", {**given, "quantity": "0"}).status_code == 422
    assert client.post(f"/used/{used.pk}/", {**given, "quantity": "3"}).status_code == 302
    assert stock(spring) == 0


def test_a_batch_never_holds_fewer_than_were_used(client, colleague, visit):
    of = batch(colleague, item(colleague), 3)
    use(colleague, visit, of, 2)
    given = {"received_on": "2026-02-01", "origin": "generic", "seen": of.version}
    address = f"/drawer/{of.item.pk}/batches/{of.pk}/"
    assert client.post(address, {**given, "quantity": "1"}).status_code == 422
    assert client.post(address, {**given, "quantity": "2"}).status_code == 302
    answer = client.post(f"/batches/{of.pk}/remove/")
    assert answer.status_code == 422
    assert "are in watches" in answer.content.decode()


def test_an_item_with_a_batch_stays(client, colleague):
    spring = item(colleague)
    batch(colleague, spring, 1)
    assert client.post(f"/drawer/{spring.pk}/remove/").status_code == 422
    assert Item.objects.exists()


def test_an_apprentice_neither_sees_nor_writes_what_a_piece_cost(
    apprentice_client, client, colleague
):
    of = batch(colleague, item(colleague), 3, cost="41.50")
    page = f"/drawer/{of.item.pk}/"
    edit = f"{page}batches/{of.pk}/"
    assert "41.50" in client.get(page).content.decode()
    assert "41.50" not in apprentice_client.get(page).content.decode()
    assert "cost" not in apprentice_client.get(edit).content.decode()
    given = {"received_on": "2026-02-01", "origin": "generic", "quantity": "3", "cost": "1"}
    apprentice_client.post(edit, {**given, "seen": of.version})
    of.refresh_from_db()
    assert float(of.cost) == 41.5


def test_a_jewel_is_found_by_its_sizes_the_nearest_first(colleague):
    sizes = {"hole_mm": 0.10, "outside_mm": 1.20, "thickness_mm": 0.30}
    near = item(colleague, "near", "jewel", **{**sizes, "outside_mm": 1.21})
    same = item(colleague, "same", "jewel", **sizes)
    far = item(colleague, "far", "jewel", **{**sizes, "outside_mm": 1.22})
    gone = item(colleague, "none left", "jewel", **sizes)
    for each in (near, same, far):
        batch(colleague, each, 1)
    assert gone not in fitting(JewelWish(hole_mm=0.10))
    assert fitting(JewelWish(hole_mm=0.10, outside_mm=1.20)) == [same, near]
    assert fitting(JewelWish(outside_mm=1.20, within_mm=0.02)) == [same, near, far]


def test_a_wish_without_a_size_is_refused():
    with pytest.raises(InputError, match="give one"):
        JewelWish()


def test_the_search_page_finds_and_refuses(client, colleague):
    batch(colleague, item(colleague, "hole jewel", "jewel", hole_mm=0.1, outside_mm=1.2), 1)
    assert "hole jewel" in client.get("/drawer/find/?hole=0,1&outside=1.2").content.decode()
    assert "Nothing in the drawer fits" in client.get("/drawer/find/?hole=0.3").content.decode()
    answer = client.get("/drawer/find/?hole=wide")
    assert answer.status_code == 422
    assert "is no number" in answer.content.decode()
    assert client.get("/drawer/find/?within=0.1").status_code == 422


def test_the_drawer_asks_the_database_few_questions(
    client, colleague, visit, django_assert_max_num_queries
):
    for n in range(12):
        of = batch(colleague, item(colleague, f"part {n}", low_at=9), 4)
        use(colleague, visit, of)
        batch(colleague, of.item, 2)
    addresses = (
        "/drawer/",
        f"/drawer/{of.item.pk}/",
        f"/visits/{visit.number}/use/",
        f"/visits/{visit.number}/use/{of.item.pk}/",
        "/drawer/find/?hole=1",
    )
    for address in addresses:
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200


@pytest.mark.parametrize("page", ["/drawer/", "/drawer/new/", "/drawer/find/", "/drawer/1/"])
def test_a_stranger_is_asked_to_sign_in(stranger, db, page):
    assert stranger.get(page).url.startswith("/sign-in/")
