"""A piece is lost: cracked, caught, given up."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow_pieces
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.swaps import swaps_of


@dataclass(frozen=True)
class PieceLost:
    """Which piece, and why."""

    piece: UUID
    why: str = ""


@verb("piece_lost", PieceLost)
def piece_lost(happening: Happening, said: PieceLost) -> Done:
    """Nothing on it waits any more; its history stays."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        piece = find.piece(workshop, said.piece)
        event, new = append(happening, "piece_lost", plain(said), piece=piece)
        if new:
            about = swaps_of(workshop).mixed([piece.id])
            follow_pieces(workshop, happening.arrived_at, about)
    return Done(event.id, new)
