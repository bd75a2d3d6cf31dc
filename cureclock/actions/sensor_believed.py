"""Of several sensors in a place one is believed, or all of them again."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.models import BelievedVersion
from cureclock.shop.record import append
from cureclock.shop.refusals import NotHere
from cureclock.shop.sensing import sensing_of
from cureclock.waits.reread import Change


@dataclass(frozen=True)
class SensorBelieved:
    """Which place, and which of its sensors; none: all of them."""

    place: UUID
    sensor: UUID | None = None


@verb("sensor_believed", SensorBelieved)
def sensor_believed(happening: Happening, said: SensorBelieved) -> Done:
    """From then on the others are kept and do not count; what a person reads always counts."""
    teller = happening.told_by
    teller.must_own()
    with transaction.atomic():
        place = find.place(teller.workshop, said.place)
        if said.sensor and find.sensor(teller.workshop, said.sensor).place_id != place.id:
            raise NotHere("sensor")
        before = sensing_of(place)
        event, new = append(happening, "sensor_believed", plain(said), place=place)
        if new:
            BelievedVersion.objects.create(
                id=event.id,
                place=place,
                sensor_id=said.sensor,
                since=event.happened_at,
                arrived_at=event.arrived_at,
            )
            change = Change(place, sensing=before, since=event.happened_at)
            follow(teller.workshop, event.arrived_at, changes=[change])
    return Done(event.id, new)
