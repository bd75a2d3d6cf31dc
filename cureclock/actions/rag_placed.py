"""The oily rags are put where they cannot heat themselves."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal

SAFE = ("flat_outside", "under_water")


@dataclass(frozen=True)
class RagPlaced:
    """After which coat, and where they are."""

    coat: UUID
    where: str


@verb("rag_placed", RagPlaced)
def rag_placed(happening: Happening, said: RagPlaced) -> Done:
    """Single layer outdoors to dry hard, or under water in a closed metal can."""
    workshop = happening.told_by.workshop
    if said.where not in SAFE:
        raise Refusal("where", f"{said.where!r} is no safe place", f"one of {', '.join(SAFE)}")
    with transaction.atomic():
        coat = find.coat(workshop, said.coat)
        event, new = append(happening, "rag_placed", plain(said), coat=coat)
        if new:
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
