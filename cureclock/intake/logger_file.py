"""A logger's file comes in: kept aside, looked at, agreed to, then taken part by part.

Each part is a transaction of its own with how far it has come, so that after anything it goes on
where it was; the same file again, or the same row, is one fact.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict
from datetime import datetime, timedelta
from hashlib import sha256
from operator import attrgetter
from pathlib import Path
from typing import BinaryIO
from uuid import UUID, uuid5

from django.conf import settings
from django.db import transaction
from django.db.models import QuerySet

from cureclock.actions import find
from cureclock.actions.readings_taken import readings_taken
from cureclock.intake.logger_guess import Guess, guess
from cureclock.intake.logger_rows import BadRow, Row, Rows
from cureclock.intake.logger_scan import MOST_FAULTS, scan, with_course
from cureclock.intake.logger_text import lines_of
from cureclock.shop.happening import Teller
from cureclock.shop.logger_shape import FileLook, FileShape, RowFault, RowRead, Seen
from cureclock.shop.models import LoggerFile, Sensor
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.shop.refusals import NotHere, Refusal

PART_BYTES = 600_000  # some twenty thousand rows: a second of work or less
MOST_BYTES = 32 * 1024 * 1024  # a year of one-minute rows is half of that
MOST_WAITING = 20  # files of one workshop that nobody has taken in yet
KEPT = timedelta(days=7)  # aside, until somebody agrees
SHOWN = 5  # rows, as they stand in the file
SHOWN_WIDTH = 200


def folder() -> Path:
    """Where files wait until they are taken in."""
    path = Path(settings.CURECLOCK_VAR) / "logger-files"
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def offer(by: Teller, sensor: UUID, name: str, content: bytes, at: datetime) -> Seen:
    """Keep a file aside, and say how it would be read; the same bytes are the same file."""
    by.must_record()
    of = find.sensor(by.workshop, sensor)
    if len(content) > MOST_BYTES:
        wrong = f"is larger than {MOST_BYTES // 2**20} MB"
        raise Refusal("file", wrong, "cut it into years", "too_big")
    lines = lines_of(content)
    found = guess(lines, by.workshop.zone)
    text = "\n".join(lines).encode("utf-8", "replace")
    ident = uuid5(of.id, sha256(content).hexdigest())
    file = _kept_aside(by, of, ident, name=name, size=len(text), at=at)
    if file.done_at is None:
        _path(file.id).write_bytes(text)
    return file, _look(found.shape, lines, found)


def look(by: Teller, ident: UUID, shape: FileShape | None) -> Seen:
    """How a file would be read by another shape; none: by the one agreed to, else by the guess."""
    file = _one(by, ident)
    lines = _text(file).split("\n")
    if shape is None and file.shape is None:
        found = guess(lines, by.workshop.zone)
        return file, _look(found.shape, lines, found)
    return file, _look(shape or FileShape.of(file.shape or {}), lines)


def drop(by: Teller, ident: UUID) -> None:
    """A file is not wanted; what came in of it already stays."""
    by.must_record()
    file = _one(by, ident)
    if file.done_at is None:
        file.delete()
    _path(ident).unlink(missing_ok=True)


def tidy(at: datetime) -> int:
    """Let go of files that nobody has agreed to for a week; how many."""
    oldest_s, gone = (at - KEPT).timestamp(), 0
    for path in folder().glob("*.csv"):
        with suppress(FileNotFoundError):  # another process tidies as well
            if path.stat().st_mtime < oldest_s:
                path.unlink()
                gone += 1
    LoggerFile.objects.filter(done_at=None, row=0, made_at__lt=at - KEPT).delete()
    return gone


def _kept_aside(
    by: Teller, sensor: Sensor, ident: UUID, *, name: str, size: int, at: datetime
) -> LoggerFile:
    waiting = LoggerFile.objects.filter(workshop=by.workshop, done_at=None).exclude(id=ident)
    if waiting.count() >= MOST_WAITING:
        wrong = f"{MOST_WAITING} files wait already"
        raise Refusal("file", wrong, "take them in, or drop those that are not wanted")
    file, _ = LoggerFile.objects.get_or_create(
        id=ident,
        defaults={
            "workshop": by.workshop,
            "sensor": sensor,
            "person": by.person,
            "phone": by.phone,
            "name": name[:120],
            "size": size,
            "made_at": at,
        },
    )
    return file


def _look(shape: FileShape, lines: Sequence[str], found: Guess | None = None) -> FileLook:
    seen = scan(with_course(shape, lines), lines)
    first = [line for line in lines[shape.first_row :] if line.strip()][:SHOWN]
    return FileLook(
        shape=seen.shape,
        columns=found.columns if found else (),
        why=found.why if found else {},
        asked=(*(found.asked if found else ()), *seen.asked),
        lines=tuple(line[:SHOWN_WIDTH] for line in first),
        rows=seen.rows,
        bad=seen.bad,
        first=tuple(RowRead(one.number + 1, *one[1:]) for one in seen.first),
        faults=tuple(map(fault, seen.faults)),
        first_at=seen.first_at,
        last_at=seen.last_at,
    )


def take_part(by: Teller, ident: UUID, shape: FileShape | None, at: datetime) -> LoggerFile:
    """Take in the next part of a file; the first part says by which shape."""
    by.must_record()
    with transaction.atomic():
        file = _one(by, ident, LoggerFile.objects.select_for_update(of=("self",)))
        if file.done_at is None:
            _agree(file, shape)
            _take(by, file, at)
            file.save()
    if file.done_at is not None:
        _path(file.id).unlink(missing_ok=True)
    return file


def _agree(file: LoggerFile, shape: FileShape | None) -> None:
    told = None if shape is None else shape.plain()
    if file.shape is None and told is None:
        raise Refusal("shape", "nobody has said how the file is read", "look at it, and agree")
    if told is not None and file.shape != told:
        if file.row:
            wrong = "half of the file was read in another way"
            raise Refusal("shape", wrong, "go on as it was begun, or strike out what came in")
        file.shape = told


def _take(by: Teller, file: LoggerFile, at: datetime) -> None:
    reader = Rows(FileShape.of(file.shape or {}), file.reading)
    with _open(file) as content:
        content.seek(file.byte)
        lines = content.readlines(PART_BYTES)
        file.byte = content.tell()
        ended = content.read(1) == b""
    good: list[Row] = []
    bad: list[BadRow] = []
    for one in reader.read(
        (line.decode("utf-8", "replace").rstrip("\n") for line in lines), file.row
    ):
        (good if isinstance(one, Row) else bad).append(one)  # type: ignore[arg-type]
    sensor = Sensor.objects.select_related("place__workshop").get(id=file.sensor_id)
    said = [ReadingSaid(id_of(sensor.id, row.at), row.at, row.temp_c, row.rh_pct) for row in good]
    kept = readings_taken(by, sensor.place, said, at, sensor, ids_of_instants=True)
    bad += [BadRow(good[one.row].number, one.why) for one in kept.refused]
    bad.sort(key=attrgetter("number"))
    file.row += len(lines)
    file.kept += kept.new
    file.known += kept.known
    file.refused += len(bad)
    file.faults = [*file.faults, *(asdict(fault(one)) for one in bad)][:MOST_FAULTS]
    file.reading = reader.kept()
    file.done_at = at if ended else None


def fault(one: BadRow) -> RowFault:
    """A bad row as it is told."""
    return RowFault(one.number + 1, one.why.field, one.why.wrong, one.why.mend)


def _one(by: Teller, ident: UUID, rows: QuerySet[LoggerFile] | None = None) -> LoggerFile:
    every = LoggerFile.objects.all() if rows is None else rows
    file = every.select_related("sensor__place").filter(workshop=by.workshop, id=ident).first()
    if file is None:
        raise NotHere("file")
    return file


def _path(ident: UUID) -> Path:
    return folder() / f"{ident}.csv"


def _open(file: LoggerFile) -> BinaryIO:
    try:
        return _path(file.id).open("rb")
    except FileNotFoundError as error:
        wrong = "the file is no longer kept aside here"
        raise Refusal(
            "file", wrong, "choose it again; what came in already is known", "lost"
        ) from error


def _text(file: LoggerFile) -> str:
    with _open(file) as content:
        return content.read().decode("utf-8", "replace")
