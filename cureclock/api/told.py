"""Plain values for JSON out of what the house shows."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any


def as_told(value: Any) -> Any:
    """Dataclasses as tables, whatever is inside them; `from_` is told as `from`."""
    if is_dataclass(value) and not isinstance(value, type):
        return {told: as_told(getattr(value, name)) for name, told in _names(type(value))}
    if isinstance(value, Mapping):
        return {str(name): as_told(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_told(one) for one in value]
    return value


@cache
def _names(kind: type) -> tuple[tuple[str, str], ...]:
    return tuple((item.name, item.name.rstrip("_")) for item in fields(kind))
