"""A workshop for the tests: three people, an owner, a watch, a visit."""

import os
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from importlib.resources import files
from pathlib import Path

import django.test.client
import pytest
from django.core.cache import cache
from django.core.signals import request_finished, request_started
from django.db import close_old_connections, transaction
from django.test import Client
from filled_workshop import ALL, fill, gaps_of
from looking_client import Looking

from sideshake.web.base.asking import SureQuestion
from sideshake.web.base.saving import save
from sideshake.web.models import Owner, Role, User, Visit, Watch, the_workshop
from sideshake.web.people.tries import TRIES
from tests.web.on_its_way import *  # noqa: F403 - its fixtures, for the tests of every room

HERE = Path(__file__).parent
ONLY_LOOK = {
    "calibres/test_balance.py",
    "calibres/test_calibres.py",
    "comparison/test_compare.py",
    "documents/test_bench_sheet_by_record.py",
    "documents/test_bills.py",
    "documents/test_jewel_papers.py",
    "documents/test_paper_command.py",
    "documents/test_papers.py",
    "documents/test_read_again.py",
    "documents/test_report.py",
    "documents/test_same_bytes.py",
    "documents/test_sentences_by_record.py",
    "documents/test_twelve_visits.py",
    "documents/test_what_was_done.py",
    "measuring/test_look.py",
    "measuring/test_look_parts.py",
    "readings/test_slowly.py",
    "sample_clock/test_clocks.py",
    "test_missing_data.py",
    "test_safety.py",
}
"""What these test is drawn or printed from records read plainly, or told before a record is read:
PostgreSQL cannot change it. That the pages open there is seen by test_every_page.py."""


def matters_on_postgresql(item) -> bool:
    """Return whether a test of this folder could answer otherwise on PostgreSQL."""
    if item.get_closest_marker("on_postgresql"):
        return True
    if item.path.relative_to(HERE).as_posix() in ONLY_LOOK:
        return False
    asks = {"db", "transactional_db"} & set(item.fixturenames)
    return bool(asks or item.get_closest_marker("django_db"))


def pytest_collection_modifyitems(config, items):
    """On PostgreSQL leave out what it cannot change; all of it has run on SQLite."""
    if not os.environ.get("DATABASE_URL"):
        return
    left = [e for e in items if HERE in e.path.parents and not matters_on_postgresql(e)]
    config.hook.pytest_deselected(items=left)
    gone = set(left)
    items[:] = [each for each in items if each not in gone]


PASSWORD = "a long word of the workshop"


# `answer.close()` in a test must not close the connection in whose transaction the test runs;
# the test client connects this receiver again after each request, so it gets one that does nothing
for signal in (request_started, request_finished):
    signal.disconnect(close_old_connections)
django.test.client.close_old_connections = lambda **_kwargs: None


@pytest.fixture(autouse=True)
def _nothing_kept():
    cache.clear()
    TRIES.counts.clear()


@pytest.fixture(autouse=True)
def data(settings, tmp_path, monkeypatch):
    """The workshop's files and this computer's sound clocks, in folders of the test's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    settings.DATA = tmp_path
    settings.FILES = tmp_path / "files"
    settings.BACKUPS = tmp_path / "backups"
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    return tmp_path


def person(role: Role) -> User:
    return User.objects.create_user(f"the {role}", password=PASSWORD, role=role)


class Sure(Looking):
    """Somebody who answers yes when asked whether they are sure."""

    def post(self, path, data=None, **more):
        answer = super().post(path, data, **more)
        question = question_of(answer)
        if question is None:
            return answer
        return super().post(path, {**(data or {}), "sure": question.mark}, **more)


def question_of(answer):
    """Return what a page asks before it does what cannot be undone; None when it asks nothing."""
    asked = answer.context.get("question") if getattr(answer, "context", None) else None
    return asked if isinstance(asked, SureQuestion) else None


def signed_in(user: User) -> Client:
    client = Sure(enforce_csrf_checks=False)
    client.force_login(user)
    return client


@pytest.fixture
def owner_of_workshop(db):
    return person(Role.OWNER)


@pytest.fixture
def colleague(db):
    return person(Role.COLLEAGUE)


@pytest.fixture
def apprentice(db):
    return person(Role.APPRENTICE)


@pytest.fixture
def client(owner_of_workshop):
    """The browser of the owner of the workshop."""
    return signed_in(owner_of_workshop)


@pytest.fixture
def apprentice_client(apprentice):
    return signed_in(apprentice)


@pytest.fixture
def colleague_client(colleague):
    return signed_in(colleague)


@pytest.fixture
def stranger():
    return Client()


@pytest.fixture
def watch(owner_of_workshop):
    owner = Owner(name="Ottilie Marwood", email="ottilie@example.org")
    save(owner, owner_of_workshop)
    found = Watch(owner=owner, title="expedition chronograph", calibre="tarnbrook-31")
    save(found, owner_of_workshop)
    return found


@pytest.fixture
def visit(watch, owner_of_workshop):
    found = Visit(
        number="2026-001", watch=watch, arrived_on=date(2026, 3, 2), step_since=date(2026, 3, 2)
    )
    save(found, owner_of_workshop)
    return found


@pytest.fixture
def rows(visit, owner_of_workshop, data):
    """The rows of the visit when there is something in every table."""
    the_workshop()
    return fill(visit, owner_of_workshop, data / "files")


@pytest.fixture
def path_of(rows, visit, apprentice):
    """Return the address of a page about what is in the tables, by its name."""
    known = gaps_of(visit, rows, apprentice)
    return lambda name: ALL[name].filled(known)


@contextmanager
def undone_after() -> Iterator[None]:
    """Take back whatever is written inside, so that the next act finds everything as it was."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture
def shipped_sizes() -> dict[str, str]:
    """The shipped example leaning-barrel as it is typed in, with decimal commas."""
    text = (files("sideshake.wear") / "examples" / "leaning-barrel.toml").read_text()
    tree = tomllib.loads(text)
    typed = {"amplitude_deg": str(tree["amplitude_deg"])}
    for table in ("above", "below", "lid", "floor", "barrel", "directions"):
        for key, value in tree[table].items():
            typed[f"{table}.{key}"] = str(value).replace(".", ",")
    return typed
