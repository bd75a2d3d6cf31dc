"""A running wait is timed by another reading of its label."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Retimed:
    """Which glue-up or coat, and the label version that counts from now on."""

    label: UUID
    glue_up: UUID | None = None
    coat: UUID | None = None


@verb("retimed", Retimed)
def retimed(happening: Happening, said: Retimed) -> Done:
    """Every gate of it is placed by the new label, from its own start."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        find.label(workshop, said.label)
        glue_up = find.glue_up(workshop, said.glue_up) if said.glue_up else None
        coat = find.coat(workshop, said.coat) if said.coat else None
        event, new = append(happening, "retimed", plain(said), glue_up=glue_up, coat=coat)
        if new:
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else [],
                coats=[coat] if coat else [],
                why="label",
            )
    return Done(event.id, new)
