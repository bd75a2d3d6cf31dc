"""A backup of every workshop each night, kept by rotation; and how that stands, for a page to say."""

import shutil
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path

import structlog
from django.db import DatabaseError

from cureclock.exports.archive.file import Busy, write_file
from cureclock.exports.rotation import kept
from cureclock.shop.models import Workshop

log = structlog.get_logger("cureclock.backups")

NIGHT = time(2, 30)  # by the shop's own clock: after the last alert, before the first; our choice
TRY_AGAIN = timedelta(hours=1)
OLD = timedelta(hours=36)  # a night was missed
LEAST_FREE = 512 * 2**20  # our choice
ROOM = 10  # so many newest backups have to fit before it is said that the disk fills up; our choice
FAILED = "failed"


@dataclass(frozen=True)
class KeptFile:
    """One backup that lies on the disk."""

    day: date
    size: int


@dataclass(frozen=True)
class Care:
    """How the backups of a workshop stand.

    Attributes:
        files: what there is, the newest first.
        newest_at: when the newest was made.
        free: bytes that are free where they lie.
        wanted: bytes that should be.
        wrong: what is wrong, by key: disk_low, none_yet, old, failed.
        why: what the last try stumbled over.
    """

    files: tuple[KeptFile, ...]
    newest_at: datetime | None
    free: int
    wanted: int
    wrong: tuple[str, ...]
    why: str


def keep(at: datetime, folder: Path, pictures: Path | None = None) -> list[Path]:
    """Make the backups that are due and drop those that rotation lets go; cheap when none is due.

    A night that was slept through is made up for at the next call. One workshop that fails holds
    up no other, and is tried again an hour later.

    Args:
        at: now.
        folder: where they lie, each workshop's in a folder of its own.
        pictures: where the pictures lie, each workshop's in a folder of its own.

    Returns:
        The files that were made.
    """
    made = []
    for workshop in Workshop.objects.order_by("made_at", "id"):
        own = folder / str(workshop.id)
        path = _due(workshop, at, own)
        if path is not None:
            try:
                _make(workshop, path, at, pictures and pictures / str(workshop.id))
            except Busy:
                continue
            except (OSError, DatabaseError) as failed:
                _note(own, at, failed)
                log.error("no backup", workshop=str(workshop.id), why=str(failed)[:200])
                continue
            made.append(path)
    return made


def care(workshop: Workshop, at: datetime, folder: Path) -> Care:
    """How the backups of a workshop stand, by what lies on the disk."""
    own = folder / str(workshop.id)
    files = [KeptFile(day, path.stat().st_size) for day, path in by_day(own).items()]
    files.sort(key=lambda one: one.day, reverse=True)
    newest_at = night(workshop, files[0].day) if files else None
    free = _free(folder)
    wanted = max(LEAST_FREE, ROOM * (files[0].size if files else 0))
    why = _said(own)
    wrong = {
        "disk_low": free < wanted,
        "none_yet": newest_at is None and at - workshop.made_at > OLD,
        "old": newest_at is not None and at - newest_at > OLD,
        "failed": bool(why),
    }
    keys = tuple(key for key, holds in wrong.items() if holds)
    return Care(tuple(files), newest_at, free, wanted, keys, why)


def _due(workshop: Workshop, at: datetime, own: Path) -> Path | None:
    """The file of the last night, where it lacks and was not just tried."""
    day = at.astimezone(workshop.tz).date()
    if at < night(workshop, day):
        day -= timedelta(days=1)
    path = own / f"{day.isoformat()}.zip"
    if workshop.made_at >= night(workshop, day) or path.exists():
        return None
    tried_at = _tried_at(own)
    just_tried = tried_at is not None and abs(at - tried_at) < TRY_AGAIN
    return None if just_tried else path


def night(workshop: Workshop, day: date) -> datetime:
    """When the backup of a day is due."""
    return datetime.combine(day, NIGHT, workshop.tz)


def _make(workshop: Workshop, path: Path, at: datetime, pictures: Path | None) -> None:
    hold_room(path.parent)
    write_file(workshop, path, at, pictures)
    (path.parent / FAILED).unlink(missing_ok=True)
    there = by_day(path.parent)
    for day in there.keys() - kept(there):
        there[day].unlink(missing_ok=True)


def hold_room(own: Path) -> None:
    """Refuse to write one where there is hardly room for two of the largest.

    Raises:
        OSError: there is not.
    """
    sizes = [one.stat().st_size for one in by_day(own).values()]
    if _free(own) < 2 * max(sizes, default=0) + LEAST_FREE // 8:
        raise OSError("the disk is nearly full")


def by_day(own: Path) -> dict[date, Path]:
    """The nightly backups in a folder by their days; whatever else lies there is left alone."""
    found = {}
    for path in own.glob("????-??-??.zip"):
        try:
            found[date.fromisoformat(path.stem)] = path
        except ValueError:
            continue
    return found


def _free(folder: Path) -> int:
    while not folder.exists():
        folder = folder.parent
    return shutil.disk_usage(folder).free


def _note(own: Path, at: datetime, failed: Exception) -> None:
    """Leave a note of what failed; where even that cannot be written, the log has it."""
    try:
        own.mkdir(mode=0o700, parents=True, exist_ok=True)
        said = f"{at.isoformat()} {type(failed).__name__}: {failed}"
        (own / FAILED).write_text(said[:500], "utf-8")
    except OSError:
        log.error("no note of it either", folder=str(own))


def _tried_at(own: Path) -> datetime | None:
    """When the last try failed, if it did."""
    try:
        return datetime.fromisoformat(_said(own).partition(" ")[0])
    except ValueError:
        return None


def _said(own: Path) -> str:
    try:
        return (own / FAILED).read_text("utf-8", "replace")
    except OSError:
        return ""
