"""The last word from a place, and how long it may say nothing: by its own sensor's rhythm."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from uuid import UUID

from django.db.models import OuterRef, Q, Subquery

from cureclock.core.reminding.due import patience_us
from cureclock.core.units import SECOND_US
from cureclock.shop.models import Place, Reading

WORDS = 9  # the last so many tell a sensor's rhythm; our choice


@dataclass(frozen=True)
class LastWord:
    """When a place was last read; None where it never was."""

    at: datetime | None
    patience_us: int

    def is_missed(self, at: datetime) -> bool:
        """Whether it has said nothing for too long."""
        return self.at is None or at - self.at >= timedelta(microseconds=self.patience_us)


def last_word(place: UUID) -> LastWord:
    """What a place last said; a reading that is doubted for being too warm is no word."""
    return last_words([place])[place]


def last_words(places: Collection[UUID]) -> dict[UUID, LastWord]:
    """The same of several places, in as many questions as of one."""
    read = Reading.objects.filter(struck_by=None).exclude(flag="high")
    newest = read.filter(place=OuterRef("pk")).order_by("-at", "-id").values("at")
    of_place = Place.objects.filter(pk__in=places)
    oldest = of_place.values_list("pk", Subquery(newest[WORDS - 1 : WORDS]))
    since = Q(pk__in=[])
    for place, at in oldest:
        since |= Q(place=place) if at is None else Q(place=place, at__gte=at)
    rows: dict[UUID, list[Reading]] = {}
    for row in read.filter(since).select_related("sensor").order_by("-at", "-id"):
        rows.setdefault(row.place_id, []).append(row)
    return {place: _word(rows.get(place, [])[:WORDS]) for place in places}


def _word(rows: Sequence[Reading]) -> LastWord:
    """What the newest readings of a place say, the last of them first."""
    if not rows:
        return LastWord(None, patience_us(0))
    newest = max(row.told_at or row.at for row in rows)
    sensor = rows[0].sensor
    if sensor is None:
        return LastWord(newest, patience_us(0))
    times = [row.at for row in rows if row.sensor_id == sensor.id]
    steps = [(late - early) // timedelta(microseconds=1) for late, early in pairwise(times)]
    return LastWord(newest, patience_us(sensor.rhythm_s * SECOND_US, steps))
