"""Somebody settles a conflict between happenings, by name."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ConflictSettled:
    """Which conflict, about what, and how it really was."""

    conflict: UUID
    how: str = ""


@verb("conflict_settled", ConflictSettled)
def conflict_settled(happening: Happening, said: ConflictSettled) -> Done:
    """Both tellings stay in the log; the question is closed under this name."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        conflict = find.conflict(workshop, said.conflict)
        body = {**plain(said), "about": str(conflict.about)}
        event, new = append(happening, "conflict_settled", body)
        if new:
            conflict.settled_by = event.id
            conflict.save(update_fields=["settled_by"])
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
