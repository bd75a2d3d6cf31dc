"""A container froze, or stood where it may have."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerFrozen:
    """Which one, and how cold it was where somebody knows."""

    container: UUID
    temp_c: float | None = None


@verb("container_frozen", ContainerFrozen)
def container_frozen(happening: Happening, said: ContainerFrozen) -> Done:
    """It is to be tested before it is used; frost ends some glues for good."""
    if said.temp_c is not None:
        within("temperature", said.temp_c, -40, 10, "degC")
    with transaction.atomic():
        find.container(happening.told_by.workshop, said.container)
        event, new = append(happening, "container_frozen", plain(said))
    return Done(event.id, new)
