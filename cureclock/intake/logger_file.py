"""A logger's file comes in: kept aside, looked at, agreed to, then taken part by part.

Each part is a transaction of its own with how far it has come, so that after anything it goes on
where it was; the same file again, or the same row, is one fact.
"""

from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO
from uuid import UUID, uuid5

from django.conf import settings
from django.db import transaction

from cureclock.actions.readings_taken import readings_taken
from cureclock.intake.logger_guess import Guess, guess
from cureclock.intake.logger_rows import BadRow, FileShape, Row, Rows
from cureclock.intake.logger_scan import MOST_FAULTS, Scan, scan, with_course
from cureclock.intake.logger_text import lines_of
from cureclock.shop.happening import Teller
from cureclock.shop.models import LoggerFile, Sensor
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.shop.refusals import NotHere, Refusal

PART_BYTES = 600_000  # some twenty thousand rows: a second of work or less
MOST_BYTES = 64 * 1024 * 1024


def folder() -> Path:
    """Where files wait until they are taken in."""
    path = Path(settings.CURECLOCK_VAR) / "logger-files"
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def offer(
    by: Teller, sensor: Sensor, name: str, content: bytes, at: datetime
) -> tuple[LoggerFile, Guess, Scan]:
    """Keep a file aside, and say how it would be read; the same bytes are the same file."""
    by.must_record()
    if len(content) > MOST_BYTES:
        raise Refusal("file", "is larger than 64 MB", "cut it into years", "too_big")
    lines = lines_of(content)
    found = guess(lines, by.workshop.zone)
    seen = scan(with_course(found.shape, lines), lines)
    ident = uuid5(sensor.id, sha256(content).hexdigest())
    _path(ident).write_text("\n".join(lines), encoding="utf-8")
    file, _ = LoggerFile.objects.get_or_create(
        id=ident,
        defaults={
            "workshop": by.workshop,
            "sensor": sensor,
            "person": by.person,
            "phone": by.phone,
            "name": name[:120],
            "size": len(content),
            "made_at": at,
        },
    )
    return file, found, seen


def look(file: LoggerFile, shape: FileShape) -> Scan:
    """How a file would be read by another shape."""
    lines = _text(file).split("\n")
    return scan(with_course(shape, lines), lines)


def take_part(by: Teller, ident: UUID, shape: FileShape | None, at: datetime) -> LoggerFile:
    """Take in the next part of a file; the first part says by which shape."""
    by.must_record()
    with transaction.atomic():
        rows = LoggerFile.objects.select_for_update().filter(workshop=by.workshop, id=ident)
        file = rows.first()
        if file is None:
            raise NotHere("file")
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
    kept, _ = readings_taken(by, sensor.place, said, at, sensor, ids_of_instants=True)
    bad += [BadRow(good[one.row].number, one.why) for one in kept.refused]
    file.row += len(lines)
    file.kept += kept.new
    file.known += kept.known
    file.refused += len(bad)
    file.faults = [*file.faults, *(fault(one) for one in bad)][:MOST_FAULTS]
    file.reading = reader.kept()
    file.done_at = at if ended else None


def fault(one: BadRow) -> dict[str, Any]:
    """A bad row as it is told: rows are counted from one, as an editor counts them."""
    return {
        "row": one.number + 1,
        "field": one.why.field,
        "wrong": one.why.wrong,
        "mend": one.why.mend,
    }


def row_plain(row: Row) -> dict[str, Any]:
    """A row as it is shown."""
    return {**row._asdict(), "number": row.number + 1}


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
