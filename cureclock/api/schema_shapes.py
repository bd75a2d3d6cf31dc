"""OpenAPI schemas out of type hints: the dataclasses that are sent and shown are the document."""

import dataclasses
import inspect
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints, is_typeddict
from uuid import UUID

from cureclock.api.shapes import LENGTHS

Schema = dict[str, Any]

PLAIN: dict[Any, Schema] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    UUID: {"type": "string", "format": "uuid"},
    datetime: {"type": "string", "format": "date-time"},
    date: {"type": "string", "format": "date"},
    # A clock on the wall, without a zone: the format called time would ask for one.
    time: {"type": "string", "pattern": r"^\d{2}:\d{2}:\d{2}(\.\d+)?$"},
    Any: {},
}
LISTS = (list, tuple, Sequence)
TABLES = (dict, Mapping)


class Shapes:
    """Every named shape that the document speaks of.

    Attributes:
        components: schema by name, filled as shapes are asked for.
    """

    def __init__(self) -> None:
        self.components: dict[str, Schema] = {}

    def of(self, hint: Any) -> Schema:
        """The schema of a type hint; a dataclass or typed table becomes a component."""
        if hint in PLAIN:
            return dict(PLAIN[hint])
        if dataclasses.is_dataclass(hint) or is_typeddict(hint):
            return self._component(hint)
        origin, args = get_origin(hint) or hint, get_args(hint)
        if origin in (Union, UnionType):
            return self._union(args)
        if origin in LISTS:
            return self._list(origin, args)
        if origin in TABLES:
            return {"type": "object", "additionalProperties": self.of(args[1]) if args else {}}
        raise TypeError(f"no schema for {hint!r}")

    def _union(self, args: tuple[Any, ...]) -> Schema:
        inner = [self.of(arg) for arg in args if arg is not NoneType]
        schema = inner[0] if len(inner) == 1 else {"anyOf": inner}
        if NoneType not in args:
            return schema
        return (
            {"allOf": [schema], "nullable": True}
            if "$ref" in schema
            else schema | {"nullable": True}
        )

    def _list(self, origin: Any, args: tuple[Any, ...]) -> Schema:
        if origin is tuple and args and args[-1] is not Ellipsis:
            items = [self.of(arg) for arg in args]
            return {
                "type": "array",
                "items": {"anyOf": items},
                "minItems": len(items),
                "maxItems": len(items),
            }
        return {"type": "array", "items": self.of(args[0]) if args else {}}

    def _component(self, kind: Any) -> Schema:
        name = kind.__name__
        if name not in self.components:
            self.components[name] = {}  # taken, so that a shape may speak of itself
            hints = get_type_hints(kind)
            needed = _needed(kind)
            properties = {
                field.rstrip("_"): self.of(hint) | _bounds(name, field, hint)
                for field, hint in hints.items()
            }
            self.components[name] = {
                "type": "object",
                "description": _description(kind),
                "properties": properties,
                "required": [field.rstrip("_") for field in hints if field in needed],
                "additionalProperties": False,
            }
            if not self.components[name]["required"]:
                del self.components[name]["required"]
        return {"$ref": f"#/components/schemas/{name}"}


def _needed(kind: Any) -> set[str]:
    """Fields that are always there."""
    if is_typeddict(kind):
        return set(kind.__required_keys__)
    missing = dataclasses.MISSING
    return {
        field.name
        for field in dataclasses.fields(kind)
        if field.default is missing and field.default_factory is missing
    }


def _bounds(name: str, field: str, hint: Any) -> Schema:
    length = LENGTHS.get(f"{name}.{field}", LENGTHS.get(field))
    return {"maxLength": length} if length and hint is str else {}


def _description(kind: Any) -> str:
    """The first paragraph of its own words."""
    return (inspect.getdoc(kind) or "").split("\n\n")[0].replace("\n", " ")
