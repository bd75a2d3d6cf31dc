"""A coat is taken off again, or spoiled."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class CoatStripped:
    """Which coat, which zones, and why."""

    coat: UUID
    zones: tuple[UUID, ...] | None = None  # none named: the whole coat
    why: str = ""


@verb("coat_stripped", CoatStripped)
def coat_stripped(happening: Happening, said: CoatStripped) -> Done:
    """What was waiting on this coat waits no more."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "coat_stripped", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
