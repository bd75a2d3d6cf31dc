"""Somebody acts before the tool says so: kept for ever, with the reason and the name."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class Override:
    """Which act, on what, and why."""

    act: str
    reason: str
    glue_up: UUID | None = None
    coat: UUID | None = None
    joints: tuple[UUID, ...] = ()
    zones: tuple[UUID, ...] = ()


@verb("override", Override)
def override(happening: Happening, said: Override) -> Done:
    """The act is kept; the joints or zones it was done on are suspect from now on."""
    workshop = happening.told_by.workshop
    if not said.reason or not said.act:
        raise Refusal("reason", "missing", "say what is done and why, in a few words")
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up) if said.glue_up else None
        coat = find.coat(workshop, said.coat) if said.coat else None
        event, new = append(happening, "override", plain(said), glue_up=glue_up, coat=coat)
        if new:
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else [],
                coats=[coat] if coat else [],
            )
    return Done(event.id, new)
