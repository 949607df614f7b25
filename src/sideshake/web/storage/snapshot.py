"""Reading all records as they were at one moment, while others go on working."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connection, connections, transaction


@contextmanager
def one_moment() -> Iterator[None]:
    """Hold one view of the database; nobody has to wait for it.

    SQLite: a deferred transaction, which in WAL mode sees the state of its first question.
    PostgreSQL: REPEATABLE READ, READ ONLY. Within a transaction that has begun, it is that one's.
    """
    connection.ensure_connection()
    database: Any = connections[DEFAULT_DB_ALIAS]
    if connection.in_atomic_block:
        yield
        return
    if connection.vendor != "sqlite":
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
        return
    usual = database.transaction_mode
    database.transaction_mode = "DEFERRED"
    try:
        with transaction.atomic():
            yield
    finally:
        database.transaction_mode = usual
