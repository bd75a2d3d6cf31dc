"""The last word from a place, and how long it may say nothing: by its own sensor's rhythm."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from uuid import UUID

from cureclock.core.reminding.due import patience_us
from cureclock.core.units import SECOND_US
from cureclock.shop.models import Reading

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
    read = Reading.objects.filter(place=place, struck_by=None).exclude(flag="high")
    rows = list(read.select_related("sensor").order_by("-at", "-id")[:WORDS])
    if not rows:
        return LastWord(None, patience_us(0))
    newest = max(row.told_at or row.at for row in rows)
    sensor = rows[0].sensor
    if sensor is None:
        return LastWord(newest, patience_us(0))
    times = [row.at for row in rows if row.sensor_id == sensor.id]
    steps = [(late - early) // timedelta(microseconds=1) for late, early in pairwise(times)]
    return LastWord(newest, patience_us(sensor.rhythm_s * SECOND_US, steps))
