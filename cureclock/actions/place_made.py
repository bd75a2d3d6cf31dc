"""A place with its own air is named."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import make
from cureclock.shop.models import Place
from cureclock.shop.record import append


@dataclass(frozen=True)
class PlaceMade:
    """Its id and its name."""

    place: UUID
    name: str


@verb("place_made", PlaceMade)
def place_made(happening: Happening, said: PlaceMade) -> Done:
    """Readings, glue-ups and coats can now be told of this place."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        place, _ = make(Place, workshop, said.place, name=said.name, made_at=happening.at)
        event, new = append(happening, "place_made", plain(said), place=place)
    return Done(event.id, new)
