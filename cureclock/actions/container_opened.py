"""A container is opened: air gets at what is left in it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerOpened:
    """Which one."""

    container: UUID


@verb("container_opened", ContainerOpened)
def container_opened(happening: Happening, said: ContainerOpened) -> Done:
    """Its time once opened runs from now on; what it holds is used from now on."""
    with transaction.atomic():
        find.container(happening.told_by.workshop, said.container)
        event, new = append(happening, "container_opened", plain(said))
    return Done(event.id, new)
