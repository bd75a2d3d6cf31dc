"""Clamps, forms or hooks are free, whatever their glue-up or coat still waits for."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.counted import ThingCount, known_things
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ThingsFreed:
    """Which glue-up or coat lets go, and of what."""

    about: UUID
    things: tuple[ThingCount, ...] = ()  # none named: all that it held


@verb("things_freed", ThingsFreed)
def things_freed(happening: Happening, said: ThingsFreed) -> Done:
    """They are counted free from now on."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        known_things(workshop, said.things)
        by = find.holder(workshop, said.about)
        event, new = append(
            happening, "things_freed", plain(said), glue_up=by.glue_up, coat=by.coat
        )
    return Done(event.id, new)
