"""A bottle, can or pot of a material comes into the shop."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.containers import keep_container
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerTakenIn:
    """Which material, how much, and when its label says it expires."""

    container: UUID
    material: UUID
    name: str
    expires: date | None = None
    holds_g: float | None = None
    test_every_days: float | None = None  # of flake, hide and what else is tried before use


@verb("container_taken_in", ContainerTakenIn)
def container_taken_in(happening: Happening, said: ContainerTakenIn) -> Done:
    """Its label can be read from it, and what becomes of it can be told."""
    workshop = happening.told_by.workshop
    if said.holds_g is not None:
        within("contents", said.holds_g, 1, 1e6, "g")
    if said.test_every_days is not None:
        within("days between tests", said.test_every_days, 1, 3650, "d")
    with transaction.atomic():
        material = find.material(workshop, said.material)
        keep_container(material, said.container, said.name, happening.at)
        event, new = append(happening, "container_taken_in", plain(said))
    return Done(event.id, new)
