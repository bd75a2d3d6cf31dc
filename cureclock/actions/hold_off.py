"""A temporary bond is taken off."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class HoldOff:
    """Which hold."""

    hold: UUID


@verb("hold_off", HoldOff)
def hold_off(happening: Happening, said: HoldOff) -> Done:
    """The hold is gone; what it forbade is judged without it."""
    with transaction.atomic():
        hold = find.hold(happening.told_by.workshop, said.hold)
        event, new = append(happening, "hold_off", plain(said), piece=hold.piece)
    return Done(event.id, new)
