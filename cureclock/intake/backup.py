"""Reading an archive: nothing in it is believed before it was looked at, piece by piece."""

import hashlib
import json
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import IO, Any, NoReturn
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from cureclock.exports.archive.manifest import (
    FORM,
    MOST_BYTES,
    NAME,
    Manifest,
    Member,
    knows_migration,
)
from cureclock.shop.refusals import Refusal

ENCRYPTED = 0x1  # bit of a member's flags (PKWARE's application note on .ZIP files)
LONGEST_LINE = 32 * 1024 * 1024
COPIED = 1024 * 1024
SPOILT = (
    BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    RuntimeError,  # a member packed in a way, or nested so deep, that nobody here can read
    OverflowError,
    OSError,
    LookupError,
    TypeError,
    ValueError,  # bytes that are no text too
)
TAKE_ANOTHER = "take another copy of the backup, or an older one"


def refuse(wrong: str, mend: str = TAKE_ANOTHER) -> NoReturn:
    """This archive is not taken."""
    raise Refusal("backup", wrong, mend, "backup")


@contextmanager
def spoilt_is_refused(what: str) -> Iterator[None]:
    """Whatever a broken file makes its reader stumble over is said as one sentence."""
    try:
        yield
    except SPOILT as stumbled:
        raise Refusal(
            "backup", f"{what} ({type(stumbled).__name__})", TAKE_ANOTHER, "backup"
        ) from (stumbled)


class Backup:
    """An archive that was opened and says who made it; its members are still to be looked at.

    Args:
        file: the archive; has to be able to seek.

    Raises:
        Refusal: no archive of ours, cut short, or made by a newer program.
    """

    def __init__(self, file: IO[bytes]) -> None:
        with spoilt_is_refused("this is no backup, or it was cut short"):
            self._archive = ZipFile(file)
            self._infos = self._listed()
        with spoilt_is_refused("what it says of itself cannot be read"):
            self.manifest = Manifest.from_json(self._small(NAME))
        self._same_program()
        self.members = {member.name: member for member in self.manifest.members}
        if self.members.keys() | {NAME} != self._infos.keys():
            refuse("it does not hold what it says it holds")

    def check(self) -> None:
        """Look at every byte of every member, before anything is written."""
        for member in self.members.values():
            safe_name(member.name)
            with spoilt_is_refused(f"{member.name} cannot be read"):
                for _ in self.pieces(member):
                    pass

    def pieces(self, member: Member) -> Iterator[bytes]:
        """A member piece by piece; refused at the end where it is not what the manifest says."""
        digest, size = hashlib.sha256(), 0
        with self._archive.open(self._infos[member.name]) as file:
            while piece := file.read(COPIED):
                digest.update(piece)
                size += len(piece)
                if size > member.size:
                    break
                yield piece
        if size != member.size or digest.hexdigest() != member.digest:
            refuse(f"{member.name} was changed after the backup was made")

    def rows(self, name: str) -> Iterator[dict[str, Any]]:
        """The rows of a table, one at a time; none where the archive has no such table."""
        member = self.members.get(name)
        if member is None:
            return
        number = 0
        for line in self._lines(member):
            number += 1
            with spoilt_is_refused(f"{name}, line {number} cannot be read"):
                row = json.loads(line)
            if not isinstance(row, dict):
                refuse(f"{name}, line {number} is no row")
            yield row
        if number != member.rows:
            refuse(f"{name} has {number} rows instead of {member.rows}")

    def _lines(self, member: Member) -> Iterator[bytes]:
        rest = b""
        for piece in self.pieces(member):
            *whole, rest = (rest + piece).split(b"\n")
            if len(rest) > LONGEST_LINE:
                refuse(f"{member.name} has a line that is too long")
            yield from whole
        if rest:
            refuse(f"{member.name} ends in the middle of a line")

    def _listed(self) -> dict[str, ZipInfo]:
        infos = self._archive.infolist()
        found = {info.filename: info for info in infos}
        if len(found) < len(infos):
            raise BadZipFile("a name comes twice")
        for info in infos:
            if info.flag_bits & ENCRYPTED or info.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
                raise BadZipFile("packed in a way that no backup is")
        return found

    def _small(self, name: str) -> bytes:
        with self._archive.open(self._infos[name]) as file:
            read = file.read(MOST_BYTES + 1)
        if len(read) > MOST_BYTES:
            raise ValueError("too long")
        return read

    def _same_program(self) -> None:
        """Refuse what a newer program made: it may mean something that this one does not know."""
        newer = [
            f"{app} {name}"
            for app, name in self.manifest.migrations.items()
            if not knows_migration(app, name)
        ]
        if self.manifest.form > FORM or newer:
            refuse(
                "it was made by a newer version of CureClock",
                "bring this one up to date, then restore it",
            )


def safe_name(name: str) -> PurePosixPath:
    """The path of a member, if it stays where it is put."""
    path = PurePosixPath(name)
    odd = "\\" in name or "\0" in name or ":" in name or not name or len(name) > 400
    if odd or path.is_absolute() or ".." in path.parts or str(path) != name:
        refuse(f"it holds a file with a name that leads elsewhere, {name[:60]!r}")
    return path


@contextmanager
def opened(path: Path) -> Iterator[Backup]:
    """An archive on disk, opened."""
    try:
        file = path.open("rb")
    except OSError as missing:
        raise Refusal(
            "backup", f"{path} cannot be opened: {missing.strerror}", "name a file", "backup"
        ) from missing
    with file:
        yield Backup(file)
