"""What is said of a logger's file: how it is read, how it looks when read so, how far it has come."""

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from datetime import datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from cureclock.shop.models import LoggerFile
from cureclock.shop.refusals import Refusal

OFFSET = re.compile(r"^(?:UTC|GMT)?\s*([+-])(\d{1,2}):?(\d{2})?$", re.IGNORECASE)
SEPARATORS = (";", "\t", ",", "|")
ORDERS = ("ymd", "dmy", "mdy")
EPOCH = "epoch"
TOLD = "told"  # each row says its own offset from UTC
REPEATED = ("", "derived", "first", "second")


@dataclass(frozen=True)
class FileShape:
    """How a file is read.

    Attributes:
        separator, decimal: of columns, of figures.
        first_row: the first row with a reading, from nought.
        at, clock: columns of the time, and of the time of day where it stands apart.
        temp, rh: columns of temperature and humidity.
        order: of year, month and day, or "epoch".
        fahrenheit: what the temperatures are in.
        zone: of the logger's clock; "told" where each row says its own offset.
        repeated: what is made of the hour that comes twice in autumn.
        newest_first: the rows go back in time.
        step_s: between two rows, as a rule [s].
    """

    separator: str
    decimal: str
    first_row: int
    at: int
    temp: int
    order: str
    zone: str
    clock: int | None = None
    rh: int | None = None
    fahrenheit: bool = False
    repeated: str = ""
    newest_first: bool = False
    step_s: int = 0

    def __post_init__(self) -> None:
        known = {
            "separator": self.separator in SEPARATORS,
            "decimal": self.decimal in (".", ","),
            "order": self.order in (*ORDERS, EPOCH),
            "repeated": self.repeated in REPEATED,
        }
        for name in ("first_row", "at", "temp", "step_s"):
            known[name] = 0 <= getattr(self, name) < 10**6
        for name in ("clock", "rh"):
            value = getattr(self, name)
            known[name] = value is None or 0 <= value < 10**6
        for name, good in known.items():
            if not good:
                raise Refusal(name, "is not known here", "choose one of those offered")
        if self.zone != TOLD:
            zone_of(self.zone)

    @classmethod
    def of(cls, told: Mapping[str, Any]) -> "FileShape":
        """A shape from plain data; Refusal where it is none."""
        names = {one.name for one in fields(cls)}
        try:
            return cls(**{name: value for name, value in told.items() if name in names})
        except (TypeError, AttributeError) as error:
            raise Refusal("shape", "is not whole", "look at the file, and agree") from error

    @classmethod
    def agreed(cls, file: LoggerFile) -> "FileShape | None":
        """What was agreed to for a file; None where nothing was, or what came back is none."""
        try:
            return None if file.shape is None else cls.of(file.shape)
        except Refusal:
            return None

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return asdict(self)


@lru_cache(maxsize=64)
def zone_of(name: str) -> tzinfo:
    """A zone by its name, or by its offset from UTC such as +01:00."""
    found = OFFSET.match(name.strip())
    if found:
        apart = timedelta(hours=int(found[2]), minutes=int(found[3] or 0))
        if apart <= timedelta(hours=14):
            return timezone(apart if found[1] == "+" else -apart)
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, LookupError) as error:
        mend = "name one such as Europe/Lisbon, or an offset such as +01:00"
        raise Refusal("zone", f"{name[:60]} is no zone", mend) from error


@dataclass(frozen=True)
class RowRead:
    """A row that is a reading; rows are counted from one, as an editor counts them."""

    row: int
    at: datetime
    temp_c: float
    rh_pct: float | None


@dataclass(frozen=True)
class RowFault:
    """A row that was not taken, and why."""

    row: int
    field: str
    wrong: str
    mend: str


@dataclass(frozen=True)
class FileLook:
    """How a file would be read, for somebody to agree to or to correct.

    Attributes:
        shape: how; of a new file a guess.
        columns: their names, empty where the file has none.
        why: of order, fahrenheit and zone what a guess rests on: `file`, `values`, `workshop` or
            `nothing`.
        asked: what only a person can tell: `order`, `repeated`.
        lines: its first rows as they stand in it.
        rows, bad: how many would be readings, how many not.
        first, faults: the first of each.
        first_at, last_at: from when to when it reaches.
    """

    shape: FileShape
    columns: tuple[str, ...]
    why: Mapping[str, str]
    asked: tuple[str, ...]
    lines: tuple[str, ...]
    rows: int
    bad: int
    first: tuple[RowRead, ...]
    faults: tuple[RowFault, ...]
    first_at: datetime | None
    last_at: datetime | None


Seen = tuple[LoggerFile, FileLook]  # a file kept aside, and how it would be read
