"""A machine the shop has, and how many of it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.joint.count import whole
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class MachineTold:
    """Which machine, its name, and how many there are; none: it is gone."""

    machine: UUID
    name: str
    count: int = 1

    def __post_init__(self) -> None:
        whole("count", self.count, 0, 100)


@verb("machine_told", MachineTold)
def machine_told(happening: Happening, said: MachineTold) -> Done:
    """Steps of routes can name it; each is used by one go at a time."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        event, new = append(happening, "machine_told", plain(said))
        if new:
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
