"""Reads the library's sheets (TOML): refuses a number without value, unit, source and status."""

import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, replace
from difflib import get_close_matches
from typing import Any, TypeVar

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.clamp import ClampKind
from cureclock.core.materials.figure import PUBLISHED, UNITS, Figure, Source, Span, number
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.gate import Gate, Row
from cureclock.core.materials.hold import Hold
from cureclock.core.materials.model import Family
from cureclock.core.materials.wood import Wood
from cureclock.core.refusal import Refused
from cureclock.core.units import celsius_of_fahrenheit

Sources = Mapping[str, Source]
Table = Mapping[str, Any]
CLASS_OF_ROLE: dict[str, type[Family]] = {
    "adhesive": Adhesive,
    "finish": Finish,
    "stain": Finish,
    "filler": Finish,
    "hold": Hold,
}
_FIGURE = ("value", "low", "high", "unit", "source", "status", "note")
_GATE = (*_FIGURE, "by_wall", "again", "rows", "rows_in_degf")
_WANTED = (("tuple", list), ("bool", bool), ("Mapping", dict))
_SPAN = ("low", "high", "unit", "source", "status", "note")
Sheet = TypeVar("Sheet", Family, Wood, ClampKind)


def read_family(text: str, sources: Sources, where: str = "sheet") -> Family:
    """One glue, finish or hold out of the text of its sheet.

    Args:
        text: TOML, as the guide to adding a material describes it.
        sources: the sources that its numbers may name.
        where: name of the sheet, for messages.

    Returns:
        An Adhesive, a Finish or a Hold, by its role.

    Raises:
        Refused: naming the sheet, the field and what is missing or impossible.

    Source: none of its own; each number of the sheet names one.

    >>> read_family('key = "x"', {})
    Traceback (most recent call last):
    cureclock.core.refusal.Refused: sheet, role None is outside the valid range: one of \
adhesive, finish, stain, filler, hold
    """
    table = _toml(text, where)
    role = table.get("role")
    if role not in CLASS_OF_ROLE:
        raise Refused(f"{where}, role", role, f"one of {', '.join(CLASS_OF_ROLE)}")
    return _read(CLASS_OF_ROLE[role], table, sources, where)


def read_woods(text: str, sources: Sources, where: str = "woods") -> dict[str, Wood]:
    """The woods of a sheet, each a table under its key.

    >>> read_woods('[oak]\\nname = "Oak"\\nbotanical = "Quercus"', {})["oak"].name
    'Oak'
    """
    return {
        key: _read(Wood, {"key": key, **table}, sources, f"{where}, {key}")
        for key, table in _tables(text, where).items()
    }


def read_clamp_kinds(text: str, sources: Sources, where: str = "clamps") -> dict[str, ClampKind]:
    """The kinds of clamps of a sheet, each a table under its key.

    >>> read_clamp_kinds('[band]\\nname = "Band clamp"', {})["band"].name
    'Band clamp'
    """
    return {
        key: _read(ClampKind, {"key": key, **table}, sources, f"{where}, {key}")
        for key, table in _tables(text, where).items()
    }


def read_figures(text: str, sources: Sources, where: str = "figures") -> dict[str, Figure]:
    """The figures of a sheet, each a table under its key.

    >>> read_figures("", {})
    {}
    """
    tables = _tables(text, where)
    return {key: _figure(table, sources, f"{where}, {key}") for key, table in tables.items()}


def read_sources(text: str, where: str = "sources") -> dict[str, Source]:
    """The sources, each a table under its key.

    >>> read_sources('[a]\\ntitle = "A"\\nstatus = "published"')["a"].title
    'A'
    """
    read = {}
    for key, table in _tables(text, where).items():
        names = [item.name for item in fields(Source)]
        _only(names, table, f"{where}, {key}")
        for name in ("title", "status"):
            _needed(name, table, f"{where}, {key}")
        read[key] = Source(**{"key": key, **table})
    return read


def _read(cls: type[Sheet], table: Table, sources: Sources, where: str) -> Sheet:
    """An instance of a class whose fields say how their part of the sheet is read."""
    known = {item.name: item for item in fields(cls)}
    _only(list(known), table, where)
    for name, item in known.items():
        if item.default is MISSING and item.default_factory is MISSING:
            _needed(name, table, where)
    read = {
        name: _field(known[name], part, sources, f"{where}, {name}") for name, part in table.items()
    }
    return cls(**read)


def _field(item: Field[Any], part: Any, sources: Sources, where: str) -> Any:
    if item.name == "gates":
        return {
            name: _gate(name, gate, sources, f"{where}, {name}")
            for name, gate in _as_table(part, where).items()
        }
    if "figure" in item.metadata:
        return _figure(part, sources, where)
    if "span" in item.metadata:
        return _span(part, sources, where)
    if item.name.endswith("_source"):
        _known_source(part, sources, where)
    return _plain(item, part, where)


def _plain(item: Field[Any], part: Any, where: str) -> Any:
    """Words, yes or no, and tables of words: whatever holds no number."""
    kind = str(item.type)
    wanted = next((cls for word, cls in _WANTED if word in kind), str)
    parts = list(part.values()) if isinstance(part, dict) else part
    words_only = not isinstance(parts, list) or all(isinstance(one, str) for one in parts)
    if not isinstance(part, wanted) or not words_only:
        raise Refused(where, repr(part), f"{wanted.__name__} without bare numbers")
    return tuple(part) if isinstance(part, list) else part


def _figure(part: Any, sources: Sources, where: str) -> Figure:
    table = _as_table(part, where)
    _only(_FIGURE, table, where)
    return _made(Figure, table, sources, where, needed=("value", "unit", "source", "status"))


def _span(part: Any, sources: Sources, where: str) -> Span:
    table = _as_table(part, where)
    _only(_SPAN, table, where)
    return _made(Span, table, sources, where, needed=("unit", "source", "status"))


Made = TypeVar("Made", Figure, Span)


def _made(
    cls: type[Made], table: Table, sources: Sources, where: str, needed: tuple[str, ...]
) -> Made:
    for name in needed:
        _needed(name, table, where)
    for name in ("unit", "status", "note"):
        if not isinstance(table.get(name, ""), str):
            raise Refused(f"{where}, {name}", repr(table[name]), "words")
    source = _known_source(table["source"], sources, where)
    if table["status"] == PUBLISHED and source.status != PUBLISHED:
        raise Refused(f"{where}, status", PUBLISHED, f"{source.status}, as its source {source.key}")
    try:
        return _in_celsius(cls(**table))
    except Refused as refused:
        raise Refused(f"{where}, {refused.quantity}", refused.value, refused.valid) from refused


def _in_celsius(made: Made) -> Made:
    """What is printed in degrees Fahrenheit, exactly, in degrees Celsius."""
    if made.unit != "degF":
        return made
    printed = {name: getattr(made, name, None) for name in ("value", "low", "high")}
    exact: dict[str, Any] = {
        name: celsius_of_fahrenheit(temp) for name, temp in printed.items() if temp is not None
    }
    return replace(made, unit="degC", **exact)


def _gate(name: str, part: Any, sources: Sources, where: str) -> Gate:
    table = dict(_as_table(part, where))
    _only(_GATE, table, where)
    rows, again = table.pop("rows", []), table.pop("again", [])
    in_fahrenheit, by_wall = table.pop("rows_in_degf", False), table.pop("by_wall", False)
    for key, kind, got in (
        ("rows", list, rows),
        ("again", list, again),
        ("rows_in_degf", bool, in_fahrenheit),
        ("by_wall", bool, by_wall),
    ):
        if not isinstance(got, kind):
            raise Refused(f"{where}, {key}", repr(got), f"a {kind.__name__}")
    time = _figure(table, sources, where)
    calls = tuple(replace(time, value=later, low=None, high=None) for later in again)
    read = tuple(_row(row, time, in_fahrenheit, where) for row in rows)
    return Gate(name=name, time=time, by_wall=by_wall, rows=read, again=calls)


def _row(row: Any, time: Figure, in_fahrenheit: bool, where: str) -> Row:
    """A printed row: temperature, time, and the range of the time where one is printed."""
    if not isinstance(row, list) or len(row) not in (2, 4):
        raise Refused(f"{where}, row", row, "[temperature, time] or [temperature, time, low, high]")
    temp, value, low, high = row if len(row) == 4 else (*row, None, None)
    temp = number(f"{where}, row temperature", temp, *UNITS["degF" if in_fahrenheit else "degC"])
    temp_c = celsius_of_fahrenheit(temp) if in_fahrenheit else temp
    return Row(temp_c=temp_c, time=replace(time, value=value, low=low, high=high))


def _toml(text: str, where: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(where, str(error), "TOML") from error


def _tables(text: str, where: str) -> dict[str, Table]:
    read = _toml(text, where)
    return {key: _as_table(part, f"{where}, {key}") for key, part in read.items()}


def _as_table(part: Any, where: str) -> Table:
    if not isinstance(part, dict):
        raise Refused(where, part, "a table of value, unit, source and status")
    return part


def _known_source(key: Any, sources: Sources, where: str) -> Source:
    if not isinstance(key, str) or key not in sources:
        raise Refused(f"{where}, source", repr(key), "a key that sources.toml describes")
    return sources[key]


def _needed(name: str, table: Table, where: str) -> None:
    if table.get(name) in (None, ""):
        raise Refused(f"{where}, {name}", "nothing", "needed; a number is never without it")


def _only(names: Any, table: Table, where: str) -> None:
    for name in table:
        if name not in names:
            near = get_close_matches(name, list(names), n=3) or list(names)
            raise Refused(f"{where}, {name}", "an unknown name", f"perhaps {', '.join(near)}")
