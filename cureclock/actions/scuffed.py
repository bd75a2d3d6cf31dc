"""A film is scuffed, so that the next coat keys to it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Scuffed:
    """Which coat; with zones, only those."""

    coat: UUID
    zones: tuple[UUID, ...] | None = None  # none named: the whole coat


@verb("scuffed", Scuffed)
def scuffed(happening: Happening, said: Scuffed) -> Done:
    """A window that shut is open again: the zone may be coated."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        find.zones(workshop, said.zones or ())
        event, new = append(happening, "scuffed", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
