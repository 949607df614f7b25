"""A jewel order after it was made: changed until it goes out, frozen then, its versions apart."""

from datetime import date

import pytest
from django.core.cache import cache
from django.test import Client

from sideshake.core.errors import InputError
from sideshake.documents.kinds import PaperKind
from sideshake.web.base.saving import save
from sideshake.web.documents.issuing import as_made, place_of
from sideshake.web.documents.registry import makers as papers
from sideshake.web.documents.registry.requests import PaperRequest, paper_of
from sideshake.web.models import Issued, JewelOrder, Outwork, Visit, Workshop, the_workshop
from sideshake.web.outwork import ordering
from sideshake.web.outwork.services import make_order
from tests.pdf_words import words_of
from tests.web.conftest import question_of, signed_in

DAY = date(2026, 4, 1)
SIZES = {"hole_mm": 0.1, "outside_mm": 1.2, "thickness_mm": 0.3}
TYPED = {"to": "Stonewright", "ordered_on": "2026-04-01", "wanted_on": "2026-04-22",
         "ask": "Ada Bront", "packing": "a box", "note": ""}  # fmt: skip


def wish(visit, by, what, **told):
    made = Outwork(visit=visit, what=what, jewel=True, **{**SIZES, **told})
    save(made, by)
    return made


@pytest.fixture
def other(visit, colleague):
    made = Visit(number="2026-002", watch=visit.watch, arrived_on=DAY, step_since=DAY)
    save(made, colleague)
    return made


@pytest.fixture
def wishes(visit, other, colleague):
    return [
        wish(visit, colleague, "third wheel above"),
        wish(other, colleague, "fourth wheel below", hole_mm=0.22),
        wish(visit, colleague, "escape wheel", hole_mm=0.12),
    ]


@pytest.fixture
def order(wishes, colleague):
    made = JewelOrder(number="J2026-001", to="Stonewright", ordered_on=DAY, ask="Ada Bront",
                      wanted_on=date(2026, 4, 22), packing="a box")  # fmt: skip
    make_order(made, [wishes[0].pk, wishes[1].pk], colleague)
    return JewelOrder.objects.get()


def edit(client, order, wished, **typed):
    data = {**TYPED, "wish": [each.pk for each in wished], "seen": order.version, **typed}
    return client.post(f"/drawer/jewels/{order.pk}/edit/", data)


def everywhere(client, order):
    """The order's paper from its page, from each visit's papers and from the command."""
    found = [client.get(f"/drawer/jewels/{order.pk}/order.pdf").content]
    for number in ("2026-001", "2026-002"):
        found.append(client.get(f"/visits/{number}/papers/parts.pdf").content)
        found.append(
            paper_of(PaperRequest(kind=PaperKind.JEWEL_ORDER, visit=number, address="")).data
        )
    return found


def test_an_order_that_was_not_issued_is_changed_and_has_one_paper(client, order, wishes):
    page = client.get(f"/drawer/jewels/{order.pk}/edit/").content.decode()
    assert page.count(" checked") == 2
    assert "is issued on" not in page
    answer = edit(client, order, [wishes[0], wishes[2]], to="Other Stones", wanted_on="2026-05-01")
    assert answer.url == f"/drawer/jewels/{order.pk}/"
    changed = JewelOrder.objects.get()
    assert set(changed.wishes.all()) == {wishes[0], wishes[2]}
    first, out, new = (Outwork.objects.get(pk=each.pk) for each in wishes)
    assert (first.to, first.due_on) == (new.to, new.due_on) == ("Other Stones", date(2026, 5, 1))
    assert (out.order, out.to, out.sent_on, out.due_on) == (None, "", None, None)
    said = words_of(client.get(f"/drawer/jewels/{order.pk}/order.pdf").content)
    assert "Other Stones" in said
    assert "Version" not in said
    assert not Issued.objects.exists()


def test_an_issued_order_is_the_same_bytes_whoever_asks_and_whatever_changes(
    client, order, colleague
):
    row = ordering.issue_order(order, colleague, on=DAY)
    data = as_made(row).data
    the_workshop()
    Workshop.objects.update(name="Another name")
    Outwork.objects.update(hole_mm=0.5)
    cache.clear()
    assert set(everywhere(client, order)) == {data}
    issued = PaperRequest(kind=PaperKind.JEWEL_ORDER, visit="2026-002", address="", issued=True)
    assert paper_of(issued).data == data
    assert paper_of(issued).name == "jewel-order-J2026-001.pdf"


def test_what_was_not_issued_follows_the_records(client, order):
    # the counter-case: without the kept bytes the paper would have changed
    before = everywhere(client, order)
    assert len(set(before)) == 1
    Outwork.objects.update(hole_mm=0.5)
    assert everywhere(client, order)[0] != before[0]


def test_a_change_of_an_issued_order_makes_its_next_version_and_keeps_the_first(
    client, order, wishes, colleague
):
    first = ordering.issue_order(order, colleague, on=DAY)
    before = as_made(first).data
    page = client.get(f"/drawer/jewels/{order.pk}/edit/").content.decode()
    assert "Version 1 was issued on" in page
    edit(client, order, wishes[:2], wanted_on="2026-05-01")
    last = Issued.objects.last()
    assert (last.of, last.edition) == ("J2026-001", 2)
    assert as_made(first).data == before
    said = words_of(as_made(last).data)
    assert "Jewel order J2026-001, version 2" in said
    assert "it takes the place of version 1" in said
    assert "version" not in words_of(before)
    assert set(everywhere(client, order)) == {as_made(last).data}
    papers = client.get("/visits/2026-002/papers/").content.decode()
    assert "Version 1 of" in papers
    assert "Version 2 of" in papers


def test_our_own_note_makes_no_new_version(client, order, wishes, colleague):
    ordering.issue_order(order, colleague, on=DAY)
    edit(client, order, wishes[:2], note="they are always late")
    assert JewelOrder.objects.get().note == "they are always late"
    assert Issued.objects.count() == 1


def test_an_order_is_not_issued_twice_unchanged(order, colleague):
    ordering.issue_order(order, colleague, on=DAY)
    with pytest.raises(InputError, match="issued already"):
        ordering.issue_order(order, colleague, on=DAY)
    assert Issued.objects.count() == 1


@pytest.mark.parametrize(
    ("wished", "typed", "why"),
    [
        ((), {}, "at least one jewel"),
        ((0,), {"wanted_on": "2026-03-01"}, "cannot be wanted before"),
        ((0,), {"to": ""}, "This field is required"),
        ((0,), {"seen": 99}, "changed this meanwhile"),
    ],
)
def test_a_bad_change_is_said_and_nothing_is_written(client, order, wishes, wished, typed, why):
    answer = edit(client, order, [wishes[each] for each in wished], **typed)
    assert answer.status_code in (409, 422)
    assert why in answer.content.decode()
    assert JewelOrder.objects.get().version == order.version
    assert order.wishes.count() == 2


def test_a_wish_of_another_order_or_without_a_size_is_not_taken(
    client, order, wishes, colleague, visit
):
    taken = JewelOrder(number="J2026-002", to="Stones", ordered_on=DAY)
    make_order(taken, [wishes[2].pk], colleague)
    assert "is ordered already" in edit(client, order, wishes).content.decode()
    bare = wish(visit, colleague, "no sizes", hole_mm=None)
    assert "lacks a size" in edit(client, order, [wishes[0], bare]).content.decode()
    assert order.wishes.count() == 2


def test_a_received_order_stays(client, order, wishes):
    client.post(f"/drawer/jewels/{order.pk}/received/", {"on": "2026-04-20"})
    order.refresh_from_db()
    assert "it stays" in edit(client, order, wishes[:1]).content.decode()
    assert order.wishes.count() == 2
    assert "Change the order" not in client.get(f"/drawer/jewels/{order.pk}/").content.decode()


def test_a_fault_while_an_order_is_changed_leaves_it_and_its_paper(
    client, order, wishes, colleague, monkeypatch
):
    row = ordering.issue_order(order, colleague, on=DAY)
    files = sorted(place_of(row.stored).parent.iterdir())

    def full(*_args, **_kwargs):
        raise InputError("no room")

    monkeypatch.setattr(ordering, "freeze", full)
    assert "No room" in edit(client, order, wishes[:1]).content.decode()
    assert order.wishes.count() == 2
    assert sorted(place_of(row.stored).parent.iterdir()) == files


def test_an_apprentice_neither_issues_an_order_nor_changes_an_issued_one(
    order, wishes, colleague, apprentice
):
    browser = signed_in(apprentice)
    assert browser.post(f"/drawer/jewels/{order.pk}/issue/").status_code == 403
    assert edit(browser, order, wishes[:2], note="n").status_code == 302
    ordering.issue_order(JewelOrder.objects.get(), colleague, on=DAY)
    assert edit(browser, JewelOrder.objects.get(), wishes[:1]).status_code == 403


def test_an_order_is_issued_at_its_page(client, order):
    answer = client.post(f"/drawer/jewels/{order.pk}/issue/")
    assert answer.url == f"/papers/{Issued.objects.get().pk}/"
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "Issued, and kept as it was:" in page
    assert "Issue the order" not in page


@pytest.mark.parametrize("page", ["edit", "issue"])
def test_a_stranger_is_asked_to_sign_in(stranger, order, page):
    assert "/sign-in/" in stranger.post(f"/drawer/jewels/{order.pk}/{page}/").url


def test_an_unchanged_order_is_not_even_asked_about(client, order, colleague):
    path = f"/drawer/jewels/{order.pk}/issue/"
    assert question_of(browser_of(colleague).post(path)) is not None
    ordering.issue_order(order, colleague, on=DAY)
    answer = browser_of(colleague).post(path)
    assert (answer.status_code, question_of(answer)) == (422, None)
    assert "issued already" in answer.text


def browser_of(user):
    """Somebody who answers nothing by themselves."""
    browser = Client()
    browser.force_login(user)
    return browser


def test_one_change_of_an_issued_order_sets_its_paper_twice(order, colleague, monkeypatch):
    """Once to see whether anything on it is different, once as the next version."""
    ordering.issue_order(order, colleague, on=DAY)
    versions, paper_of_records = [], papers.stored_order_paper

    def counted(*given, **more):
        versions.append(more["version"])
        return paper_of_records(*given, **more)

    monkeypatch.setattr(papers, "stored_order_paper", counted)
    changed, inside = JewelOrder.objects.get(), [each.pk for each in order.wishes.all()]
    changed.wanted_on = date(2026, 5, 1)
    ordering.change_order(changed, inside, colleague, on=DAY)
    assert versions == [1, 2]
    assert Issued.objects.last().edition == 2
