"""The air of a place as it is shown: its last word, what was read lately, what is expected."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.stance import Stance
from cureclock.core.timeline import GRID_US, Air, Mark
from cureclock.core.units import DAY_US, SECOND_US, instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages

RECENT = timedelta(hours=48)
EXPECTED = timedelta(hours=24)
AHEAD_DAYS = 2  # the span of a clock that is built anyway, so that its air is at hand
LABEL_C = 20.0  # where nothing was ever read there is nothing to expect, and nothing is shown


@dataclass(frozen=True)
class ReadingShown:
    """The last word from a place."""

    at: datetime
    temp_c: float
    rh_pct: float | None
    mark: str
    age_s: int


@dataclass(frozen=True)
class PlaceShown:
    """A place with its air.

    Attributes:
        reading: its last word, none before any.
        expected: [when, degC, % or none] half-hourly over the next day; never measured.
        recent: [when, degC, mark] over the last two days.
    """

    id: UUID
    name: str
    reading: ReadingShown | None
    expected: tuple[tuple[datetime, float, float | None], ...]
    recent: tuple[tuple[datetime, float, str], ...]


def place_shown(place: Place, ages: Ages, at: datetime) -> PlaceShown:
    """One place with its air."""
    readings = ages.air(place).readings
    now_us = instant_us(at)
    if not len(readings):
        return PlaceShown(place.id, place.name, None, (), ())
    late = np.flatnonzero(readings.at_us >= instant_us(at - RECENT))
    marks = [mark_name(mark) for mark in readings.mark[late].tolist()]
    recent = tuple(
        (moment_of(us), temp_c, mark)
        for us, temp_c, mark in zip(
            readings.at_us[late].tolist(), readings.temp_c[late].tolist(), marks, strict=True
        )
    )
    last = ReadingShown(
        at=moment_of(int(readings.at_us[-1])),
        temp_c=float(readings.temp_c[-1]),
        rh_pct=_or_none(float(readings.rh_pct[-1])),
        mark=mark_name(int(readings.mark[-1])),
        age_s=max(now_us - int(readings.at_us[-1]), 0) // SECOND_US,
    )
    return PlaceShown(place.id, place.name, last, _expected(place, ages, now_us), recent)


def mark_name(mark: int) -> str:
    """Where a value comes from, in a word."""
    return Mark(mark).name.lower()


def _expected(
    place: Place, ages: Ages, now_us: int
) -> tuple[tuple[datetime, float, float | None], ...]:
    line = ages.line(place, LABEL_C, ages.until_us + AHEAD_DAYS * DAY_US, Stance.LIKELY)
    first = now_us // GRID_US + 1
    at_us = (first + np.arange(EXPECTED // timedelta(minutes=30))) * GRID_US
    damp = _damp_at(line, at_us)
    return tuple(
        (moment_of(us), round(temp_c, 2), None if rh is None else round(rh, 1))
        for us, temp_c, rh in zip(
            at_us.tolist(), line.temp_at(at_us).tolist(), map(_or_none, damp), strict=True
        )
    )


def _damp_at(line: Air, at_us: NDArray[np.int64]) -> list[float]:
    damp: list[float] = np.interp(at_us, line.at_us, line.rh_pct).tolist()
    return damp


def _or_none(value: float) -> float | None:
    return None if np.isnan(value) else value
