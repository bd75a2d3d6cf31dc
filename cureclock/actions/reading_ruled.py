"""A person rules on readings that were flagged: they are right, or they are not."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, verb
from cureclock.shop.doubting import RULING, doubted_between, restate_rulings, rulings_of
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal
from cureclock.waits.reread import Change


@dataclass(frozen=True)
class ReadingRuled:
    """Which sensor's flagged readings, from the first to the last, and whether they are right."""

    sensor: UUID
    since: datetime
    until: datetime
    right: bool


@verb("reading_ruled", ReadingRuled)
def reading_ruled(happening: Happening, said: ReadingRuled) -> Done:
    """Right ones count as any reading does; wrong ones count nowhere, and keep their lines."""
    if said.since.tzinfo is None or said.until.tzinfo is None or said.since > said.until:
        raise Refusal("until", "is no span of time", "send first and last with their offsets")
    workshop = happening.told_by.workshop
    with transaction.atomic():
        sensor = find.sensor(workshop, said.sensor)
        body = {
            "sensor": str(said.sensor),
            "since": said.since.isoformat(),
            "until": said.until.isoformat(),
            "right": said.right,
        }
        event, new = append(happening, RULING, body, place=sensor.place)
        concerned = doubted_between(sensor, said.since, said.until) if new else []
        if concerned:
            restate_rulings(sensor, rulings_of(sensor))
            change = Change(sensor.place, added=concerned, removed=concerned)
            follow(workshop, event.arrived_at, changes=[change])
    return Done(event.id, new)
