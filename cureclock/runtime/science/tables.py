"""The library as tables: every number with its unit, range, source and status."""

from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from cureclock.core.materials.figure import Figure, Source, Span
from cureclock.core.materials.gate import Gate
from cureclock.core.materials.library import Library

HEAD = ("| what | figure | range | unit | source | status |", "|---|---|---|---|---|---|")


def lines_of(library: Library) -> Iterable[str]:
    """Families, woods, clamps and modifiers, each number in a row of its own; then the sources."""
    yield from ("### Glues, finishes and holds", "")
    for family in library.families.values():
        yield from (f"#### {family.name} (`{family.key}`)", "", *HEAD, *_rows(family), "")
    yield from ("### Woods", "")
    for wood in library.woods.values():
        flags = [one for one in ("oily", "tannin", "open_pored") if getattr(wood, one)]
        said = f" {', '.join(flags).replace('_', ' ')} ({wood.flags_source})." if flags else ""
        yield from (f"#### {wood.name} (`{wood.key}`)", "")
        yield from (f"*{wood.botanical}*.{said}", "", *HEAD, *_rows(wood), "")
    yield from ("### Clamps", "")
    for kind in library.clamp_kinds.values():
        yield from (f"#### {kind.name} (`{kind.key}`)", "", *HEAD, *_rows(kind), "")
    yield from ("### What changes a need", "", *HEAD)
    yield from (_row(key, figure) for key, figure in library.modifiers.items())
    yield ""


def sources_of(library: Library) -> Iterable[str]:
    """Every source the sheets name."""
    yield "| key | what was read | status | remark |"
    yield "|---|---|---|---|"
    for source in library.sources.values():
        remark = _cell(source.remark)
        yield f"| `{source.key}` | {_title(source)} | {source.status} | {remark} |"
    yield ""


def _title(source: Source) -> str:
    parts = (source.title, source.edition, source.page and f"p. {source.page}", source.address)
    return _cell(", ".join(part for part in parts if part))


def _rows(item: Any) -> Iterable[str]:
    for one in fields(item):
        value = getattr(item, one.name)
        if isinstance(value, Figure | Span):
            yield _row(one.name, value)
        elif one.name == "gates":
            for gate in value.values():
                yield from _gate(gate)


def _gate(gate: Gate) -> Iterable[str]:
    by_wall = ", by the wall clock" if gate.by_wall else ""
    yield _row(f"{gate.name}{by_wall}", gate.time)
    for row in gate.rows:
        yield _row(f"{gate.name} at {row.temp_c:.4g} degC", row.time)
    for again in gate.again:
        yield _row(f"{gate.name}, again", again)


def _row(name: str, figure: Figure | Span) -> str:
    value = f"{figure.value:.6g}" if isinstance(figure, Figure) else ""
    ends = ["" if end is None else f"{end:.6g}" for end in (figure.low, figure.high)]
    span = " to ".join(ends) if any(ends) else ""
    cells = (name.replace("_", " "), value, span, figure.unit, f"`{figure.source}`", figure.status)
    return f"| {' | '.join(_cell(cell) for cell in cells)} |"


def _cell(text: str) -> str:
    """Text that keeps inside its cell."""
    return " ".join(text.replace("|", "\\|").split())
