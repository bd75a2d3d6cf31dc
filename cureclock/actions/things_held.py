"""A glue-up or coat ties things up that nobody named when it began."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.counted import ThingCount, known_things
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ThingsHeld:
    """What is tied up, by which glue-up or coat."""

    about: UUID
    things: tuple[ThingCount, ...]


@verb("things_held", ThingsHeld)
def things_held(happening: Happening, said: ThingsHeld) -> Done:
    """So many fewer are free until somebody says that they are off."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        known_things(workshop, said.things)
        by = find.holder(workshop, said.about)
        event, new = append(happening, "things_held", plain(said), glue_up=by.glue_up, coat=by.coat)
    return Done(event.id, new)
