"""A container is opened: air gets at what is left in it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerOpened:
    """Which one."""

    container: UUID


@verb("container_opened", ContainerOpened)
def container_opened(happening: Happening, said: ContainerOpened) -> Done:
    """Its time once opened runs from now on; what it holds is used, and trusted anew, from now on."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        container = find.container(workshop, said.container)
        event, new = append(happening, "container_opened", plain(said))
        if new:
            opened = (container.material_id, happening.at)
            follow(workshop, happening.arrived_at, opened=opened, why="label")
    return Done(event.id, new)
