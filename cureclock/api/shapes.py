"""The shapes of what is said, made from the dataclasses of the verbs: nothing else comes in."""

import dataclasses
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from rest_framework import serializers
from rest_framework.exceptions import ErrorDetail, ValidationError
from rest_framework_dataclasses.serializers import DataclassSerializer

from cureclock.api import fields as own

# How many characters a record keeps of a word; of what is not named here, 500.
LENGTHS = {
    "name": 80,
    "batch_name": 80,
    "tag": 24,
    "what": 80,
    "family": 60,
    "container": 80,
    "off_before": 40,
    "act": 40,
    "gate": 24,
    "result": 20,
    "where": 40,
    "clock": 5,
    "zone": 64,
    "BrokerTold.username": 120,
    "BrokerTold.password": 200,
    "ZoneSaid.name": 40,
    "FileShape.separator": 1,
    "FileShape.decimal": 1,
    "FileShape.order": 5,
    "FileShape.repeated": 7,
}


class StrictSerializer(DataclassSerializer[Any]):
    """A dataclass from what was sent: unknown fields, wrong kinds and endless text are refused."""

    serializer_field_mapping = {
        **DataclassSerializer.serializer_field_mapping,
        int: own.WholeField,
        float: own.NumberField,
        bool: own.YesNoField,
        str: own.TextField,
        datetime: own.InstantField,
        UUID: own.IdField,
        list: own.ListField,
        tuple: own.ListField,
        dict: own.TableField,
    }

    @property
    def serializer_dataclass_field(self) -> type[serializers.Field[Any, Any, Any, Any]]:
        """Shapes inside shapes are as strict."""
        return StrictSerializer

    def create_field(self, field_name: str, extra_kwargs: dict[str, Any]) -> Any:
        """The field with the bounds that its record has."""
        return super().create_field(field_name, {**self._bounds(field_name), **extra_kwargs})

    def _bounds(self, name: str) -> dict[str, Any]:
        shape = self.dataclass_definition.dataclass_type
        told = {item.name: item for item in dataclasses.fields(shape)}[name]
        kind = str(self.dataclass_definition.field_types[name])
        if self.dataclass_definition.field_types[name] is str:
            length = LENGTHS.get(f"{shape.__name__}.{name}", LENGTHS.get(name, own.LONGEST_TEXT))
            return {"max_length": length, "allow_blank": told.default == ""}
        if "tuple" in kind and _has_to_name(told, kind):
            return {"allow_empty": False}
        return {}

    def to_internal_value(self, data: Any) -> Any:
        """The dataclass; a field it does not have is refused by name."""
        if isinstance(data, Mapping):
            known = set(self.fields)
            unknown = [str(name)[:60] for name in data if name not in known]
            if unknown:
                told = ErrorDetail("is not known here", "unknown")
                raise ValidationError({name: [told] for name in unknown[:20]})
        return super().to_internal_value(data)


def _has_to_name(told: "dataclasses.Field[Any]", kind: str) -> bool:
    """Whether an empty list would mean nothing, or would be taken for everything."""
    needed = told.default is dataclasses.MISSING and told.default_factory is dataclasses.MISSING
    return needed or (told.default is None and "UUID" in kind)


def strict(shape: type[Any]) -> type[StrictSerializer]:
    """The strict serializer of one dataclass."""
    meta = type("Meta", (), {"dataclass": shape})
    return type(f"{shape.__name__}Serializer", (StrictSerializer,), {"Meta": meta})
