"""What the owner chooses between: alternatives, sums, the limit named, parts without a price."""

from datetime import date
from decimal import Decimal

import pytest
from priced_visits import option_typed

from sideshake.web.documents.issuing import proposal_given
from sideshake.web.documents.proposals import offer_of
from sideshake.web.models import Option, Proposal, Visit, the_workshop

pytestmark = pytest.mark.usefixtures("taxed")


@pytest.fixture
def two_ways(client, visit, shipped_sizes):
    """A draft with a jewel, a bush instead of it, and an overhaul."""
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    client.post(f"/visits/{visit.number}/proposal/begin/")
    return Proposal.objects.get()


def test_a_part_without_a_price_asks_before_it_is_sent(client, two_ways):
    send = "/visits/2026-001/proposal/1/send/"
    answer = client.post(send)
    assert answer.status_code == 422
    assert "for jewel for the bridge, bush for the bridge" in answer.content.decode()
    assert Proposal.objects.get().state == "draft"
    page = client.get("/visits/2026-001/proposal/1/").content.decode()
    assert "No price yet: jewel for the bridge, bush for the bridge" in page
    assert client.post(send, {"free": "1"}).status_code == 302
    assert Proposal.objects.get().state == "sent"


def test_what_has_its_price_asks_nothing(client, drafted):
    assert "No price yet" not in client.get("/visits/2026-001/proposal/1/").content.decode()
    assert client.post("/visits/2026-001/proposal/1/send/").status_code == 302


def test_two_that_exclude_each_other_are_not_both_agreed_to(client, two_ways):
    client.post("/visits/2026-001/proposal/1/send/", {"free": "1"})
    keys = {each.key: each.pk for each in two_ways.options.all()}
    typed = {"answered_on": date.today().isoformat(), "channel": "email"}
    both = {**typed, "chosen": [keys["jewel-above"], keys["bush-above"]]}
    answer = client.post("/visits/2026-001/proposal/1/answer/", both)
    assert answer.status_code == 422
    assert "can be chosen" in answer.content.decode()
    assert Proposal.objects.get().state == "sent"
    one = {**typed, "chosen": [keys["bush-above"], keys["overhaul"]]}
    assert client.post("/visits/2026-001/proposal/1/answer/", one).status_code == 302
    assert Proposal.objects.get().state == "agreed"


def test_each_choice_has_its_sum_and_is_held_against_the_limit(client, two_ways):
    """By hand at 90 an hour: jewel and bush 1.5 h each, so both choices come to the same."""
    visit = Visit.objects.get()
    page = client.get("/visits/2026-001/proposal/1/").content.decode()
    assert "with 2 instead of 1" in page
    assert "Limit the owner named" not in page
    visit.budget_limit = Decimal("1000")
    visit.save()
    rows = client.get("/visits/2026-001/proposal/1/").context["choices"]
    assert [each.numbers for each in rows][:2] == ["1, 3", "2, 3"]
    assert rows[0].over.value == rows[0].sum.value - 1000
    page = client.get("/visits/2026-001/proposal/1/").content.decode()
    assert "Limit the owner named: €1,000.00" in page
    assert "over it by" in page


def test_the_hours_behind_a_price_are_for_the_workshop(client, two_ways):
    """By hand: 135.00 at 90 an hour are 1.5 h."""
    rows = client.get("/visits/2026-001/proposal/1/").context["options"]
    assert str(rows[0].hours) == "1.5"
    assert "pays 1.5 hours" in client.get("/visits/2026-001/proposal/1/").content.decode()


def test_suggested_prices_are_rounded_as_the_workshop_wishes(client, found):
    shop = the_workshop()
    shop.prices_to = Decimal("5")
    shop.save()
    client.post("/visits/2026-001/proposal/begin/")
    assert Decimal(Option.objects.get().lines[0]["each"]) % 5 == 0


def test_an_option_of_ones_own_takes_another_s_place(client, drafted):
    new = "/visits/2026-001/proposal/1/options/new/"
    own = option_typed(Option(title="Only oiled"), ("Oil", "1", "50", "19"), instead_of="overhaul")
    assert client.post(new, own).status_code == 302
    made = drafted.options.get(title="Only oiled")
    assert (made.instead_of, made.key) == ("overhaul", f"own-{made.pk}")
    overhaul = drafted.options.get(key="overhaul")
    back = option_typed(overhaul, ("Overhaul", "1", "90", "19"), instead_of=made.key)
    assert client.post(f"/options/{overhaul.pk}/", back).status_code == 422
    client.post(f"/options/{overhaul.pk}/remove/", {"seen": overhaul.version})
    made.refresh_from_db()
    assert made.instead_of == ""


def test_where_nothing_is_advised_no_sum_of_nothing_is_told(client, drafted):
    """What is advised has its sum; what is only possible has one when it is chosen."""
    page = "/visits/2026-001/proposal/1/"
    assert offer_of(drafted).total[-1][0] == "Total"
    assert "Nothing is chosen yet" not in client.get(page).content.decode()
    Option.objects.update(need="possible")
    found = Proposal.objects.get()
    assert offer_of(found).total == ()
    assert offer_of(found).choices[0].sum == "€{:,.2f}".format(
        sum(Decimal(row["each"]) for row in found.options.get().lines)
    )
    told = client.get(page).content.decode()
    assert "Nothing is chosen yet" in told
    assert "€0.00" not in told


@pytest.mark.parametrize("answered", [{}, {"state": "agreed"}])
def test_what_is_advised_or_agreed_and_costs_nothing_is_not_called_unchosen(
    client, drafted, answered
):
    """Its sum is 0 because it is: of a piece of advice, or holes measured again."""
    need = "possible" if answered else "advised"
    Option.objects.update(need=need, chosen=bool(answered), lines=[])
    Proposal.objects.update(**answered)
    assert offer_of(Proposal.objects.get()).total == (("Total", "€0.00"),)
    page = client.get("/visits/2026-001/proposal/1/").content.decode()
    assert "Nothing is chosen yet" not in page
    assert "€0.00" in page


def test_a_replaced_version_says_so_when_it_is_printed_again(client, sent):
    """Only one that was sent takes its place; the paper that was sent stays as it is."""
    was = proposal_given(sent).data
    assert offer_of(sent).replaced_by is None
    client.post("/visits/2026-001/proposal/1/change/", {"why": "A crack"})
    first = Proposal.objects.get(edition=1)
    assert (first.state, offer_of(first).replaced_by) == ("sent", None)
    client.post("/visits/2026-001/proposal/2/send/")
    first, second = Proposal.objects.order_by("edition")
    assert (first.state, second.state) == ("replaced", "sent")
    assert offer_of(first).replaced_by == 2
    assert offer_of(second).replaced_by is None
    assert proposal_given(first).data == was


def test_what_costs_nothing_is_included_where_that_was_said(client, drafted):
    """In a draft nobody said so yet, and where all is 0 nothing else holds it."""
    work, free = (
        {"kind": kind, "text": "x", "quantity": "1", "each": each, "tax_percent": "19"}
        for kind, each in (("work", "90"), ("part", "0"))
    )

    def sums():
        found = Proposal.objects.get()
        return [line.sum for line in offer_of(found).options[0].lines]

    Option.objects.update(lines=[work, free])
    assert sums() == ["€90.00", "€0.00"]
    assert client.post("/visits/2026-001/proposal/1/send/", {"free": "1"}).status_code == 302
    assert sums() == ["€90.00", "included"]
    Option.objects.update(lines=[free])
    assert sums() == ["€0.00"]
