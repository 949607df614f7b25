"""A database of one's own on the server that the tests run on, for a process of one's own."""

import itertools
import os
from collections.abc import Iterator
from contextlib import contextmanager

import dj_database_url

NUMBERS = itertools.count()


@contextmanager
def own_database() -> Iterator[str]:
    """Yield the address of a new, empty database; empty where the tests run on a file."""
    given = os.environ.get("DATABASE_URL", "")
    if not given:
        yield ""
        return
    import psycopg

    known = dj_database_url.parse(given)
    server = {"host": known["HOST"] or known["OPTIONS"].get("host"), "user": known["USER"],
              "password": known["PASSWORD"] or None, "port": known["PORT"] or None}  # fmt: skip
    name = f"own_{os.getpid()}_{next(NUMBERS)}"
    with psycopg.connect(dbname="postgres", autocommit=True, **server) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    before, _, after = given.rpartition("/" + known["NAME"])
    try:
        yield f"{before}/{name}{after}"
    finally:
        with psycopg.connect(dbname="postgres", autocommit=True, **server) as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def named(address: str) -> dict[str, str]:
    """Return what names a database to a process; nothing where it is a file."""
    return {"DATABASE_URL": address} if address else {}
