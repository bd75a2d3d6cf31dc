"""Something is carried to another place: its waits run on the air there."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.swaps import swaps_of
from cureclock.waits.subjects import coats_on, glue_ups_in, holds_on


@dataclass(frozen=True)
class MovedPlace:
    """What went where: a glue-up, a coat, one piece with all that is on it, or a lot of wood."""

    place: UUID
    glue_up: UUID | None = None
    coat: UUID | None = None
    piece: UUID | None = None
    lot: UUID | None = None


@verb("moved_place", MovedPlace)
def moved_place(happening: Happening, said: MovedPlace) -> Done:
    """What is still needed is needed on the new place's clock."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        place = find.place(workshop, said.place)
        glue_up = find.glue_up(workshop, said.glue_up) if said.glue_up else None
        coat = find.coat(workshop, said.coat) if said.coat else None
        piece = find.piece(workshop, said.piece) if said.piece else None
        lot = find.lot(workshop, said.lot) if said.lot else None
        event, new = append(
            happening,
            "moved_place",
            plain(said),
            glue_up=glue_up,
            coat=coat,
            piece=piece,
            place=place,
            lot=lot,
        )
        if new:
            about = swaps_of(workshop).mixed([piece.id]) if piece else set()
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else glue_ups_in(about),
                coats=[coat] if coat else coats_on(about),
                holds=holds_on(about),
                why="moved",
            )
    return Done(event.id, new)
