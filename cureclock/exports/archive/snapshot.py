"""A look at the records as they stand at one instant, while others go on writing."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connection, connections, transaction


@contextmanager
def snapshot() -> Iterator[None]:
    """Everything read inside is of one instant; nobody who writes waits for it.

    Raises:
        RuntimeError: inside another transaction, which may have seen an earlier instant.
    """
    with _reading_only(), transaction.atomic(durable=True):
        if connection.vendor == "postgresql" and not connection.savepoint_ids:
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


@contextmanager
def _reading_only() -> Iterator[None]:
    """On SQLite, begin without the lock that writers take; what is read first fixes the instant."""
    if connection.vendor != "sqlite":
        yield
        return
    records: Any = connections[DEFAULT_DB_ALIAS]
    usual, records.transaction_mode = records.transaction_mode, None
    try:
        yield
    finally:
        records.transaction_mode = usual
