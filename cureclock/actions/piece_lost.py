"""A piece is lost: cracked, caught, given up."""

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
            follow(
                workshop,
                happening.arrived_at,
                pieces=about,
                glue_ups=glue_ups_in(about),
                coats=coats_on(about),
                holds=holds_on(about),
            )
    return Done(event.id, new)
