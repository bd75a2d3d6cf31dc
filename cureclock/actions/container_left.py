"""Somebody looks, or weighs, how much is left in a container."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerLeft:
    """How much is left; nothing left: it is empty."""

    container: UUID
    left_g: float


@verb("container_left", ContainerLeft)
def container_left(happening: Happening, said: ContainerLeft) -> Done:
    """The newest word counts."""
    within("what is left", said.left_g, 0, 1e6, "g")
    with transaction.atomic():
        find.container(happening.told_by.workshop, said.container)
        event, new = append(happening, "container_left", plain(said))
    return Done(event.id, new)
