"""The backups of a workshop that lie on the disk, by name; and one more, for an owner who asks.

What was asked for lies beside the nightly ones and is no part of their rotation: the newest few
stay, so that asking often cannot fill the disk.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from cureclock.exports.archive.file import Busy, write_file
from cureclock.exports.nightly import by_day, hold_room, night
from cureclock.shop.happening import Teller
from cureclock.shop.models import Workshop
from cureclock.shop.refusals import NotHere, Refusal

ASKED = "asked-%Y%m%dT%H%MZ.zip"  # to the minute: asked twice within one, it is the same
MOST_ASKED = 3  # our choice


@dataclass(frozen=True)
class KeptBackup:
    """One backup on the disk; `nightly` is false where somebody asked for it."""

    name: str
    made_at: datetime
    size_bytes: int
    nightly: bool


def backups_kept(workshop: Workshop, folder: Path) -> tuple[KeptBackup, ...]:
    """What there is of a workshop, the newest first."""
    own = folder / str(workshop.id)
    nightly = [(path, night(workshop, day), True) for day, path in by_day(own).items()]
    asked = [(path, at, False) for at, path in _asked(own).items()]
    told = [KeptBackup(path.name, at, path.stat().st_size, by) for path, at, by in nightly + asked]
    return tuple(sorted(told, key=lambda one: (one.made_at, one.name), reverse=True))


def backup_now(*, by: Teller, at: datetime, folder: Path, pictures: Path) -> None:
    """Make one for an owner who asks, and let go of those that were asked for long before."""
    by.must_own()
    own = folder / str(by.workshop.id)
    path = own / at.astimezone(UTC).strftime(ASKED)
    if path.exists():
        return
    try:
        hold_room(own)
        write_file(by.workshop, path, at, pictures / str(by.workshop.id))
    except Busy as busy:
        wrong = "one is being made at this very moment"
        raise Refusal("backup", wrong, "look again in a minute", "clash") from busy
    except OSError as failed:
        wrong = f"could not be written: {failed.strerror or failed}"
        raise Refusal("backup", wrong, "make room on the disk of the shed's machine") from failed
    asked = _asked(own)
    for old in sorted(asked, reverse=True)[MOST_ASKED:]:
        asked[old].unlink(missing_ok=True)


def backup_file(*, by: Teller, name: str, folder: Path) -> Path:
    """Where the one of this name lies: only of those that are told, and only for an owner."""
    by.must_own()
    if name not in {one.name for one in backups_kept(by.workshop, folder)}:
        raise NotHere("name")
    return folder / str(by.workshop.id) / name


def _asked(own: Path) -> dict[datetime, Path]:
    """Those that somebody asked for, by when they were made; whatever else lies there is left alone."""
    found = {}
    for path in own.glob("asked-*.zip"):
        try:
            found[datetime.strptime(path.name, ASKED).replace(tzinfo=UTC)] = path
        except ValueError:
            continue
    return found
