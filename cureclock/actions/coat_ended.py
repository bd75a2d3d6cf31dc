"""A coat ends, or one piece of it is tapped as coated."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class CoatEnded:
    """Which coat; with zones, only those, coated at this instant."""

    coat: UUID
    zones: tuple[UUID, ...] | None = None  # none named: the whole coat


@verb("coat_ended", CoatEnded)
def coat_ended(happening: Happening, said: CoatEnded) -> Done:
    """The last zone is coated: the gates of a coat count from here, or from wiping."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "coat_ended", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
