"""A whole logger's file looked through before anything is kept: how much, from when, what is odd."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median

from cureclock.intake.logger_rows import BadRow, Row, Rows, cells_of
from cureclock.intake.logger_times import came_twice, local_time, turns
from cureclock.shop.logger_shape import EPOCH, TOLD, FileShape, zone_of
from cureclock.shop.refusals import Refusal

MOST_FAULTS = 500  # told row by row; beyond them only how many
SHOWN = 5
STEPS = 2000  # between the first rows, from which the usual one is taken


@dataclass
class Scan:
    """What is in a file, read by a shape.

    Attributes:
        shape: with what only the whole file tells: its step, its direction, the repeated hour.
        asked: what it leaves open and somebody has to say.
        rows, bad: how many are readings, how many are not.
        first: the first readings.
        faults: the first bad rows.
    """

    shape: FileShape
    asked: list[str] = field(default_factory=list)
    rows: int = 0
    bad: int = 0
    first: list[Row] = field(default_factory=list)
    faults: list[BadRow] = field(default_factory=list)
    first_at: datetime | None = None
    last_at: datetime | None = None


def with_course(shape: FileShape, lines: Sequence[str]) -> FileShape:
    """The shape with its step and direction, from the clock's own times of the first rows."""
    times = list(_clock_times(shape, lines[shape.first_row : shape.first_row + STEPS]))
    if len(times) < 2:
        return shape
    steps = [(b - a).total_seconds() for a, b in pairwise(times)]
    usual = median(steps)
    return replace(shape, step_s=round(min(abs(usual), 86400)), newest_first=usual < 0)


def scan(shape: FileShape, lines: Sequence[str]) -> Scan:
    """Look through all the rows; nothing is kept."""
    found = Scan(shape)
    if shape.order != EPOCH and shape.zone != TOLD and not shape.repeated:
        repeated = _repeated(shape, lines)
        found.shape = replace(shape, repeated="derived" if repeated == "derived" else "")
        found.asked += ["repeated"] if repeated == "asked" else []
    for one in Rows(found.shape).read(lines, 0):
        if isinstance(one, BadRow):
            found.bad += 1
            if len(found.faults) < MOST_FAULTS:
                found.faults.append(one)
            continue
        found.rows += 1
        if len(found.first) < SHOWN:
            found.first.append(one)
        if found.first_at is None or found.last_at is None:
            found.first_at = found.last_at = one.at
        elif one.at < found.first_at:
            found.first_at = one.at
        elif one.at > found.last_at:
            found.last_at = one.at
    return found


def _clock_times(shape: FileShape, lines: Iterable[str]) -> Iterable[datetime]:
    """Times as the logger's clock showed them, of the rows that have one."""
    for line in lines:
        try:
            cells = cells_of(line, shape.separator)
            text = cells[shape.at].strip()
            apart = "" if shape.clock is None else f" {cells[shape.clock].strip()}"
            yield local_time(text + apart, shape.order).replace(tzinfo=None)
        except (ValueError, LookupError, OverflowError, TypeError, OSError, Refusal):
            continue


def _repeated(shape: FileShape, lines: Sequence[str]) -> str:
    """Whether the hour that came twice is in the file, and whether the order of rows tells it.

    "" where it is not there; "derived" where each time the clock is seen to be put back; else
    "asked".
    """
    zone, step = zone_of(shape.zone), timedelta(seconds=shape.step_s)
    days = _days_of_change(shape, lines)
    told: dict[str, list[datetime]] = {}
    for line in lines:
        if days and any(day in line for day in days):
            for moment in _clock_times(shape, [line]):
                if came_twice(moment, zone):
                    told.setdefault(str(moment.date()), []).append(moment)
    put_back = [
        sum(turns(a, b, step, shape.newest_first) for a, b in pairwise(times))
        for times in told.values()
    ]
    if not told:
        return ""
    return "derived" if all(count == 1 for count in put_back) else "asked"


def _days_of_change(shape: FileShape, lines: Sequence[str]) -> set[str]:
    """How the days on which an hour came twice are written in this file."""
    zone, found = zone_of(shape.zone), set()
    seen: set[str] = set()
    for line in lines[shape.first_row :]:
        text = line.split(shape.separator)[shape.at : shape.at + 1]
        day = text[0].strip()[:11] if text else ""
        if not day or day in seen:
            continue
        seen.add(day)
        for moment in _clock_times(shape, [line]):
            midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
            hours = (midnight + timedelta(hours=hour / 2) for hour in range(48))
            if any(came_twice(hour, zone) for hour in hours):
                found.add(day)
    return found
