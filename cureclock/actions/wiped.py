"""The surplus is wiped off."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Wiped:
    """Which coat; with zones, only those."""

    coat: UUID
    zones: tuple[UUID, ...] | None = None  # none named: the whole coat


@verb("wiped", Wiped)
def wiped(happening: Happening, said: Wiped) -> Done:
    """Wipe-off is answered; the other gates count from here."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "wiped", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at, coats=[coat])
    return Done(event.id, new)
