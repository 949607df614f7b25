"""What was stored before a column was there has an honest value in it afterwards."""

from importlib import import_module

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from sideshake.core.errors import InputError
from sideshake.web.storage.reached import require_up_to_date


def tables_at(name: str):
    executor = MigrationExecutor(connection)
    executor.migrate([("bench", name)])
    return MigrationExecutor(connection).loader.project_state([("bench", name)]).apps


def visit_at(old, number):
    """Return a visit as the tables then held it."""
    owner = old.get_model("bench", "owner").objects.create(name="Ottilie Marwood")
    watch = old.get_model("bench", "watch").objects.create(owner=owner, title="chronograph")
    return old.get_model("bench", "visit").objects.create(
        number=number, watch=watch, arrived_on="2026-03-02", step_since="2026-03-02"
    )


def readings_from_before_versions_were_kept_are_of_the_first_ear():
    old = tables_at("0002_rounds")
    visit = visit_at(old, "2026-001")
    old.get_model("bench", "reading").objects.create(visit=visit, state="heard", rate_s_per_day=4.0)
    with pytest.raises(InputError, match="last used by an older Sideshake"):
        require_up_to_date()
    new = tables_at("0003_ears").get_model("bench", "reading").objects.get()
    assert (new.ear, new.program, new.rate_s_per_day) == (1, "", 4.0)


def jewels_wished_before_they_had_a_material_keep_what_their_words_said():
    old = tables_at("0004_said_watch")
    visit = visit_at(old, "2026-002")
    old.get_model("bench", "jewelorder").objects.create(
        number="J2026-001", to="Stonewright", ordered_on="2026-03-02"
    )
    table = old.get_model("bench", "outwork")
    for what, note in (
        ("third wheel", ""), ("flat jewel", "no oil sink"), ("Half-hard brass bush", "")
    ):  # fmt: skip
        table.objects.create(visit=visit, what=what, note=note, jewel=True)
    new = tables_at("0005_jewels")
    rows = new.get_model("bench", "outwork").objects.order_by("pk")
    assert [(row.material, row.sink, row.bore) for row in rows] == [
        ("ruby", True, "straight"),
        ("ruby", False, "straight"),
        ("half-hard brass", True, "straight"),
    ]
    order = new.get_model("bench", "jewelorder").objects.get()
    assert (order.packing, order.ask, order.wanted_on) == ("", "", None)


def payments_from_before_they_were_of_an_invoice_are_of_the_only_one():
    old = tables_at("0005_jewels")
    rows = {name: old.get_model("bench", name).objects for name in
            ("owner", "watch", "visit", "invoice", "payment")}  # fmt: skip
    watch = rows["watch"].create(owner=rows["owner"].create(name="Ottilie"), title="watch")
    for number, invoices in (("2026-003", 1), ("2026-004", 2)):
        visit = rows["visit"].create(
            number=number, watch=watch, arrived_on="2026-03-02", step_since="2026-03-02"
        )
        for count in range(invoices):
            rows["invoice"].create(
                visit=visit, number=f"I{number}-{count}", issued_on="2026-03-30",
                due_on="2026-04-13", currency="EUR",
            )  # fmt: skip
        rows["payment"].create(visit=visit, amount=10, currency="EUR", on="2026-03-05")
    new = tables_at("0006_money").get_model("bench", "payment").objects.order_by("pk")
    assert [each.invoice and each.invoice.number for each in new] == ["I2026-003-0", None]


def the_right_of_withdrawal_says_from_when_unless_the_workshop_wrote_its_own():
    old = tables_at("0015_photo_sizes").get_model("bench", "workshop")
    old.objects.all().delete()
    given = import_module("sideshake.web.migrations.0016_withdrawal_words").BEFORE
    pks = [old.objects.create(withdrawal_words=words).pk for words in (given, "Ask us.", "")]
    new = tables_at("0016_withdrawal_words").get_model("bench", "workshop").objects
    told = [new.get(pk=pk).withdrawal_words for pk in pks]
    assert "within 14 days of the day on which it was made" in told[0]
    assert told[1:] == ["Ask us.", ""]
    new.all().delete()


def what_was_not_advised_is_possible_and_the_usual_bush_takes_the_jewel_s_place():
    old = tables_at("0006_money")
    visit = visit_at(old, "2026-005")
    proposal = old.get_model("bench", "proposal").objects.create(
        visit=visit, edition=1, currency="EUR", made_on="2026-03-03"
    )
    for key, advised in (("jewel-above", True), ("bush-above", False), ("polish", False)):
        old.get_model("bench", "option").objects.create(
            proposal=proposal, key=key, title=key, advised=advised
        )
    new = tables_at("0007_papers").get_model("bench", "option")
    assert list(new.objects.values_list("key", "need", "instead_of").order_by("pk")) == [
        ("jewel-above", "advised", ""),
        ("bush-above", "possible", "jewel-above"),
        ("polish", "possible", ""),
    ]


@pytest.mark.django_db(transaction=True)
def test_what_was_stored_before_is_right_after_each_step():
    """One way back to the oldest tables, then step by step: each way back takes seconds.

    What one step stored stays for the next: it goes all the way.
    """
    try:
        for step in (
            readings_from_before_versions_were_kept_are_of_the_first_ear,
            jewels_wished_before_they_had_a_material_keep_what_their_words_said,
            payments_from_before_they_were_of_an_invoice_are_of_the_only_one,
            what_was_not_advised_is_possible_and_the_usual_bush_takes_the_jewel_s_place,
            the_right_of_withdrawal_says_from_when_unless_the_workshop_wrote_its_own,
        ):
            step()
    finally:
        call_command("migrate", verbosity=0)
    require_up_to_date()
