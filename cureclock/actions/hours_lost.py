"""Somebody says what a mishap cost."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class HoursLost:
    """How many hours of work, to what, and what they went into."""

    hours: float
    why: str
    glue_up: UUID | None = None
    coat: UUID | None = None
    piece: UUID | None = None


@verb("hours_lost", HoursLost)
def hours_lost(happening: Happening, said: HoursLost) -> Done:
    """It stands in the review of the batch."""
    workshop = happening.told_by.workshop
    within("hours lost", said.hours, 0.01, 1000, "h")
    if not said.why:
        raise Refusal("why", "missing", "say in a few words what they went into")
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up) if said.glue_up else None
        coat = find.coat(workshop, said.coat) if said.coat else None
        piece = find.piece(workshop, said.piece) if said.piece else None
        event, new = append(
            happening, "hours_lost", plain(said), glue_up=glue_up, coat=coat, piece=piece
        )
    return Done(event.id, new)
