"""The joints are laid together: open time ends, closed assembly runs."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Closed:
    """Which glue-up, and which of its joints."""

    glue_up: UUID
    joints: tuple[UUID, ...] = ()  # none named: all of them


@verb("closed", Closed)
def closed(happening: Happening, said: Closed) -> Done:
    """Faces are together, not yet under pressure."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up)
        find.joints(glue_up, said.joints)
        event, new = append(happening, "closed", plain(said), glue_up=glue_up)
        if new:
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
