"""Rows of a logger's file by an agreed shape: each becomes a reading, or a reason why not."""

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

from cureclock.core.units import celsius_of_fahrenheit
from cureclock.intake.logger_times import Clock, local_time
from cureclock.shop.logger_shape import TOLD, FileShape, zone_of
from cureclock.shop.refusals import Refusal

LONGEST_LINE = 2000
MOST_DAYS = 5000  # kept at hand
NUMBER = re.compile(
    r"([-+\u2212]?\d+(?:[.,]\d+)?|[-+\u2212]?[.,]\d+)\s*(?:\u00b0?\s*[CF]|[\u2103\u2109]|%.*)?"
)
HOT_ROW = 200.0  # no thermometer says more, in either scale


class Row(NamedTuple):
    """A row that is a reading."""

    number: int
    at: datetime
    temp_c: float
    rh_pct: float | None


@dataclass(frozen=True)
class BadRow:
    """A row that is none, and why."""

    number: int
    why: Refusal


class Rows:
    """Reads rows one after the other; what it has to remember can be kept and given back."""

    def __init__(self, shape: FileShape, kept: Mapping[str, Any] | None = None) -> None:
        self.shape = shape
        self._days: dict[str, datetime | None] = {}
        kept = kept or {}
        before = kept.get("before")
        self.clock = Clock(
            zone_of("UTC" if shape.zone == TOLD else shape.zone),
            shape.repeated,
            timedelta(seconds=shape.step_s),
            shape.newest_first,
            datetime.fromisoformat(before) if before else None,
            kept.get("fold"),
        )

    def kept(self) -> dict[str, Any]:
        """What has to be remembered until the next row."""
        before = self.clock.before
        return {"before": before.isoformat() if before else None, "fold": self.clock.fold}

    def read(self, lines: Iterable[str], number: int) -> Iterator[Row | BadRow]:
        """Rows from a number on; empty ones are passed over."""
        for at, line in enumerate(lines, number):
            if at < self.shape.first_row or not line.strip():
                continue
            try:
                yield self._row(at, line)
            except Refusal as why:
                yield BadRow(at, why)

    def _row(self, number: int, line: str) -> Row:
        cells = cells_of(line, self.shape.separator)
        moment = self._quick(cells) or self.clock.instant(self._time(cells))
        temp = self._figure(cells, self.shape.temp)
        if temp is None or not -HOT_ROW <= temp <= HOT_ROW:
            raise Refusal(
                "temp", f"no temperature: {_shown(cells, self.shape.temp)}", "leave it out"
            )
        temp_c = round(celsius_of_fahrenheit(temp), 3) if self.shape.fahrenheit else temp
        rh = None if self.shape.rh is None else self._figure(cells, self.shape.rh)
        return Row(number, moment, temp_c, rh)

    def _quick(self, cells: list[str]) -> datetime | None:
        """The instant of a time written as most are, by its day, which many rows share."""
        shape = self.shape
        if shape.clock is None:
            day, gap, time = (
                cells[shape.at].partition(" ") if shape.at < len(cells) else ("", "", "")
            )
            if not gap:
                return None
        elif shape.clock < len(cells) and shape.at < len(cells):
            day, time = cells[shape.at], cells[shape.clock]
        else:
            return None
        if len(time) not in (5, 8) or time[2] != ":" or not time[:2].isdecimal():
            return None
        midnight = self._midnight(day)
        minute, second = time[3:5], time[6:8] or "0"
        if midnight is None or not (minute.isdecimal() and second.isdecimal()) or time[:2] > "23":
            return None
        after = int(time[:2]) * 3600 + int(minute) * 60 + int(second)
        self.clock.before, self.clock.fold = None, None
        return midnight + timedelta(seconds=after) if minute < "60" and second < "60" else None

    def _midnight(self, day: str) -> datetime | None:
        """The instant of a day's midnight; None where a clock was changed on it, or it is none."""
        if day not in self._days:
            if len(self._days) > MOST_DAYS:
                self._days.clear()
            try:
                moment = local_time(day, self.shape.order)
                steady = None if moment.tzinfo else self.clock.steady(moment)
            except (ValueError, LookupError, OverflowError, OSError, TypeError):
                steady = None
            self._days[day] = moment.replace(tzinfo=UTC) - steady if steady is not None else None
        return self._days[day]

    def _time(self, cells: list[str]) -> datetime:
        shape = self.shape
        try:
            text = cells[shape.at].strip()
            if shape.clock is not None:
                text = f"{text} {cells[shape.clock].strip()}"
            moment = local_time(text, shape.order)
        except (ValueError, LookupError, OverflowError, OSError, TypeError) as error:
            wrong = f"no time: {_shown(cells, shape.at)}"
            raise Refusal("at", wrong, "give it as the other rows do") from error
        if moment.tzinfo is None and shape.zone == TOLD:
            raise Refusal("at", "this time says no offset", "give it as the other rows do")
        return moment

    def _figure(self, cells: list[str], column: int) -> float | None:
        """A number; None where the cell says that there is none."""
        text = cells[column].strip() if column < len(cells) else ""
        value: float | None
        try:
            value = float(text.replace(",", ".") if self.shape.decimal == "," else text)
        except ValueError:
            value = figure_in(text)
        if value is not None and value - value != 0:  # not a number, or endless
            return None
        return value


def figure_in(text: str) -> float | None:
    """A number with its unit behind it; None where there is none."""
    found = NUMBER.fullmatch(text)
    return None if found is None else float(found[1].replace(",", ".").replace("\u2212", "-"))


def cells_of(line: str, separator: str) -> list[str]:
    """The cells of one line; a quote that is never closed reaches no further than the line."""
    if len(line) > LONGEST_LINE:
        raise Refusal("row", "the row is endless", "look whether this is a logger's file")
    if '"' not in line:
        return line.split(separator)
    return next(csv.reader((line,), delimiter=separator, skipinitialspace=True), [])


def _shown(cells: list[str], column: int) -> str:
    return (
        (cells[column].strip()[:40] or "an empty cell") if column < len(cells) else "no such column"
    )
