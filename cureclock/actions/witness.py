"""A witness of the same pour, press and place is broken."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Witness:
    """How much of the broken face is torn wood, in tenths."""

    glue_up: UUID
    torn_tenths: int
    joints: tuple[UUID, ...] = ()  # none named: all of them


@verb("witness", Witness)
def witness(happening: Happening, said: Witness) -> Done:
    """What the witness says clears suspicion, if it broke in wood."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up)
        find.joints(glue_up, said.joints)
        within("torn wood, in tenths,", said.torn_tenths, 0, 10)
        event, new = append(happening, "witness", plain(said), glue_up=glue_up)
        if new:
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
