"""Writing a workshop into one file: a JSON line a row, pictures as they are, a manifest last."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import IO, Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from cureclock.exports.archive import secrets
from cureclock.exports.archive.manifest import NAME, Manifest, Member, newest_migrations
from cureclock.exports.archive.snapshot import snapshot
from cureclock.exports.archive.tables import APPS, Table, tables
from cureclock.exports.archive.values import columns_of
from cureclock.shop.models import Workshop
from cureclock.waits.models import Gate

LOADED = 2000  # rows in memory at a time
SEEN = "seen.jsonl"  # which gates were seen to be reached: not a fact, yet nobody is told twice
COPIED = 1024 * 1024


def write_archive(
    workshop: Workshop, out: IO[bytes], at: datetime, pictures: Path | None = None
) -> Manifest:
    """Write a workshop as it stands now; however many rows it has, few are in memory at once.

    Args:
        workshop: which.
        out: where to; has to be able to seek.
        at: now.
        pictures: the folder of its pictures, if there is one.

    Returns:
        What the archive says of itself.
    """
    with ZipFile(out, "w", ZIP_DEFLATED, compresslevel=4) as archive:
        packed = _Packing(archive, at)
        with snapshot():
            for table in tables():
                lines = _lines(table, workshop, at)
                packed.add(f"tables/{table.name}.jsonl", lines, counted=True)
            packed.add(SEEN, _seen(workshop), counted=True)
        for name, path in _pictures(pictures):
            packed.add(name, _copied(path), counted=False)
        manifest = Manifest(
            workshop_id=str(workshop.id),
            workshop_name=workshop.name,
            made_at=at,
            migrations=newest_migrations(APPS),
            members=tuple(packed.members),
            left_out=secrets.SAID,
        )
        archive.writestr(packed.info(NAME, ZIP_DEFLATED), manifest.to_json())
    return manifest


class _Packing:
    """Adds members and keeps what vouches for each."""

    def __init__(self, archive: ZipFile, at: datetime) -> None:
        self.archive = archive
        self.at = at
        self.members: list[Member] = []

    def info(self, name: str, how: int) -> ZipInfo:
        """The head of a member; readable by its owner alone, dated by the archive."""
        moment = max(self.at.year, 1980), *self.at.timetuple()[1:6]
        info = ZipInfo(name, moment)
        info.compress_type = how
        info.external_attr = 0o600 << 16
        return info

    def add(self, name: str, pieces: Iterable[bytes], *, counted: bool) -> None:
        """Add one member piece by piece."""
        digest, size, rows = hashlib.sha256(), 0, 0
        info = self.info(name, ZIP_DEFLATED if counted else ZIP_STORED)
        with self.archive.open(info, "w", force_zip64=True) as member:
            for piece in pieces:
                digest.update(piece)
                size += len(piece)
                rows += 1
                member.write(piece)
        self.members.append(Member(name, rows if counted else None, size, digest.hexdigest()))


def _lines(table: Table, workshop: Workshop, at: datetime) -> Iterator[bytes]:
    columns = columns_of(table.model)
    names = [column.name for column in columns]
    plain = [column.plain for column in columns]
    rows = table.rows(workshop).values_list(*names)
    for values in rows.iterator(LOADED):
        row = {
            name: value if made is None or value is None else made(value)
            for name, value, made in zip(names, values, plain, strict=True)
        }
        yield _line(secrets.without(table.name, row, at.isoformat()))


def _line(row: dict[str, Any]) -> bytes:
    return json.dumps(row, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _seen(workshop: Workshop) -> Iterator[bytes]:
    seen = Gate.objects.filter(workshop=workshop).exclude(state=Gate.State.WAITING)
    rows = seen.order_by("pk").values_list("id", "state", "reached_at")
    for ident, state, reached_at in rows.iterator(LOADED):
        reached = reached_at and reached_at.isoformat()
        yield _line({"id": str(ident), "state": state, "reached_at": reached})


def _pictures(folder: Path | None) -> Iterator[tuple[str, Path]]:
    if folder is None or not folder.is_dir():
        return
    for path in sorted(folder.rglob("*")):
        if path.is_file() and not path.is_symlink():
            yield f"pictures/{path.relative_to(folder).as_posix()}", path


def _copied(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while piece := file.read(COPIED):
            yield piece
