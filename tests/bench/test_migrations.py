"""What was stored before a column was there has an honest value in it afterwards."""

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from sideshake.bench.start import require_up_to_date
from sideshake.errors import InputError


def tables_at(name: str):
    executor = MigrationExecutor(connection)
    executor.migrate([("bench", name)])
    return MigrationExecutor(connection).loader.project_state([("bench", name)]).apps


@pytest.mark.django_db(transaction=True)
def test_readings_from_before_versions_were_kept_are_of_the_first_ear():
    try:
        old = tables_at("0002_rounds")
        owner = old.get_model("bench", "owner").objects.create(name="Ottilie Marwood")
        watch = old.get_model("bench", "watch").objects.create(owner=owner, title="chronograph")
        visit = old.get_model("bench", "visit").objects.create(
            number="2026-001", watch=watch, arrived_on="2026-03-02", step_since="2026-03-02"
        )
        old.get_model("bench", "reading").objects.create(
            visit=visit, state="heard", rate_s_per_day=4.0
        )
        with pytest.raises(InputError, match="last used by an older Sideshake"):
            require_up_to_date()
        new = tables_at("0003_ears").get_model("bench", "reading").objects.get()
        assert (new.ear, new.program, new.rate_s_per_day) == (1, "", 4.0)
    finally:
        call_command("migrate", verbosity=0)
    require_up_to_date()


@pytest.mark.django_db(transaction=True)
def test_jewels_wished_before_they_had_a_material_keep_what_their_words_said():
    try:
        old = tables_at("0004_said_watch")
        owner = old.get_model("bench", "owner").objects.create(name="Ottilie Marwood")
        watch = old.get_model("bench", "watch").objects.create(owner=owner, title="chronograph")
        visit = old.get_model("bench", "visit").objects.create(
            number="2026-001", watch=watch, arrived_on="2026-03-02", step_since="2026-03-02"
        )
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
    finally:
        call_command("migrate", verbosity=0)
