"""A workshop with something in every table and every folder."""

import os
from datetime import UTC, date, datetime, time
from decimal import Decimal

import pytest
from django.db import models

from sideshake.web.base.rows import insert, kept_tables
from sideshake.web.models import Photograph, Visit

# a test between two databases can only run where there are two; .ci/run gives it both
collect_ignore = [] if os.environ.get("DATABASE_URL") else ["test_between_databases.py"]

TEXT = "Grüße, “quoted”; 表, tab\tand\nline"
FIRST, SECOND = 41, 43
VALUES = (
    (models.DateTimeField, datetime(2025, 10, 26, 0, 30, 1, 234567, tzinfo=UTC)),
    (models.DateField, date(2024, 2, 29)),
    (models.TimeField, time(21, 40)),
    (models.DecimalField, Decimal("12.500")),
    (models.FloatField, 0.1 + 0.2),
    (models.BooleanField, True),
    (models.JSONField, [{"text": TEXT, "each": "12.30", "across": 0.25}]),
    (models.EmailField, "ottilie@example.org"),
    (models.TextField, TEXT * 20),
)


def value_of(field, key):
    """Return something a field can hold; a row's own key makes it unlike any other row's."""
    if field.primary_key and field.remote_field is None:
        return key
    if field.remote_field is not None:
        own = field.remote_field.model._meta.model_name == field.model._meta.model_name
        return None if own else (key if field.unique else FIRST)
    if field.choices:
        return field.choices[-1][0]
    for kind, value in VALUES:
        if isinstance(field, kind):
            return value
    if isinstance(field, models.CharField):
        return f"{TEXT} {key}"[: field.max_length] if not field.unique else f"unlike-{key}"
    return key


def filled_row(table, key):
    return table(**{f.attname: value_of(f, key) for f in table._meta.concrete_fields})


def fill():
    """Write two rows into every table, as they stand."""
    from django.db import transaction

    with transaction.atomic():
        for table in kept_tables():
            insert(table, iter([filled_row(table, FIRST), filled_row(table, SECOND)]))


@pytest.fixture
def filled(transactional_db, settings):
    """A workshop with two rows in every table, a photograph and a recording."""
    fill()
    (settings.FILES / "photographs").mkdir(parents=True)
    (settings.FILES / "recordings").mkdir()
    (settings.FILES / "photographs" / "ab12.jpg").write_bytes(bytes(range(256)) * 300)
    (settings.FILES / "recordings" / "cd34.flac").write_bytes(b"fLaC" * 700_000)
    (settings.FILES / "recordings" / "ef56.wav").write_bytes(b"")
    (settings.FILES / "recordings" / ".unfinished-0123").write_bytes(b"half")
    assert Photograph.objects.count() == Visit.objects.count() == 2
    return settings.FILES


@pytest.fixture
def address():
    """The address of a new database where the tests run on a server; else empty: a file."""
    from own_database import own_database  # late: a test runs this file in another process

    with own_database() as found:
        yield found
