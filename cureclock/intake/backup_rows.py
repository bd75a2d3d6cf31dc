"""Rows of an archive on their way into the records: every value looked at, in batches."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from django.core.management.color import no_style
from django.db import connection
from django.db.models import AutoField, BigAutoField, Model
from django.db.models.fields import NOT_PROVIDED

from cureclock.exports.archive.secrets import without
from cureclock.exports.archive.tables import Table, links_of
from cureclock.exports.archive.values import Column, columns_of
from cureclock.intake.backup import Backup, refuse

BATCH = 1000
NUMBERED = (AutoField, BigAutoField)
Numbers = dict[int, int]


class Rows:
    """Writes the tables of one archive, in the order given; inside the caller's transaction.

    Rows that the records number themselves keep their numbers where the table is empty, and get
    new ones where it is not; what points to them follows.
    """

    def __init__(self, backup: Backup) -> None:
        self.backup = backup
        self.written: dict[str, int] = {}
        self._numbers: dict[type[Model], Numbers] = {}

    def write(self, table: Table) -> None:
        """Write one table."""
        renumber = _is_numbered(table.model) and table.model._base_manager.exists()
        if renumber:
            self._numbers[table.model] = {}
        rows, count = self._made(table), 0
        while batch := list(islice(rows, BATCH)):
            count += len(batch)
            self._write(table.model, batch, renumber=renumber)
        self.written[table.name] = count
        if count and _is_numbered(table.model) and not renumber:
            _count_on(table.model)

    def _write(self, model: type[Model], batch: Sequence[Model], *, renumber: bool) -> None:
        old = [row.pk for row in batch]
        if renumber:
            for row in batch:
                row.pk = None
        model._base_manager.bulk_create(batch)
        if renumber:
            new = (row.pk for row in batch)
            self._numbers[model].update(zip(old, new, strict=True))

    def _made(self, table: Table) -> Iterator[Model]:
        """Rows as the records take them; refused with the line and the column that is wrong."""
        name = f"tables/{table.name}.jsonl"
        columns, made_at = columns_of(table.model), self.backup.manifest.made_at.isoformat()
        known = {column.name for column in columns}
        moved = {
            link.attname: self._numbers[link.related_model]
            for link in links_of(table.model)
            if link.related_model in self._numbers
        }
        for number, row in enumerate(self.backup.rows(name), 1):
            carried = without(table.name, row, made_at)
            if not carried.keys() <= known:
                more = ", ".join(sorted(carried.keys() - known))[:80]
                refuse(f"{name} has columns that are not known here: {more}")
            yield table.model(**_values(columns, carried, moved, f"{name}, line {number}"))


def _values(
    columns: Sequence[Column], row: Mapping[str, Any], moved: Mapping[str, Numbers], where: str
) -> dict[str, Any]:
    values = {}
    for column in columns:
        if column.name not in row:
            if column.field.default is NOT_PROVIDED and not column.field.null:
                refuse(f"{where} lacks {column.name}")
            continue
        try:
            value = column.read(row[column.name])
            values[column.name] = moved[column.name][value] if column.name in moved else value
        except (ValueError, OverflowError, LookupError) as wrong:
            refuse(f"{where}, {column.name}: {wrong}")
    return values


def _is_numbered(model: type[Model]) -> bool:
    return isinstance(model._meta.pk, NUMBERED)


def _count_on(model: type[Model]) -> None:
    """Have the records go on numbering after the highest number that was written."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), [model]):
            cursor.execute(statement)
