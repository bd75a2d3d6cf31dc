"""Many rows saved at once: ten times quicker than one statement that says a case for each."""

from collections.abc import Sequence
from itertools import chain
from typing import Any

from django.db import connection
from django.db.models import Model

AT_ONCE = 500  # so that no statement has more values than an engine takes


def write(rows: Sequence[Model], columns: Sequence[str]) -> None:
    """Save some columns of rows of one model, by one statement for very many.

    Not statement by statement through one pipe: whoever is stopped amid that holds its rows for
    ever, since the server does not take it for idle.
    """
    for start in range(0, len(rows), AT_ONCE):
        _write(rows[start : start + AT_ONCE], ("id", *columns))


def _write(rows: Sequence[Model], names: Sequence[str]) -> None:
    meta = rows[0]._meta
    fields: list[Any] = [meta.get_field(name) for name in names]
    values = [
        [field.get_db_prep_save(getattr(row, field.attname), connection) for field in fields]
        for row in rows
    ]
    marks = ", ".join(_mark(field) for field in fields)
    sets = ", ".join(f"{name} = new.{name}" for name in names[1:])
    with connection.cursor() as cursor:
        cursor.execute(
            f"WITH new({', '.join(names)}) AS (VALUES {', '.join([f'({marks})'] * len(rows))}) "
            f"UPDATE {meta.db_table} SET {sets} FROM new WHERE {meta.db_table}.id = new.id",
            list(chain.from_iterable(values)),
        )


def _mark(field: Any) -> str:
    """Where a value stands in the statement; with its type, for an engine that asks for it."""
    if not connection.features.requires_casted_case_in_updates:
        return "%s"
    return f"CAST(%s AS {field.cast_db_type(connection)})"
