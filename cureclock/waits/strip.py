"""The night strip of a wait: its air from left to right, the nights in it, and where its gates lie."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.waits.ages import Ages
from cureclock.waits.air_shown import mark_name
from cureclock.waits.current import Rung
from cureclock.waits.groups import SILENT
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Leg, Wait

EVENING, MORNING = time(20), time(8)  # a night, as elsewhere in the shop
LONGEST = timedelta(days=14)  # a strip of more days shows nothing any more
LEAST = timedelta(hours=12)
MOST_POINTS = 300
LEVEL_C = 20.0


@dataclass(frozen=True)
class MarkShown:
    """Where a figure of a gate lies: bare, not_before, not_after, warn or sure."""

    kind: str
    figure: str
    at: datetime


@dataclass(frozen=True)
class Strip:
    """What is drawn.

    Attributes:
        temps: [when, degC, mark of the leg from there on].
        nights: [from, to], 20:00 to 08:00 by the shop's own clock.
    """

    from_: datetime
    to: datetime
    temps: tuple[tuple[datetime, float, str], ...]
    nights: tuple[tuple[datetime, datetime], ...]
    marks: tuple[MarkShown, ...]


def strip(
    wait: Wait, rungs: Sequence[Rung], stays: Sequence[Leg], ages: Ages, zone: ZoneInfo
) -> Strip:
    """The strip of one wait, from its start to the last gate that fits on it."""
    now = moment_of(ages.until_us)
    start = max(wait.began_at, ages.since)
    marks = tuple(sorted(_marks(rungs), key=lambda mark: mark.at))
    reach = start + LONGEST
    last = max((mark.at for mark in marks if mark.at <= reach), default=start)
    end = min(max(last, now, start + LEAST), max(reach, now))
    return Strip(
        from_=start,
        to=end,
        temps=tuple(_temps(stays, ages, start, end)),
        nights=tuple(_nights(start, end, zone)),
        marks=tuple(mark for mark in marks if start <= mark.at <= end),
    )


def _marks(rungs: Sequence[Rung]) -> Iterable[MarkShown]:
    for rung in rungs:
        gate, times = rung.gate, rung.times
        if rung.over or gate.kind in SILENT:
            continue
        acts = "not_before" if gate.opens else "not_after"
        figures = {"bare": times.bare, acts: times.act, "warn": times.warn, "sure": times.sure}
        for figure, moment in figures.items():
            shown = to_minute(moment, opens=gate.opens)
            if shown is not None:
                yield MarkShown(gate.kind, figure, shown)


def _temps(
    stays: Sequence[Leg], ages: Ages, start: datetime, end: datetime
) -> Iterable[tuple[datetime, float, str]]:
    """The line of air where the wait stood; of more points than fit the coldest are kept."""
    room = max(MOST_POINTS // max(len(stays), 1), 3)
    for stay in stays:
        begun = instant_us(max(stay.began_at, start))
        ended = instant_us(end if stay.ended_at is None else min(stay.ended_at, end))
        if ended <= begun:
            continue
        line = ages.line(stay.place, LEVEL_C, max(ended, ages.until_us), Stance.LIKELY)
        inside = np.flatnonzero((line.at_us > begun) & (line.at_us < ended))
        parts = np.array_split(inside, min(room, max(len(inside), 1)))
        coldest = [part[np.argmin(line.temp_c[part])] for part in parts if len(part)]
        at = np.concatenate([[begun], line.at_us[coldest], [ended]]).astype(np.int64)
        leg = np.clip(np.searchsorted(line.at_us, at, side="right") - 1, 0, len(line.mark) - 1)
        for us, temp_c, mark in zip(
            at.tolist(), line.temp_at(at).tolist(), line.mark[leg].tolist(), strict=True
        ):
            yield moment_of(us), round(temp_c, 2), mark_name(mark)


def _nights(start: datetime, end: datetime, zone: ZoneInfo) -> Iterable[tuple[datetime, datetime]]:
    """The nights that touch a span, cut to it."""
    day = start.astimezone(zone).date() - timedelta(days=1)
    while True:
        falls = datetime.combine(day, EVENING, zone)
        day += timedelta(days=1)
        rises = datetime.combine(day, MORNING, zone)
        if falls >= end:
            return
        if rises > start:
            yield (
                max(falls, start).astimezone(start.tzinfo),
                min(rises, end).astimezone(start.tzinfo),
            )
