"""A two-part or powder adhesive is mixed: pot life runs."""

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
class Mixed:
    """Which glue-up, and how much was mixed."""

    glue_up: UUID
    mass_g: float | None = None

    def __post_init__(self) -> None:
        if self.mass_g is not None:
            within("mass", self.mass_g, 1, 100_000, "g")


@verb("mixed", Mixed)
def mixed(happening: Happening, said: Mixed) -> Done:
    """The pot's clock starts at mixing, not at spreading."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up)
        event, new = append(happening, "mixed", plain(said), glue_up=glue_up)
        if new:
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
