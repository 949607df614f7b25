"""Jewel orders and outwork, as a restorer uses them."""

import csv
from datetime import date
from io import StringIO

import pytest

from sideshake.web.base.saving import save
from sideshake.web.models import Batch, Change, Item, JewelOrder, Outwork, Visit
from sideshake.web.outwork.services import next_order_number

QUERIES = 15
SIZES = {"hole_mm": 0.1, "outside_mm": 1.2, "thickness_mm": 0.3}
ORDER = {
    "number": "J2026-001", "to": "Stonewright", "ordered_on": "2026-04-01",
    "wanted_on": "2026-04-22", "ask": "Ada Bront", "note": "",
}  # fmt: skip


def wish(by, visit, what="third wheel above", **told):
    made = Outwork(visit=visit, what=what, jewel=True, **{**SIZES, **told})
    save(made, by)
    return made


@pytest.fixture
def other_visit(visit, colleague):
    made = Visit(
        number="2026-002",
        watch=visit.watch,
        arrived_on=date(2026, 3, 3),
        step_since=date(2026, 3, 3),
    )
    save(made, colleague)
    return made


@pytest.fixture
def wishes(visit, other_visit, colleague):
    return [
        wish(colleague, visit),
        wish(colleague, other_visit, "fourth wheel below", quantity=2),
        wish(colleague, visit, "barrel bridge", hole_mm=0.9, outside_mm=2.0),
    ]


@pytest.fixture
def order(client, wishes):
    client.post("/drawer/jewels/", {**ORDER, "wish": [each.pk for each in wishes]})
    return JewelOrder.objects.get()


def test_an_order_is_written_once_after_it_was_asked_about(order):
    told = Change.objects.filter(kind="jewelorder")
    assert (order.version, JewelOrder.objects.count(), told.count()) == (1, 1, 1)


def test_wishes_of_all_visits_stand_in_one_list_equal_sizes_together(client, wishes):
    groups = client.get("/drawer/jewels/").context["groups"]
    assert [(each.size.text, each.quantity) for each in groups] == [
        ("0.100 × 1.200 × 0.300", 3),
        ("0.900 × 2.000 × 0.300", 1),
    ]


def test_no_wish_says_what_to_do(client):
    assert "No jewel is wished" in client.get("/drawer/jewels/").content.decode()


def test_an_order_is_made_of_the_ticked_wishes_only(client, wishes):
    answer = client.post("/drawer/jewels/", {**ORDER, "wish": [wishes[0].pk, wishes[1].pk]})
    made = JewelOrder.objects.get()
    assert answer.url == f"/drawer/jewels/{made.pk}/"
    assert set(made.wishes.all()) == set(wishes[:2])
    wishes[0].refresh_from_db()
    assert (wishes[0].to, wishes[0].sent_on) == ("Stonewright", date(2026, 4, 1))
    assert wishes[0].due_on == date(2026, 4, 22)
    assert len(client.get("/drawer/jewels/").context["groups"]) == 1


def test_an_order_without_a_wish_is_refused_and_stays_in_the_form(client, wishes):
    answer = client.post("/drawer/jewels/", ORDER)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Tick at least one" in page
    assert "Stonewright" in page
    assert not JewelOrder.objects.exists()


def test_a_wish_is_ordered_once(client, wishes, order):
    given = {**ORDER, "number": "J2026-002", "wish": [wishes[0].pk]}
    answer = client.post("/drawer/jewels/", given)
    assert answer.status_code == 422
    assert "is ordered already" in answer.content.decode()
    assert JewelOrder.objects.count() == 1


def test_a_wish_without_all_sizes_is_not_ordered(client, visit, colleague):
    lacking = wish(colleague, visit, thickness_mm=None)
    assert "a size is missing" in client.get("/drawer/jewels/").content.decode()
    answer = client.post("/drawer/jewels/", {**ORDER, "wish": [lacking.pk]})
    assert answer.status_code == 422
    assert "lacks a size" in answer.content.decode()


def test_two_orders_never_have_one_number(client, order, colleague, visit):
    answer = client.post("/drawer/jewels/", {**ORDER, "wish": [wish(colleague, visit).pk]})
    assert answer.status_code == 422
    assert "already exists" in answer.content.decode()
    assert next_order_number(2026) == "J2026-002"


def test_the_table_holds_the_order_and_no_formula(client, order, wishes, colleague):
    wishes[0].refresh_from_db()
    wishes[0].note = '=HYPERLINK("x")'
    save(wishes[0], colleague)
    answer = client.get(f"/drawer/jewels/{order.pk}/table/")
    assert answer["Content-Type"].startswith("text/csv")
    rows = list(csv.reader(StringIO(answer.content.decode())))
    assert rows[1][:6] == ["J2026-001", "0.100", "1.200", "0.300", "3", "2026-001 2026-002"]
    assert rows[1][6].startswith("'=")


def test_a_received_order_goes_into_the_drawer_and_its_wishes_are_back(client, order, wishes):
    answer = client.post(f"/drawer/jewels/{order.pk}/received/", {"on": "2026-04-20"})
    assert answer.status_code == 302
    made = {(each.item.hole_mm, each.item.outside_mm): each for each in Batch.objects.all()}
    assert {size: each.quantity for size, each in made.items()} == {(0.1, 1.2): 3, (0.9, 2.0): 1}
    assert {(each.supplier, each.label) for each in made.values()} == {("Stonewright", "J2026-001")}
    assert {each.back_on for each in Outwork.objects.all()} == {date(2026, 4, 20)}


def test_a_received_size_that_is_in_the_drawer_joins_it(client, order, colleague):
    there = Item(kind="jewel", name="train jewel", **SIZES)
    save(there, colleague)
    client.post(f"/drawer/jewels/{order.pk}/received/", {"on": "2026-04-20"})
    assert there.batches.get().quantity == 3
    assert Item.objects.count() == 2


def test_an_order_is_received_once_and_not_before_it_was_made(client, order):
    address = f"/drawer/jewels/{order.pk}/received/"
    assert client.post(address, {"on": "2026-03-20"}).status_code == 422
    assert client.post(address, {"on": "soon"}).status_code == 422
    assert client.post(address, {"on": "2026-04-20"}).status_code == 302
    assert client.post(address, {"on": "2026-04-20"}).status_code == 422
    assert Batch.objects.count() == 2


def test_wishes_of_one_size_and_other_shape_stand_apart(client, wishes, visit, colleague):
    wish(colleague, visit, "escape wheel", bore="olive")
    groups = client.get("/drawer/jewels/").context["groups"]
    assert [each.quantity for each in groups] == [1, 3, 1]
    assert ["olive" in each.shape for each in groups] == [True, False, False]


def test_what_is_ordered_is_not_made_otherwise_afterwards(client, wishes, order):
    work = Outwork.objects.get(pk=wishes[0].pk)
    given = {"what": "third wheel", "quantity": "1", "jewel": "on", "sink": "on", "hole_mm": "0.1",
             "outside_mm": "1.2", "thickness_mm": "0.3", "material": "ruby", "colour": "red",
             "bore": "straight", "sent_on": "2026-04-01", "seen": work.version}  # fmt: skip
    other = client.post(f"/outwork/{work.pk}/", {**given, "hole_mm": "0.12"})
    assert other.status_code == 422
    assert "ordered with J2026-001 as it is" in other.content.decode()
    assert client.post(f"/outwork/{work.pk}/", {**given, "note": "hurry"}).status_code == 302
    work.refresh_from_db()
    assert (work.hole_mm, work.note) == (0.1, "hurry")


def test_an_order_knows_whom_the_maker_asks_and_when_it_is_wanted(client, wishes, colleague):
    form = client.get("/drawer/jewels/").context["form"]
    assert form["ask"].value()
    given = {**ORDER, "wanted_on": "2026-03-01", "wish": [wishes[0].pk]}
    answer = client.post("/drawer/jewels/", given)
    assert answer.status_code == 422
    assert "cannot be wanted before" in answer.content.decode()
    for name in ("wanted_on", "ask"):
        answer = client.post("/drawer/jewels/", {**ORDER, name: "", "wish": [wishes[0].pk]})
        assert "required" in answer.content.decode(), name
    assert client.post("/drawer/jewels/", {**given, "wanted_on": "2026-05-01"}).status_code == 302
    assert JewelOrder.objects.get().wanted_on == date(2026, 5, 1)


def test_a_bush_that_was_made_goes_to_the_bushes(client, visit, colleague):
    made = wish(colleague, visit, "bush", material="phosphor bronze", hole_mm=0.9, outside_mm=2.0)
    client.post("/drawer/jewels/", {**ORDER, "wish": [made.pk]})
    order = JewelOrder.objects.get()
    client.post(f"/drawer/jewels/{order.pk}/received/", {"on": "2026-04-20"})
    item = Item.objects.get()
    assert (item.kind, item.name) == ("bush", "bush 0.900 × 2.000 × 0.300 mm")


def test_outwork_is_noted_listed_late_and_put_down_as_back(client, visit):
    given = {
        "what": "dial restored",
        "to": "Fenwick",
        "sent_on": "2026-03-05",
        "due_on": "2026-03-20",
        "quantity": "1",
        "cost": "120",
    }
    assert client.post(f"/visits/{visit.number}/outwork/new/", given).status_code == 302
    page = client.get("/outwork/").content.decode()
    assert "dial restored" in page
    assert "days overdue" in page
    work = Outwork.objects.get()
    client.post(f"/outwork/{work.pk}/back/", {"seen": work.version})
    assert "Nothing is out" in client.get("/outwork/").content.decode()
    assert "dial restored" in client.get(f"/visits/{visit.number}/").content.decode()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"what": ""}, "required"),
        ({"back_on": "2026-03-01"}, "before it was sent"),
        ({"hole_mm": "2", "outside_mm": "1"}, "smaller than the outside"),
    ],
)
def test_impossible_outwork_is_refused(client, visit, given, words):
    good = {"what": "dial", "sent_on": "2026-03-05", "quantity": "1"}
    answer = client.post(f"/visits/{visit.number}/outwork/new/", {**good, **given})
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_an_apprentice_neither_sees_nor_writes_what_outwork_costs(
    apprentice_client, client, visit, colleague
):
    work = Outwork(visit=visit, what="dial", sent_on=date(2026, 3, 5), cost="123.45")
    save(work, colleague)
    for page in ("/outwork/", f"/visits/{visit.number}/", f"/outwork/{work.pk}/"):
        assert "123.45" in client.get(page).content.decode(), page
        assert "123.45" not in apprentice_client.get(page).content.decode(), page
    given = {"what": "dial", "sent_on": "2026-03-05", "quantity": "1", "cost": "1"}
    apprentice_client.post(f"/outwork/{work.pk}/", {**given, "seen": work.version})
    work.refresh_from_db()
    assert float(work.cost) == 123.45


def test_removed_outwork_is_gone_from_the_visit(client, visit, colleague):
    work = wish(colleague, visit)
    client.post(f"/outwork/{work.pk}/remove/", {"seen": work.version})
    assert not Outwork.objects.exists()


def test_the_lists_ask_the_database_few_questions(
    client, order, visit, colleague, django_assert_max_num_queries
):
    for n in range(8):
        wish(colleague, visit, f"wheel {n}", hole_mm=0.2 + n / 100)
    for address in ("/drawer/jewels/", f"/drawer/jewels/{order.pk}/", "/outwork/"):
        with django_assert_max_num_queries(QUERIES):
            assert client.get(address).status_code == 200


def test_an_order_for_many_visits_asks_no_more_questions_than_one_for_two(
    client, order, visit, colleague, django_assert_max_num_queries
):
    for n in range(3, 9):
        more = Visit(number=f"2026-00{n}", watch=visit.watch, arrived_on=date(2026, 3, 3),
                     step_since=date(2026, 3, 3))  # fmt: skip
        save(more, colleague)
        wish(colleague, more, order=order)
    with django_assert_max_num_queries(QUERIES):
        page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "2026-008" in page


@pytest.mark.parametrize("page", ["/drawer/jewels/", "/drawer/jewels/1/", "/outwork/"])
def test_a_stranger_is_asked_to_sign_in(stranger, db, page):
    assert stranger.get(page).url.startswith("/sign-in/")
