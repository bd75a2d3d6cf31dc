"""Fields that say for themselves which unit or which words they may hold."""

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from cureclock.core.refusal import Refused


def figure_in(unit: str) -> dict[str, Any]:
    """Metadata of a field that holds a Figure in this unit."""
    return {"figure": unit}


def span_in(unit: str) -> dict[str, Any]:
    """Metadata of a field that holds a Span in this unit."""
    return {"span": unit}


def words_of(choice: Mapping[str, str] | tuple[str, ...]) -> dict[str, Any]:
    """Metadata of a field that holds one word, or a tuple of words, out of a vocabulary."""
    return {"words": tuple(choice)}


class Checked:
    """Checks each field against its own metadata, so that a class is the whole rule."""

    def __post_init__(self) -> None:
        for item in fields(self):  # type: ignore[arg-type]
            quantity = f"{getattr(self, 'key', '')}, {item.name}"
            _check_unit(quantity, getattr(self, item.name), item.metadata)
            _check_words(quantity, getattr(self, item.name), item.metadata)


def _check_unit(quantity: str, value: Any, rule: Mapping[str, Any]) -> None:
    unit = rule.get("figure", rule.get("span"))
    if unit is not None and value is not None and value.unit != unit:
        raise Refused(f"{quantity}, unit", value.unit, unit)


def _check_words(quantity: str, value: Any, rule: Mapping[str, Any]) -> None:
    if "words" not in rule:
        return
    for word in (value,) if isinstance(value, str) else value:
        if word not in rule["words"]:
            raise Refused(quantity, repr(word), f"one of {', '.join(filter(None, rule['words']))}")
