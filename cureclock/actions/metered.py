"""A lot is metered: on its face, and where it counts, in the core of a fresh cut."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class Metered:
    """What the meter showed; the core counts where it was read, for it is the wetter one.

    With the temperature of the wood the figure is put right for it; without, it stands as read.
    `species_points` is what the meter's own chart adds for this wood.
    """

    lot: UUID
    mc_pct: float
    core_pct: float | None = None
    wood_c: float | None = None
    species_points: float | None = None


@verb("metered", Metered)
def metered(happening: Happening, said: Metered) -> Done:
    """One more point on the line by which the lot dries."""
    workshop = happening.told_by.workshop
    within("meter reading", said.mc_pct, 4, 100, "%")
    if said.core_pct is not None:
        within("meter reading in the core", said.core_pct, 4, 100, "%")
    if said.wood_c is not None:
        within("wood temperature", said.wood_c, -20, 50, "degC")
    if said.species_points is not None:
        within("species correction", said.species_points, -5, 5, "points")
    with transaction.atomic():
        lot = find.lot(workshop, said.lot)
        event, new = append(happening, "metered", plain(said), lot=lot)
    return Done(event.id, new)
