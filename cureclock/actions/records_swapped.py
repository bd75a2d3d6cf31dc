"""Two pieces were taken for one another: their records change sides from a time on."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow_pieces
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.reattribute import reattribute
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal
from cureclock.shop.swaps import swaps_of


@dataclass(frozen=True)
class RecordsSwapped:
    """Which two, since when they were mixed up, and how that was seen."""

    first: UUID
    second: UUID
    since: datetime
    note: str = ""


@verb("records_swapped", RecordsSwapped)
def records_swapped(happening: Happening, said: RecordsSwapped) -> Done:
    """What was told of the one since then counts for the other; each keeps its name."""
    workshop = happening.told_by.workshop
    if said.first == said.second:
        raise Refusal("second", "is the same piece", "name the other one")
    if said.since.tzinfo is None or said.since >= happening.at:
        raise Refusal("since", "is not before now", "say when they were mixed up")
    with transaction.atomic():
        find.pieces(workshop, [said.first, said.second], "first")
        first = find.piece(workshop, said.first, "first")
        event, new = append(happening, "records_swapped", plain(said), piece=first)
        if new:
            about = swaps_of(workshop).mixed([said.first, said.second])
            reattribute(workshop, about)
            follow_pieces(workshop, happening.arrived_at, about)
    return Done(event.id, new)
