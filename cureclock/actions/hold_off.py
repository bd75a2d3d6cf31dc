"""A temporary bond is taken off."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.models import Event
from cureclock.shop.record import append
from cureclock.waits.subjects import coats_on


@dataclass(frozen=True)
class HoldOff:
    """Which hold."""

    hold: UUID


@verb("hold_off", HoldOff)
def hold_off(happening: Happening, said: HoldOff) -> Done:
    """The hold is gone; what it forbade is judged without it."""
    with transaction.atomic():
        workshop = happening.told_by.workshop
        hold = find.hold(workshop, said.hold)
        before = Event.objects.filter(id=happening.id).select_related("piece").first()
        piece = before.piece if before else hold.piece
        event, new = append(happening, "hold_off", plain(said), piece=piece)
        if new:
            follow(workshop, happening.arrived_at, holds=[hold], coats=coats_on([hold.piece_id]))
    return Done(event.id, new)
