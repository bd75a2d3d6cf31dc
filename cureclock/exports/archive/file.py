"""An archive as a file: there whole or not at all, and readable by its owner alone."""

import os
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cureclock.exports.archive.manifest import Manifest
from cureclock.exports.archive.write import write_archive
from cureclock.shop.models import Workshop

ABANDONED = timedelta(hours=6)  # no backup takes so long: whoever began it is gone


class Busy(Exception):
    """Somebody else is writing this very file."""


def write_file(
    workshop: Workshop, path: Path, at: datetime, pictures: Path | None = None
) -> Manifest:
    """Write an archive beside its name first, and give it its name when it is whole and on disk.

    Raises:
        Busy: another process is at it.
        OSError: there is no room, or the folder cannot be written.
    """
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.part")
    _drop_abandoned(part, at)
    try:
        number = os.open(part, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise Busy from None
    try:
        with os.fdopen(number, "w+b") as out:
            manifest = write_archive(workshop, out, at, pictures)
            out.flush()
            os.fsync(out.fileno())
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return manifest


def _drop_abandoned(part: Path, at: datetime) -> None:
    """What a process left that died while it wrote."""
    with suppress(OSError):
        begun = datetime.fromtimestamp(part.stat().st_mtime, UTC)
        if abs(at - begun) > ABANDONED:
            part.unlink()
