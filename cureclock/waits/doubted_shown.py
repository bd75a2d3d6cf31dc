"""Flagged readings as they are shown: in stretches, each for a person to rule on at once."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple
from uuid import UUID

from django.db.models import Q

from cureclock.shop.models import Reading, Workshop
from cureclock.waits.shown import Thing

RULED_SHOWN = timedelta(days=14)  # rulings that may still be changed at a touch; our choice
APART = timedelta(hours=2)  # at least, between two stretches; our choice
MOST = 20_000  # readings looked at, the newest


@dataclass(frozen=True)
class DoubtedShown:
    """Flagged readings of one sensor that follow each other.

    Attributes:
        since, until: of its first and last reading: what a ruling names.
        doubt: why: leap, fahrenheit, twice, hot, stuck.
        side: low ones count for what can hurt until somebody rules, high ones count nowhere.
        right: what was ruled; none while nobody has.
    """

    sensor: Thing
    place: Thing
    since: datetime
    until: datetime
    count: int
    doubt: str
    side: str
    lowest_c: float
    highest_c: float
    right: bool | None


class _Row(NamedTuple):
    sensor: UUID
    at: datetime
    temp_c: float
    flag: str
    doubt: str
    right: bool | None
    name: str
    place: UUID
    place_name: str
    rhythm_s: int

    def goes_on(self, before: "_Row") -> bool:
        alike = (self.sensor, self.flag, self.doubt, self.right)
        apart = max(APART, timedelta(seconds=4 * self.rhythm_s))
        return (
            alike == (before.sensor, before.flag, before.doubt, before.right)
            and abs(self.at - before.at) <= apart
        )


def doubted_shown(workshop: Workshop, at: datetime) -> tuple[DoubtedShown, ...]:
    """Every stretch on which nobody has ruled, and those ruled on lately, the newest first."""
    flagged = Reading.objects.filter(place__workshop=workshop, struck_by=None).exclude(flag="")
    wanted = flagged.filter(Q(ruled_right=None) | Q(at__gt=at - RULED_SHOWN), sensor__isnull=False)
    columns = ("sensor", "at", "temp_c", "flag", "doubt", "ruled_right")
    named = ("sensor__name", "place", "place__name", "sensor__rhythm_s")
    rows = map(_Row._make, wanted.order_by("-at", "id").values_list(*columns, *named)[:MOST])
    by_sensor = sorted(rows, key=lambda row: row.sensor)  # stays in order of time
    shown = [_shown(run) for run in _runs(by_sensor)]
    return tuple(sorted(shown, key=lambda one: one.until, reverse=True))


def _runs(rows: Iterable[_Row]) -> Iterator[list[_Row]]:
    run: list[_Row] = []
    for row in rows:
        if run and not row.goes_on(run[-1]):
            yield run
            run = []
        run.append(row)
    if run:
        yield run


def _shown(run: list[_Row]) -> DoubtedShown:
    """The rows of a run, the newest first."""
    one = run[0]
    return DoubtedShown(
        sensor=Thing(one.sensor, one.name),
        place=Thing(one.place, one.place_name),
        since=run[-1].at,
        until=one.at,
        count=len(run),
        doubt=one.doubt,
        side=one.flag,
        lowest_c=min(row.temp_c for row in run),
        highest_c=max(row.temp_c for row in run),
        right=one.right,
    )
