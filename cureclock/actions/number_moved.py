"""A piece's number goes where the next step cannot take it off."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal

WHERE = ("piece", "tenon", "inside", "waste_block", "hook_tag", "wrapping")


@dataclass(frozen=True)
class NumberMoved:
    """Of which pieces, and where the number is now."""

    pieces: tuple[UUID, ...]
    where: str


@verb("number_moved", NumberMoved)
def number_moved(happening: Happening, said: NumberMoved) -> Done:
    """The question of the last hand-over is answered."""
    workshop = happening.told_by.workshop
    if said.where not in WHERE:
        raise Refusal("where", f"{said.where!r} is no place for it", f"one of {', '.join(WHERE)}")
    with transaction.atomic():
        pieces = find.pieces(workshop, said.pieces)
        one = pieces[0] if len(pieces) == 1 else None
        event, new = append(happening, "number_moved", plain(said), piece=one)
    return Done(event.id, new)
