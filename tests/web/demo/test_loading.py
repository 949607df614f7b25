"""A season in the records: everything in its place, and only in an empty workshop."""

import sqlite3
import subprocess
import sys

import pytest
from django.test import Client

from sideshake.core.errors import InputError
from sideshake.core.version import EAR, PROGRAM
from sideshake.demo.workshop.loading import load
from sideshake.web.evidence.photographs import file_of
from sideshake.web.models import (
    Change,
    Invoice,
    JewelOrder,
    LookOver,
    Option,
    Outwork,
    Owner,
    Photograph,
    Reading,
    Role,
    Step,
    User,
    Visit,
    VisitText,
    Workshop,
    the_workshop,
)
from sideshake.web.rounds.services import places_of

TWO = ("gardener-281", "ferryman-4")
SCRIPT = f"""
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from sideshake.demo.workshop.place import made_beside
from sideshake.command.demo_workshop import fill
from sideshake.demo.season import season
whole = season(date(2026, 11, 25))
with made_beside(Path(sys.argv[1])) as place:
    fill(place, replace(whole, visits=tuple(v for v in whole.visits if v.key in {TWO})))
"""


@pytest.fixture
def loaded(db, few, files, folder, settings):
    settings.FILES = folder
    load(few, files)
    return few


@pytest.fixture
def leaning(loaded):
    return Visit.objects.get(number=number_of(loaded, "leaning-barrel"))


def number_of(season, key):
    return next(each.number for each in season.visits if each.key == key)


def test_the_workshop_has_one_row_and_its_wording(loaded):
    the_workshop()
    row = Workshop.objects.get()
    assert (row.name, row.currency) == (loaded.workshop.name, "GBP")


def test_edda_runs_the_workshop_and_nobody_has_a_password(loaded):
    people = {each.username: each for each in User.objects.all()}
    assert people.keys() == {"edda", "tobias", "miro"}
    assert people["edda"].role == Role.OWNER
    assert not any(each.has_usable_password() for each in people.values())


def test_a_user_name_that_is_taken_is_left_to_who_has_it(db, few, files):
    mine = User.objects.create_user("edda", password="a long word of the workshop")
    load(few, files)
    mine.refresh_from_db()
    assert mine.has_usable_password()
    assert User.objects.filter(username="edda-2", role=Role.OWNER).exists()


def test_a_workshop_with_records_is_refused_and_left_as_it_is(visit, few, files):
    with pytest.raises(InputError, match="holds records already"):
        load(few, files)
    assert (Visit.objects.count(), Owner.objects.count()) == (1, 1)


def test_the_dates_are_those_of_the_season(loaded, leaning):
    told = next(each for each in loaded.visits if each.key == "leaning-barrel")
    assert (leaning.arrived_on, leaning.step) == (told.arrived_on, Step.ON_THE_BENCH)
    assert leaning.watch.owner.since < leaning.arrived_on
    days = {each.added_at.date() for each in leaning.photographs.all()}
    assert days == {each.taken_on for each in told.photographs}
    assert {each.at.date() for each in leaning.look_over.all()} == {
        each.heard_on for each in told.readings if not each.after
    }


def test_a_finding_has_the_photograph_that_shows_it(leaning):
    finding = leaning.findings.get(key="barrel-hole-worn")
    assert "hole" in finding.photograph.caption
    assert finding.photograph.visit == leaning


def test_an_option_has_its_price_as_decimal_text(leaning):
    option = Option.objects.get(proposal__visit=leaning, key="jewel-above")
    part = next(each for each in option.lines if each["kind"] == "part")
    assert (part["each"], part["quantity"], part["tax_percent"]) == ("62.00", "1", "20")


def test_an_answer_of_the_look_over_is_said_in_the_question_s_words(leaning):
    assert LookOver.objects.filter(said="").count() == 0
    assert leaning.look_over.get(question="minute-counter").said == "Good"


def test_a_reading_s_figures_are_those_heard(loaded, leaning):
    told = next(each for each in loaded.visits if each.key == "leaning-barrel")
    readings = leaning.readings.all()
    assert len(readings) == 7
    for row, planted in zip(readings, told.readings, strict=True):
        assert (row.state, row.position) == ("heard", planted.position)
        assert row.rate_s_per_day == pytest.approx(
            planted.rate_s_per_day, abs=2 * row.rate_u_s_per_day
        )
        assert row.rate_s_per_day != planted.rate_s_per_day  # heard, not copied
        assert row.heard_at.date() == planted.heard_on
        assert str(round(row.amplitude_deg)) in row.sentence
    assert Reading.objects.filter(state="waiting").count() == 0
    assert set(Reading.objects.values_list("ear", "program")) == {(EAR, PROGRAM)}


def test_readings_of_one_wind_make_a_round_in_the_order_of_its_plan(leaning):
    (found,) = leaning.rounds.all()
    assert [each.words[:3] for each in places_of(found)] == [
        "CH,",
        "FH,",
        "3H,",
        "6H,",
        "9H,",
        "12H",
        "CH,",
    ]
    assert all(each.reading for each in places_of(found))
    assert found.begun_at == min(each.heard_at for each in leaning.readings.all())
    assert Reading.objects.filter(round=None).count() == 1  # the shorter visit's only one


def test_each_photograph_s_file_is_where_the_workshop_looks(loaded):
    for row in Photograph.objects.all():
        assert file_of(row, "original").stat().st_size == row.bytes


def test_a_jewel_that_is_ordered_belongs_to_its_order_and_one_that_is_not_to_none(loaded):
    order = JewelOrder.objects.get(number="J2026-002")
    assert [each.visit.number for each in order.wishes.all()] == [
        number_of(loaded, "stationmaster-44")
    ]
    assert Outwork.objects.filter(jewel=True).count() == 1


def test_the_history_begins_with_the_arrival_and_follows_the_steps(loaded, leaning):
    changes = list(Change.objects.filter(visit=leaning).order_by("at"))
    assert changes[0].what == f"added visit: {leaning.number}"
    steps = [each.fields["step"][1] for each in changes if list(each.fields) == ["step"]]
    assert steps == ["looked-over", "proposed", "agreed", "on-the-bench"]
    assert all(leaning.arrived_on <= each.at.date() <= loaded.today for each in changes)
    assert {each.kind for each in changes} >= {
        "photograph",
        "round",
        "reading",
        "proposal",
        "planstep",
    }


def test_the_work_is_done_one_step_after_the_other_over_some_days(leaning):
    times = [each.done_at for each in leaning.plan.exclude(done_at=None)]
    assert times == sorted(times)
    assert len({each.date() for each in times}) > 1
    assert leaning.plan.filter(done_at=None).exclude(done_by=None).count() == 0


def test_words_of_a_visit_are_found(leaning):
    assert VisitText.objects.count() == 3
    assert "barrel bridge worn oval" in VisitText.objects.get(visit=leaning).folded


def test_no_invoice_is_written_before_the_work_is_done(loaded):
    assert Invoice.objects.count() == 0


def test_the_visit_s_page_shows_it(leaning):
    client = Client()
    client.force_login(User.objects.get(username="edda"))
    page = client.get(f"/visits/{leaning.number}/").content.decode()
    assert leaning.watch.title in page
    assert leaning.watch.owner.name in page


def rows_of(path):
    """Return all rows of the records but the passwords, which are unusable at random."""
    with sqlite3.connect(path) as records:
        tables = records.execute(
            "select name from sqlite_master where type = 'table' and name like 'bench_%'"
        )
        found = {}
        for (table,) in sorted(tables.fetchall()):
            cursor = records.execute(f"select * from {table} order by 1")
            keep = [n for n, column in enumerate(cursor.description) if column[0] != "password"]
            keep = [n for n in keep if cursor.description[n][0] != "date_joined"]
            found[table] = [tuple(row[n] for n in keep) for row in cursor]
    records.close()
    return found


def test_the_same_day_and_seed_make_the_same_workshop(tmp_path):
    runs = [subprocess.Popen([sys.executable, "-c", SCRIPT, str(tmp_path / name)]) for name in "ab"]
    assert [run.wait() for run in runs] == [0, 0]
    one, other = (tmp_path / name / "workshop" for name in "ab")
    assert rows_of(one / "workshop.sqlite3") == rows_of(other / "workshop.sqlite3")
    files = [
        {path.name: path.read_bytes() for path in (place / "files").rglob("*") if path.is_file()}
        for place in (one, other)
    ]
    assert files[0] == files[1]
    assert len(files[0]) > 10
