"""Pieces get their numbers: new ones, and ones sawn from or glued together of others."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_pieces, make
from cureclock.shop.models import Batch
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append
from cureclock.waits.subjects import went_apart


@dataclass(frozen=True)
class ZoneSaid:
    """A zone of a piece; a bare one is never coated."""

    id: UUID
    name: str
    keep_bare: bool = False


@dataclass(frozen=True)
class PieceSaid:
    """A piece: its number, what it is, its zones, what it was made from, and of which wood."""

    id: UUID
    tag: str
    what: str = ""
    zones: tuple[ZoneSaid, ...] = ()
    made_from: tuple[UUID, ...] = ()
    lot: UUID | None = None


@dataclass(frozen=True)
class PiecesMade:
    """Pieces of one batch, or of none."""

    pieces: tuple[PieceSaid, ...]
    batch: UUID | None = None
    batch_name: str = ""


@verb("pieces_made", PiecesMade)
def pieces_made(happening: Happening, said: PiecesMade) -> Done:
    """From now on each can be told of by its number, and carries the joints of its parts."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        batch = None
        if said.batch:
            what = {"name": said.batch_name, "made_at": happening.at}
            batch, _ = make(Batch, workshop, said.batch, **what)
        fresh = {one.id for one in said.pieces}
        parts = {part for one in said.pieces for part in one.made_from}
        find.pieces(workshop, sorted(parts - fresh, key=str), "pieces")
        for one in said.pieces:
            if one.lot is not None:
                find.lot(workshop, one.lot, "pieces")
        event, new = append(happening, "pieces_made", plain(said))
        if new:
            add_pieces(workshop, batch, said.pieces, event)
            keep_straight(workshop, fresh | parts)
            follow(workshop, happening.arrived_at, pieces=fresh, **went_apart(workshop, parts))
    return Done(event.id, new)
