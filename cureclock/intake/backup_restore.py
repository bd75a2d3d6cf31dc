"""Restoring a workshop from an archive: all of it, or nothing."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Any
from uuid import UUID

from django.db import DatabaseError, IntegrityError, connection, transaction

from cureclock.exports.archive.tables import Table, tables
from cureclock.exports.archive.values import columns_of
from cureclock.exports.archive.write import SEEN
from cureclock.intake.backup import Backup, opened, refuse, safe_name
from cureclock.intake.backup_rows import BATCH, Rows
from cureclock.reminders import outage
from cureclock.shop.models import Person, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.models import Gate
from cureclock.waits.rebuild import rebuild

PICTURES = "pictures/"


@dataclass(frozen=True)
class Restored:
    """What came out of an archive.

    Attributes:
        rows: how many of each table.
        pictures: how many.
        left_out: what the archive did not carry, in words.
    """

    workshop: Workshop
    made_at: datetime
    rows: dict[str, int] = field(default_factory=dict)
    pictures: int = 0
    left_out: tuple[str, ...] = ()


def restore(path: Path, at: datetime, folder: Path | None = None) -> Restored:
    """Bring a workshop back, with its estimates made anew from its facts.

    In steps: look at the whole archive; then, in one transaction, write every table, see that no
    row points outside the workshop, rebuild the estimates and lay the pictures beside the
    records. Whatever goes wrong, nothing is left behind.

    Args:
        path: the archive.
        at: now.
        folder: where its pictures go.

    Raises:
        Refusal: in a sentence, why it is not taken.
    """
    with opened(path) as backup:
        backup.check()
        _only_known(backup)
        if Workshop.objects.filter(id=_ident(backup)).exists():
            refuse("this workshop is here already", "restore it where it is not")
        with _as_refusal(), transaction.atomic(), _pictures(backup, folder) as pictures:
            rows = Rows(backup)
            for table in tables():
                rows.write(table)
            workshop = _the_one(backup, rows)
            _belongs(workshop, rows)
            _rebuild(workshop, at)
            _see(backup)
            outage.restored(workshop, backup.manifest.made_at, at)
            connection.check_constraints()
    made_at, left_out = backup.manifest.made_at, backup.manifest.left_out
    return Restored(workshop, made_at, rows.written, pictures, left_out)


def _ident(backup: Backup) -> UUID:
    try:
        return UUID(backup.manifest.workshop_id)
    except ValueError:
        refuse("it does not say whose it is")


def _only_known(backup: Backup) -> None:
    names = {f"tables/{table.name}.jsonl" for table in tables()} | {SEEN}
    strange = [n for n in backup.members if n not in names and not n.startswith(PICTURES)]
    if strange:
        refuse(f"it holds {strange[0][:60]!r}, which is not known here")


def _the_one(backup: Backup, rows: Rows) -> Workshop:
    if rows.written["shop.Workshop"] != 1:
        refuse(f"it holds {rows.written['shop.Workshop']} workshops instead of one")
    workshop = Workshop.objects.filter(id=_ident(backup)).first()
    if workshop is None:
        refuse("it holds another workshop than it says")
    return workshop


def _belongs(workshop: Workshop, rows: Rows) -> None:
    """Every row is of this workshop and points to nothing of another."""
    people = set(_keys(rows.backup, "shop.Person"))
    for table in tables():
        if table.model in (Workshop, Person):
            continue
        own = table.rows(workshop).order_by()
        if own.count() != rows.written[table.name]:
            refuse(f"{table.name} has rows of another workshop")
        _points_inside(table, workshop, people)


def _points_inside(table: Table, workshop: Workshop, people: set[str]) -> None:
    by_model = {one.model: one for one in tables()}
    own = table.rows(workshop).order_by()
    for link in table.links():
        target = by_model.get(link.related_model)
        if target is None or link.name == table.path:
            continue
        filled = own.exclude(**{link.name: None})
        if target.model is Person:
            named = filled.values_list(link.attname, flat=True).distinct()
            outside = any(str(person) not in people for person in named)
        elif target.model is Workshop:
            outside = filled.exclude(**{link.name: workshop}).exists()
        else:
            outside = filled.exclude(**{f"{link.name}__{target.path}": workshop}).exists()
        if outside:
            refuse(f"{table.name} points to something of another workshop")


def _keys(backup: Backup, name: str) -> Iterator[str]:
    for row in backup.rows(f"tables/{name}.jsonl"):
        yield str(row.get("id"))


def _rebuild(workshop: Workshop, at: datetime) -> None:
    try:
        rebuild(workshop, at)
    except DatabaseError:
        raise
    except Exception as stumbled:
        raise Refusal(
            "backup",
            f"what it says happened cannot be worked out ({type(stumbled).__name__})",
            "take another backup",
            "backup",
        ) from stumbled


def _see(backup: Backup) -> None:
    """Gates that were seen to be reached stay so: nobody is told of them again."""
    rows = backup.rows(SEEN)
    while batch := list(islice(rows, BATCH)):
        seen = dict(map(_seen, batch))
        gates = list(Gate.objects.filter(id__in=seen).exclude(state=Gate.State.OVER))
        for gate in gates:
            state, gate.reached_at = seen[gate.id]
            gate.state = gate.state if state == Gate.State.OVER else state
        Gate.objects.bulk_update(gates, ["state", "reached_at"], batch_size=200)


def _seen(row: dict[str, Any]) -> tuple[UUID, tuple[str, datetime | None]]:
    """A gate, the state it was seen in, and when."""
    columns = {column.name: column for column in columns_of(Gate)}
    try:
        told = {name: columns[name].read(row[name]) for name in ("id", "state", "reached_at")}
        return told["id"], (Gate.State(told["state"]), told["reached_at"])
    except (LookupError, ValueError):
        refuse(f"{SEEN} cannot be read")


@contextmanager
def _as_refusal() -> Iterator[None]:
    """What the records do not take is said in a sentence."""
    try:
        yield
    except IntegrityError as clash:
        raise Refusal(
            "backup",
            "some of its rows are here already, in another workshop, or do not fit together",
            "restore it into an empty instance",
            "backup",
        ) from clash
    except (DatabaseError, OSError) as failed:
        said = str(failed).strip().splitlines()[0][:120] if str(failed).strip() else "no reason"
        raise Refusal(
            "backup", f"it could not be written: {said}", "look at the disk, then try again"
        ) from failed


@contextmanager
def _pictures(backup: Backup, folder: Path | None) -> Iterator[int]:
    """Lay the pictures into their folder, and take them away again if anything fails."""
    members = [one for name, one in backup.members.items() if name.startswith(PICTURES)]
    if not members:
        yield 0
        return
    if folder is None:
        refuse("it holds pictures, and there is no folder for them")
    if folder.exists() and any(folder.iterdir()):
        refuse(f"there are pictures in {folder} already", "move them away")
    made = not folder.exists()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        for member in members:
            path = folder / safe_name(member.name.removeprefix(PICTURES))
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with path.open("xb") as file:
                file.writelines(backup.pieces(member))
        yield len(members)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        if not made:
            folder.mkdir(mode=0o700, exist_ok=True)
        raise
