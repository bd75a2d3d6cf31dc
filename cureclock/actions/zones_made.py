"""Pieces get parts that are coated at their own times, later than they got their numbers."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_zones_to
from cureclock.shop.record import append


@dataclass(frozen=True)
class PartSaid:
    """A part of a piece; a bare one is never coated."""

    id: UUID
    piece: UUID
    name: str
    keep_bare: bool = False


@dataclass(frozen=True)
class ZonesMade:
    """Which parts of which pieces."""

    parts: tuple[PartSaid, ...]


@verb("zones_made", ZonesMade)
def zones_made(happening: Happening, said: ZonesMade) -> Done:
    """From now on each can be coated, or is shown as one to keep bare."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        idents = list(dict.fromkeys(one.piece for one in said.parts))
        pieces = {row.id: row for row in find.pieces(workshop, idents, "parts")}
        event, new = append(happening, "zones_made", plain(said))
        if new:
            add_zones_to([pieces[one.piece] for one in said.parts], said.parts, event)
    return Done(event.id, new)
