"""A lot of wood comes into the store, or more becomes known of it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.making import make
from cureclock.shop.models import StockLot
from cureclock.shop.record import append


@dataclass(frozen=True)
class LotTakenIn:
    """What lies where; what is said again of a lot that is known counts from then on.

    `emc_pct` is what its place leads to, where somebody knows better than the thermometer;
    `wanted_pct` is how dry it has to be for what it is meant for.
    """

    lot: UUID
    name: str
    wood: str = ""
    place: UUID | None = None
    thickness_mm: float | None = None
    emc_pct: float | None = None
    wanted_pct: float | None = None


@verb("lot_taken_in", LotTakenIn)
def lot_taken_in(happening: Happening, said: LotTakenIn) -> Done:
    """From now on its readings have a name, and pieces can be made of it."""
    workshop = happening.told_by.workshop
    if said.thickness_mm is not None:
        within("thickness", said.thickness_mm, 1, 500, "mm")
    if said.emc_pct is not None:
        within("moisture its place leads to", said.emc_pct, 1, 30, "%")
    if said.wanted_pct is not None:
        within("wanted moisture", said.wanted_pct, 1, 60, "%")
    with transaction.atomic():
        place = find.place(workshop, said.place) if said.place else None
        lot, _ = make(
            StockLot,
            workshop,
            said.lot,
            name=said.name,
            wood=said.wood,
            place=place,
            thickness_mm=said.thickness_mm,
            emc_pct=said.emc_pct,
            made_at=happening.at,
        )
        event, new = append(happening, "lot_taken_in", plain(said), lot=lot, place=place)
    return Done(event.id, new)
