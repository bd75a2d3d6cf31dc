"""A coat goes on after a pause."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class CoatResumed:
    """Which coat."""

    coat: UUID


@verb("coat_resumed", CoatResumed)
def coat_resumed(happening: Happening, said: CoatResumed) -> Done:
    """Coating goes on from here."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "coat_resumed", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
