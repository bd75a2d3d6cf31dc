"""What ships: every family, wood and clamp, read once from the sheets beside this file."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TypeVar

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.clamp import ClampKind
from cureclock.core.materials.figure import Figure, Source
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.hold import Hold
from cureclock.core.materials.model import Family
from cureclock.core.materials.sheet import (
    read_clamp_kinds,
    read_family,
    read_figures,
    read_sources,
    read_woods,
)
from cureclock.core.materials.wood import Wood
from cureclock.core.refusal import Refused

_FAMILIES = ("adhesives", "finishes", "holds")
Kind = TypeVar("Kind", bound=Family)
Item = TypeVar("Item")


@dataclass(frozen=True, kw_only=True, eq=False)
class Library:
    """Everything that was read from one folder of sheets, by key."""

    sources: Mapping[str, Source]
    families: Mapping[str, Family]
    woods: Mapping[str, Wood]
    clamp_kinds: Mapping[str, ClampKind]
    modifiers: Mapping[str, Figure]


def read_library(folder: Traversable) -> Library:
    """Read a whole folder of sheets, or refuse it at the first number that is not whole.

    Args:
        folder: holds sources.toml, clamps.toml, modifiers.toml and the folders adhesives,
            finishes, holds and woods.

    Raises:
        Refused: naming the sheet and the field.

    Source: none of its own; each number of the sheets names one.

    >>> sorted(read_library(files("cureclock.core.materials") / "data").modifiers)[0]
    'gentle_fan'
    """
    sources = read_sources((folder / "sources.toml").read_text("utf-8"))
    families: dict[str, Family] = {}
    for name in _FAMILIES:
        for sheet in _sheets(folder / name):
            family = read_family(sheet.read_text("utf-8"), sources, f"{name}/{sheet.name}")
            if family.key in families or sheet.name != f"{family.key}.toml":
                raise Refused(f"{name}/{sheet.name}, key", family.key, "its own, as the file name")
            families[family.key] = family
    woods: dict[str, Wood] = {}
    for sheet in _sheets(folder / "woods"):
        woods |= read_woods(sheet.read_text("utf-8"), sources, f"woods/{sheet.name}")
    return Library(
        sources=sources,
        families=families,
        woods=woods,
        clamp_kinds=read_clamp_kinds((folder / "clamps.toml").read_text("utf-8"), sources),
        modifiers=read_figures((folder / "modifiers.toml").read_text("utf-8"), sources),
    )


@cache
def library() -> Library:
    """The library that ships, read once.

    >>> library() is library()
    True
    """
    return read_library(files("cureclock.core.materials") / "data")


def adhesives() -> Mapping[str, Adhesive]:
    """All glues by key.

    >>> adhesives()["pva_interior"].gates["clamps_off"].hours
    0.75
    """
    return _families(Adhesive)


def finishes() -> Mapping[str, Finish]:
    """All finishes, stains and fillers by key.

    >>> finishes()["shellac"].gates["recoat_opens"].hours
    1.0
    """
    return _families(Finish)


def holds() -> Mapping[str, Hold]:
    """All temporary holds by key.

    >>> holds()["hot_melt"].remove_before
    ('cnc', 'lathe', 'finish')
    """
    return _families(Hold)


def family(key: str) -> Family:
    """The glue, finish or hold of this key; an unknown one is refused with near names.

    >>> family("pva_interor")
    Traceback (most recent call last):
    cureclock.core.refusal.Refused: material pva_interor is outside the valid range: perhaps \
pva_interior
    """
    return _of("material", key, library().families)


def woods() -> Mapping[str, Wood]:
    """All woods by key.

    >>> woods()["ash"].open_pored
    True
    """
    return library().woods


def wood(key: str) -> Wood:
    """The wood of this key; an unknown one is refused with near names.

    >>> wood("maple_sugar").movement_tangential.value
    0.00353
    """
    return _of("wood", key, woods())


def clamp_kinds() -> Mapping[str, ClampKind]:
    """All kinds of clamps by key.

    >>> clamp_kinds()["band"].trade_n is None
    True
    """
    return library().clamp_kinds


def clamp_kind(key: str) -> ClampKind:
    """The kind of clamp of this key; an unknown one is refused with near names.

    >>> clamp_kind("pipe").measured_n.value
    4671
    """
    return _of("clamp kind", key, clamp_kinds())


def modifiers() -> Mapping[str, Figure]:
    """Factors on the times of coats (still air, a fan, oily wood); common practice, no source.

    >>> modifiers()["still_air"].value
    1.3
    """
    return library().modifiers


def sources() -> Mapping[str, Source]:
    """All sources by key.

    >>> sources()["memory"].status
    'from memory'
    """
    return library().sources


def _families(kind: type[Kind]) -> Mapping[str, Kind]:
    return {key: one for key, one in library().families.items() if isinstance(one, kind)}


def _of(what: str, key: str, shelf: Mapping[str, Item]) -> Item:
    if key not in shelf:
        near = get_close_matches(key, list(shelf), n=3, cutoff=0.7) or sorted(shelf)
        raise Refused(what, key, f"perhaps {', '.join(near)}")
    return shelf[key]


def _sheets(folder: Traversable) -> list[Traversable]:
    sheets = [sheet for sheet in folder.iterdir() if sheet.name.endswith(".toml")]
    return sorted(sheets, key=lambda sheet: sheet.name)
