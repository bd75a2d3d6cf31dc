"""Pressure is on: cure starts."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.counted import ThingCount, known_things
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class PressureOn:
    """Which glue-up, and which of its joints."""

    glue_up: UUID
    joints: tuple[UUID, ...] = ()  # none named: all of them
    things: tuple[ThingCount, ...] = ()  # what it ties up; none named: as when it was spread


@verb("pressure_on", PressureOn)
def pressure_on(happening: Happening, said: PressureOn) -> Done:
    """The joints named, or all, are under pressure: their cure clocks run from now."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up)
        find.joints(glue_up, said.joints)
        known_things(workshop, said.things)
        event, new = append(happening, "pressure_on", plain(said), glue_up=glue_up)
        if new:
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
