"""A script: two writers at one record of every kind, and what came of it, as JSON.

Each of the two changes the record again and again, as people with two browsers would, while a third
edits the visit and a fourth adds photographs to it. It runs as a process of its own, since its
threads must see each other's work, on the database that the environment names.
"""

import json
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import date

import django

django.setup()  # before the models are imported

from django.conf import settings  # noqa: E402
from django.db import DatabaseError, connection, models  # noqa: E402
from filled_workshop import Rows, fill  # noqa: E402

from sideshake.web.base.saving import EditConflict, save  # noqa: E402
from sideshake.web.models import Owner, Photograph, Record, User, Visit, Watch, the_workshop  # noqa: E402
from sideshake.web.start import ready_records  # noqa: E402

EACH, ADDED, LEAST_LETTERS = 2, 1, 40


def kinds(of: type[Record] = Record) -> Iterator[type[Record]]:
    """Yield every kind of record there is, from the models themselves."""
    for each in of.__subclasses__():
        yield each
        yield from kinds(each)


def text_of(kind: type[Record]) -> str:
    """Return the name of a text of a kind that has room for what is written here."""
    texts = [
        field
        for field in kind._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField)
        and not (field.choices or field.unique)
        and (field.max_length or LEAST_LETTERS) >= LEAST_LETTERS
    ]
    return min(texts, key=lambda field: field.name != "note").name


def write(kind: type[Record], pk: int, letter: str) -> str:
    """Write one's letter several times, each time anew when somebody else was quicker."""
    name, written = text_of(kind), 0
    while written < EACH:
        record = kind._default_manager.get(pk=pk)
        setattr(record, name, getattr(record, name) + letter)
        try:
            save(record, None)
            written += 1
        except EditConflict:
            continue
    return ""


def add_photographs(visit: int, kind: type[Record]) -> str:
    """Add photographs to the visit."""
    for place in range(ADDED):
        name = f"{kind.__name__} {place}"
        row = Photograph(
            visit_id=visit, stored=name, sha256=name, format="PNG", bytes=1, width_px=1, height_px=1
        )
        save(row, None)
    return ""


def at_once(*jobs) -> list[str]:
    """Return what went wrong when several did their work at once."""
    ready = threading.Barrier(len(jobs))

    def one(job) -> str:
        work, *given = job
        ready.wait()
        try:
            return work(*given)
        except DatabaseError as fault:
            return f"{type(fault).__name__}: {str(fault).splitlines()[0]}"
        finally:
            connection.close()

    with ThreadPoolExecutor(len(jobs)) as pool:
        return [fault for fault in pool.map(one, jobs) if fault]


def tried(kind: type[Record], pk: int, visit: int) -> dict[str, object]:
    """Return what came of two writers at one record."""
    faults = at_once(
        (write, kind, pk, "ā"),
        (write, kind, pk, "đ"),
        (write, Visit, visit, "ħ"),
        (add_photographs, visit, kind),
    )
    text = getattr(kind._default_manager.get(pk=pk), text_of(kind))
    added = Photograph.objects.filter(visit=visit, stored__startswith=f"{kind.__name__} ")
    told = {"faults": faults, "written": [text.count("ā"), text.count("đ")], "shots": len(added)}
    added.delete()
    return told


def filled() -> tuple[Rows, Visit]:
    """Return a workshop with a row of every kind."""
    ready_records()
    owner = Owner.objects.create(name="Ottilie Marwood")
    watch = Watch.objects.create(owner=owner, title="hunter")
    day = date(2026, 3, 2)
    visit = Visit.objects.create(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    rows = fill(visit, User.objects.first(), settings.FILES)
    rows.update({"Owner": owner, "Watch": watch, "Visit": visit, "Workshop": the_workshop()})
    return rows, visit


if __name__ == "__main__":
    rows, visit = filled()
    told = {kind.__name__: tried(kind, rows[kind.__name__].pk, visit.pk) for kind in kinds()}
    sys.stdout.write(json.dumps(told))
