"""Values of columns as JSON, and back again with every kind and bound looked at."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any
from uuid import UUID

from django.db import models
from django.db.models import Field, ForeignKey, Model

Value = Callable[[Any], Any]
WHOLE = (-(2**63), 2**63 - 1)


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes:
        name: of the column, as the archive calls it.
        field: what it is in the records.
        plain: makes a value plain for JSON; None where it is plain already.
        reader: makes a value out of what was kept.
    """

    name: str
    field: "Field[Any, Any]"
    plain: Value | None
    reader: Value

    def read(self, value: Any) -> Any:
        """The value that was kept; ValueError where it is none that this column can have."""
        if value is None:
            if not self.field.null:
                raise ValueError("empty")
            return None
        return self.reader(value)


def columns_of(model: type[Model]) -> list[Column]:
    """The columns of a model, links by the keys they point to."""
    return [
        Column(field.attname, field, _plain(_target(field)), _reader(_target(field)))
        for field in model._meta.concrete_fields
    ]


def _target(field: Any) -> Any:
    """The field whose values a link holds; any other field itself."""
    while isinstance(field, ForeignKey):
        field = field.target_field
    return field


def _plain(field: "Field[Any, Any]") -> Value | None:
    if isinstance(field, models.UUIDField):
        return str
    if isinstance(field, models.DateField | models.TimeField):  # an instant is a date, too
        return _iso
    if isinstance(field, PLAIN):
        return None
    raise TypeError(f"no archive can keep {field}")


def _iso(value: date | time) -> str:
    return value.isoformat()


POSITIVE = (
    models.PositiveSmallIntegerField,
    models.PositiveIntegerField,
    models.PositiveBigIntegerField,
)
PLAIN = (
    models.BooleanField,
    models.IntegerField,
    models.FloatField,
    models.CharField,
    models.TextField,
    models.JSONField,
)


def _reader(field: "Field[Any, Any]") -> Value:
    for kind, read in READERS:
        if isinstance(field, kind):
            return lambda value: read(value, field)
    raise TypeError(f"no archive can keep {field}")


def _uuid(value: Any, _field: Any) -> UUID:
    if not isinstance(value, str) or len(value) != 36:
        raise ValueError("no id")
    return UUID(value)


def _instant(value: Any, _field: Any) -> datetime:
    found = datetime.fromisoformat(_text(value))
    if found.utcoffset() is None:
        raise ValueError("a time without its offset")
    return found


def _date(value: Any, _field: Any) -> date:
    return date.fromisoformat(_text(value))


def _time(value: Any, _field: Any) -> time:
    return time.fromisoformat(_text(value))


def _yes_or_no(value: Any, _field: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError("neither true nor false")
    return value


def _whole(value: Any, field: Any) -> int:
    least = 0 if isinstance(field, POSITIVE) else WHOLE[0]
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= WHOLE[1]:
        raise ValueError("no whole number that fits")
    return value


def _number(value: Any, _field: Any) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool) or not math.isfinite(value):
        raise ValueError("no number")
    return float(value)


def _words(value: Any, field: Any) -> str:
    words = _text(value)
    longest = field.max_length
    if longest is not None and len(words) > longest:
        raise ValueError(f"longer than {longest} characters")
    if "\0" in words:
        raise ValueError("holds a sign that no record can hold")
    return words


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError("no text")
    value.encode()  # a lone half of a sign is refused here
    return value


def _any(value: Any, _field: Any) -> Any:
    return value


READERS: tuple[tuple[type[Any], Callable[[Any, Any], Any]], ...] = (
    (models.UUIDField, _uuid),
    (models.DateTimeField, _instant),
    (models.DateField, _date),
    (models.TimeField, _time),
    (models.BooleanField, _yes_or_no),
    (models.IntegerField, _whole),
    (models.FloatField, _number),
    (models.CharField, _words),
    (models.TextField, _words),
    (models.JSONField, _any),
)
