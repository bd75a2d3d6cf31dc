"""The lowest reading of a min-max thermometer, read off in the morning."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, verb
from cureclock.shop.air import morning_of
from cureclock.shop.happening import Happening
from cureclock.shop.models import Reading
from cureclock.shop.readings import ReadingSaid, keep_readings
from cureclock.waits.reread import Change


@dataclass(frozen=True)
class LowestLastNight:
    """How cold it got in which place."""

    place: UUID
    temp_c: float


@verb("lowest_last_night", LowestLastNight)
def lowest_last_night(happening: Happening, said: LowestLastNight) -> Done:
    """It stands at the coldest hour of the expected air, else at 05:00: the night is redrawn."""
    teller = happening.told_by
    teller.must_record()
    with transaction.atomic():
        place = find.place(teller.workshop, said.place)
        morning = morning_of(happening.at, teller.workshop.tz)
        kept = keep_readings(
            place,
            [ReadingSaid(happening.id, morning, said.temp_c, None)],
            happening.arrived_at,
            mark=Reading.Mark.MINMAX,
            phone=teller.phone,
            told_at=happening.at,
        )
        if kept.refused:
            raise kept.refused[0].why
        if kept.rows:
            change = Change(place, added=kept.rows)
            at = happening.arrived_at
            follow(teller.workshop, at, changes=[change], why="lowest")
    return Done(happening.id, bool(kept.rows))
