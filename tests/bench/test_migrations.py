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
def test_what_was_not_advised_is_possible_and_the_usual_bush_takes_the_jewel_s_place():
    try:
        old = tables_at("0004_said_watch")
        owner = old.get_model("bench", "owner").objects.create(name="Ottilie Marwood")
        watch = old.get_model("bench", "watch").objects.create(owner=owner, title="chronograph")
        visit = old.get_model("bench", "visit").objects.create(
            number="2026-001", watch=watch, arrived_on="2026-03-02", step_since="2026-03-02"
        )
        proposal = old.get_model("bench", "proposal").objects.create(
            visit=visit, edition=1, currency="EUR", made_on="2026-03-03"
        )
        for key, advised in (("jewel-above", True), ("bush-above", False), ("polish", False)):
            old.get_model("bench", "option").objects.create(
                proposal=proposal, key=key, title=key, advised=advised
            )
        new = tables_at("0005_papers").get_model("bench", "option")
        assert list(new.objects.values_list("key", "need", "instead_of").order_by("pk")) == [
            ("jewel-above", "advised", ""),
            ("bush-above", "possible", "jewel-above"),
            ("polish", "possible", ""),
        ]
    finally:
        call_command("migrate", verbosity=0)
