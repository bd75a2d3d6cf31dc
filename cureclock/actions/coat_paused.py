"""A coat is interrupted."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class CoatPaused:
    """Which coat."""

    coat: UUID


@verb("coat_paused", CoatPaused)
def coat_paused(happening: Happening, said: CoatPaused) -> Done:
    """Time until it is resumed does not count for the pieces after the pause."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "coat_paused", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
