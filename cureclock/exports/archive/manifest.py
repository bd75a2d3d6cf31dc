"""What an archive says of itself: whose it is, from when, and what is in each of its members."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from django.apps import apps
from django.db.migrations.loader import MigrationLoader

NAME = "manifest.json"
PRODUCT = "CureClock"
FORM = 1  # raised when an older program would misread what a newer one wrote
MOST_BYTES = 16 * 1024 * 1024


@dataclass(frozen=True)
class Member:
    """One file inside: a table, a JSON object a line, or a picture.

    Attributes:
        rows: lines of a table; None for a picture.
        size: bytes, unpacked.
        digest: their SHA-256.
    """

    name: str
    rows: int | None
    size: int
    digest: str


@dataclass(frozen=True)
class Manifest:
    """The first thing that is read, and the last that is written."""

    workshop_id: str
    workshop_name: str
    made_at: datetime
    migrations: Mapping[str, str]
    members: tuple[Member, ...] = ()
    left_out: tuple[str, ...] = ()
    form: int = FORM
    product: str = PRODUCT

    def to_json(self) -> bytes:
        """As it is written."""
        told = {**asdict(self), "made_at": self.made_at.isoformat()}
        return json.dumps(told, indent=1, ensure_ascii=False).encode()

    @classmethod
    def from_json(cls, written: bytes) -> "Manifest":
        """Out of what was written; ValueError, KeyError or TypeError where it is none."""
        told = json.loads(written)
        if not isinstance(told, dict) or told.get("product") != PRODUCT:
            raise ValueError("not ours")
        members = tuple(_member(one) for one in told["members"])
        return cls(
            workshop_id=_text(told["workshop_id"]),
            workshop_name=_text(told["workshop_name"]),
            made_at=datetime.fromisoformat(_text(told["made_at"])),
            migrations=_table(told["migrations"]),
            members=members,
            left_out=tuple(_text(one) for one in told["left_out"]),
            form=_whole(told["form"]),
        )


def _member(told: Mapping[str, Any]) -> Member:
    rows = None if told["rows"] is None else _whole(told["rows"])
    return Member(_text(told["name"]), rows, _whole(told["size"]), _text(told["digest"]))


def _table(value: Any) -> dict[str, str]:
    if not isinstance(value, dict):
        raise TypeError("no table")
    return {_text(name): _text(said) for name, said in value.items()}


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError("no text")
    return value


def _whole(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise TypeError("no count")
    return value


def newest_migrations(labels: tuple[str, ...]) -> dict[str, str]:
    """The newest change of the records that this program knows, for each app."""
    leaves = MigrationLoader(None).graph.leaf_nodes()
    return {app: name for app, name in leaves if app in labels}


def knows_migration(app: str, name: str) -> bool:
    """Whether this program knows a change of the records."""
    return apps.is_installed(f"cureclock.{app}") and (
        (app, name) in MigrationLoader(None).disk_migrations
    )
