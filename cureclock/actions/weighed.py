"""A lot, or a turned blank that dries by itself, is put on the scale."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Weighed:
    """How heavy it is."""

    lot: UUID
    weight_g: float


@verb("weighed", Weighed)
def weighed(happening: Happening, said: Weighed) -> Done:
    """From three weighings on it can be said what it settles at."""
    workshop = happening.told_by.workshop
    within("weight", said.weight_g, 1, 1e6, "g")
    with transaction.atomic():
        lot = find.lot(workshop, said.lot)
        event, new = append(happening, "weighed", plain(said), lot=lot)
    return Done(event.id, new)
