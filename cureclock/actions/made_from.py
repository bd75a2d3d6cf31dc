"""Somebody says what a piece was made from: sawn from it, or glued together of it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow_pieces
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_parts
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append


@dataclass(frozen=True)
class MadeFromSaid:
    """Which piece, and the parts in it."""

    piece: UUID
    made_from: tuple[UUID, ...]


@verb("made_from", MadeFromSaid)
def made_from(happening: Happening, said: MadeFromSaid) -> Done:
    """It carries their joints, and their doubts, from now on; a circle is a conflict to settle."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        whole = find.piece(workshop, said.piece)
        find.pieces(workshop, said.made_from, "made_from")
        event, new = append(happening, "made_from", plain(said), piece=whole)
        if new:
            add_parts(whole.id, said.made_from, event)
            about = {whole.id, *said.made_from}
            keep_straight(workshop, about)
            follow_pieces(workshop, happening.arrived_at, about)
    return Done(event.id, new)
