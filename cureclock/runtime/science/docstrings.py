"""What the core says of itself: every public function and class, by module, from its docstring."""

import inspect
import pkgutil
import re
from collections.abc import Iterable
from dataclasses import dataclass
from importlib import import_module
from types import ModuleType

import cureclock.core
from cureclock.runtime.science.formulae import FORMULAE

LEFT_OUT = ("planning", "reminding", "wording")  # rooms of the core that are no science
HEADS = ("Args", "Attributes", "Returns", "Raises", "Valid for", "Assumes", "Source", "Example")
HEAD = re.compile(rf"^({'|'.join(HEADS)}):\s*(.*)$")
SAID = {"Args": "Takes", "Attributes": "Holds", "Returns": "Gives", "Raises": "Refuses"}


@dataclass(frozen=True)
class Told:
    """One public name of the core.

    Attributes:
        name: with its module, from the core on.
        opening: the sentence a maker understands, and what follows it.
        parts: the rest of the docstring, by heading.
    """

    name: str
    signature: str
    opening: str
    parts: dict[str, str]


def modules() -> list[ModuleType]:
    """Every module of the core that computes, in order of its name."""
    found = pkgutil.walk_packages(cureclock.core.__path__, "cureclock.core.")
    names = sorted(one.name for one in found if not one.ispkg)
    return [import_module(name) for name in names if name.split(".")[2] not in LEFT_OUT]


def told_in(module: ModuleType) -> list[Told]:
    """The public functions and classes a module defines, in the order it has them."""
    own = [
        (name, one)
        for name, one in vars(module).items()
        if not name.startswith("_")
        and (inspect.isfunction(one) or inspect.isclass(one))
        and one.__module__ == module.__name__
        and one.__doc__
    ]
    return [_told(module, name, one) for name, one in own]


def _told(module: ModuleType, name: str, one: object) -> Told:
    text = inspect.cleandoc(one.__doc__ or "")
    where = module.__name__.removeprefix("cureclock.core.")
    names = inspect.signature(one).parameters if inspect.isfunction(one) else {}
    signature = f"{name}({', '.join(names)})" if inspect.isfunction(one) else name
    opening, parts = sections(text)
    return Told(f"{where}.{name}", signature, opening, parts)


def sections(text: str) -> tuple[str, dict[str, str]]:
    """A docstring as its opening and its parts by heading."""
    at, parts = "", {"": ""}
    for line in text.splitlines():
        head = HEAD.match(line)
        if head:
            at = head.group(1)
            parts[at] = f"{head.group(2)}\n" if head.group(2) else ""
        elif line.startswith(">>>") and at != "Example":
            at = "Example"
            parts[at] = f"{line}\n"
        else:
            parts[at] += f"{line}\n"
    opening = parts.pop("").strip()
    return opening, {name: inspect.cleandoc(part).strip() for name, part in parts.items()}


def lines_of(module: ModuleType) -> Iterable[str]:
    """A module as a chapter of the page."""
    every = told_in(module)
    if not every:
        return
    yield f"### {module.__name__.removeprefix('cureclock.core.').replace('.', ' / ')}"
    yield ""
    yield inspect.cleandoc(module.__doc__ or "")
    yield ""
    for told in every:
        yield from _lines(told)


def _lines(told: Told) -> Iterable[str]:
    yield f"#### `{told.signature}`"
    yield ""
    yield told.opening
    yield ""
    for formula in FORMULAE.get(told.name, ()):
        yield f"$$ {formula} $$"
        yield ""
    for name, part in told.parts.items():
        if name == "Example":
            yield from ("```python", part, "```", "")
        elif part:
            yield from (f"**{SAID.get(name, name)}:**{_flowing(name, part)}", "")


def _flowing(name: str, part: str) -> str:
    """A part as a list where it names things, else as one paragraph."""
    if name not in ("Args", "Attributes"):
        return " " + " ".join(part.split())
    items: list[str] = []
    for line in part.splitlines():
        if line[:1].isspace() and items:
            items[-1] += " " + line.strip()
        elif line.strip():
            items.append(line.strip())
    return "\n\n" + "\n".join(f"- {_named(item)}" for item in items)


def _named(item: str) -> str:
    name, mark, rest = item.partition(": ")
    return f"`{name}`: {rest}" if mark else item
