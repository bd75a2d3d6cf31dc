"""Fields that take exactly what they name: no number out of a word, no time without its zone."""

import math
from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from django.utils.dateparse import parse_datetime
from rest_framework import fields
from rest_framework.exceptions import ValidationError
from rest_framework_dataclasses.fields import IterableField, MappingField

EARLIEST, LATEST = datetime(2000, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)
LARGEST = 2**53  # beyond it a phone's own numbers are no longer whole
LONGEST_TEXT = 500
MOST_ITEMS = 2000
DEEPEST = 6


class NumberField(fields.FloatField):
    """A finite number, told as a number."""

    default_error_messages = {
        "invalid": "is no number",
        "not_finite": "is too large, or no number at all",
    }

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float):
            self.fail("invalid")
        if abs(data) > 1e15 or not math.isfinite(data):
            self.fail("not_finite")
        return float(data)


class WholeField(fields.IntegerField):
    """A whole number, told as a number."""

    default_error_messages = {
        "invalid": "is no whole number",
        "max_value": "is too large",
        "min_value": "is too small",
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"min_value": -LARGEST, "max_value": LARGEST, **kwargs})

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, bool) or not isinstance(data, int):
            self.fail("invalid")
        return data


class YesNoField(fields.BooleanField):
    """true or false, and nothing that merely looks like it."""

    default_error_messages = {"invalid": "is neither true nor false"}

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            self.fail("invalid", input=data)
        return data


class TextField(fields.CharField):
    """Words: stripped, bounded, without characters that no record can keep."""

    default_error_messages = {
        "invalid": "is no text",
        "blank": "is empty",
        "max_length": "is longer than {max_length} characters",
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"max_length": LONGEST_TEXT, **kwargs})

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        return super().to_internal_value(data)


class InstantField(fields.DateTimeField):
    """An instant with its offset from UTC."""

    default_error_messages = {
        "invalid": "is no time",
        "naive": "has no zone",
        "out_of_reach": "is not in this age",
    }

    def to_internal_value(self, value: Any) -> datetime:
        try:
            moment = parse_datetime(value) if isinstance(value, str) else None
        except ValueError:
            moment = None
        if moment is None:
            self.fail("invalid")
        if moment.tzinfo is None:
            self.fail("naive")
        try:
            moment = moment.astimezone(UTC)
        except OverflowError:
            self.fail("out_of_reach")
        if not EARLIEST <= moment <= LATEST:
            self.fail("out_of_reach")
        return moment


class IdField(fields.UUIDField):
    """An id made on a device."""

    default_error_messages = {"invalid": "is no id"}

    def to_internal_value(self, data: Any) -> UUID:
        if not isinstance(data, str):
            self.fail("invalid")
        found: UUID = super().to_internal_value(data)
        return found


class ListField(IterableField):
    """A list; the same id does not stand in it twice."""

    default_error_messages = {
        "not_a_list": "is no list",
        "empty": "is empty",
        "max_length": "has more than {max_length} entries",
        "twice": "names the same id twice",
    }

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"max_length": MOST_ITEMS, **kwargs})  # type: ignore[no-untyped-call]

    def to_internal_value(self, value: Any) -> Any:
        told = super().to_internal_value(value)  # type: ignore[no-untyped-call]
        if isinstance(self.child, IdField) and len(set(told)) < len(told):
            self.fail("twice")
        return told


class TableField(MappingField):
    """A table of names and plain values, as a label prints them."""

    default_error_messages = {"not_a_dict": "is no table of names and values"}

    def to_internal_value(self, value: Any) -> Any:
        if isinstance(value, Mapping):
            _plain(value, "", DEEPEST)
        return super().to_internal_value(value)  # type: ignore[no-untyped-call]


def _plain(value: Any, where: str, depth: int) -> None:
    """Refuse what no record can keep, naming where it stands."""
    if depth < 0:
        raise ValidationError({where: ["is nested too deep"]}, code="invalid")
    if isinstance(value, Mapping):
        _few(value, where)
        for name, inner in value.items():
            TextField(allow_blank=True, max_length=60).run_validation(name)
            _plain(inner, name, depth - 1)
    elif isinstance(value, list):
        _few(value, where)
        for inner in value:
            _plain(inner, where, depth - 1)
    elif value is not None and not isinstance(value, bool):
        field = TextField(allow_blank=True) if isinstance(value, str) else NumberField()
        try:
            field.run_validation(value)
        except ValidationError as why:
            raise ValidationError({where: why.detail}) from why


def _few(value: Collection[Any], where: str) -> None:
    if len(value) > MOST_ITEMS:
        raise ValidationError({where: [f"has more than {MOST_ITEMS} entries"]}, code="max_length")


class AsSentField(fields.Field[Any, Any, Any, Any]):
    """Whatever was sent; somebody else looks at it."""

    def to_internal_value(self, data: Any) -> Any:
        return data

    def to_representation(self, value: Any) -> Any:
        return value


class CountField(WholeField):
    """How many: none is below nothing."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{**kwargs, "min_value": 0})
