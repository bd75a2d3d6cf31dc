"""What has to be added to a sensor, found by holding it beside a better one."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.models import OffsetVersion
from cureclock.shop.record import append
from cureclock.shop.sensing import sensing_of
from cureclock.waits.reread import Change

MOST_K, MOST_PCT = 10.0, 30.0  # a sensor that is further off is broken; our choice


@dataclass(frozen=True)
class SensorOffset:
    """What to add to what it says, from when it happened on."""

    sensor: UUID
    temp_k: float = 0.0
    rh_pct: float = 0.0

    def __post_init__(self) -> None:
        within("offset of temperature", self.temp_k, -MOST_K, MOST_K, "K")
        within("offset of humidity", self.rh_pct, -MOST_PCT, MOST_PCT, "%")


@verb("sensor_offset", SensorOffset)
def sensor_offset(happening: Happening, said: SensorOffset) -> Done:
    """What it said since then is counted anew."""
    teller = happening.told_by
    teller.must_own()
    with transaction.atomic():
        sensor = find.sensor(teller.workshop, said.sensor)
        before = sensing_of(sensor.place)
        event, new = append(happening, "sensor_offset", plain(said), place=sensor.place)
        if new:
            OffsetVersion.objects.create(
                id=event.id,
                sensor=sensor,
                since=event.happened_at,
                arrived_at=event.arrived_at,
                temp_k=said.temp_k,
                rh_pct=said.rh_pct,
            )
            change = Change(sensor.place, sensing=before, since=event.happened_at)
            follow(teller.workshop, event.arrived_at, changes=[change])
    return Done(event.id, new)
