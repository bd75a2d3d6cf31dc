"""A coat begins: one finish, one place, zones in the order in which they are coated."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.counted import ThingCount, known_things
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_zones, make
from cureclock.shop.models import Coat
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append
from cureclock.waits.coating import coats_under


@dataclass(frozen=True)
class CoatBegan:
    """Which coat: finish as labelled, place, zones in order; its id is made on the phone."""

    coat: UUID
    name: str
    label: UUID
    place: UUID
    zones: tuple[UUID, ...]
    things: tuple[ThingCount, ...] = ()  # hooks, points, litres that it ties up


@verb("coat_began", CoatBegan)
def coat_began(happening: Happening, said: CoatBegan) -> Done:
    """The first zone is wet: wipe-off runs; coats below are over."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        known_things(workshop, said.things)
        what = {
            "name": said.name,
            "label": find.label(workshop, said.label),
            "place": find.place(workshop, said.place),
            "made_at": happening.at,
        }
        zones = find.zones(workshop, said.zones)
        coat, fresh = make(Coat, workshop, said.coat, **what)
        if fresh:
            add_zones(coat, zones)
        event, new = append(happening, "coat_began", plain(said), coat=coat)
        if new:
            keep_straight(workshop, {zone.piece_id for zone in zones})
            follow(workshop, happening.arrived_at, coats=[coat, *coats_under(coat)])
    return Done(event.id, new)
