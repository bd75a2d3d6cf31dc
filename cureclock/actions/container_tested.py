"""What is in a container is tried: a drip, a string, a drop of hardener, a scrap glued and broken."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class ContainerTested:
    """Whether it passed, and how it was tried."""

    container: UUID
    passed: bool
    how: str = ""


@verb("container_tested", ContainerTested)
def container_tested(happening: Happening, said: ContainerTested) -> Done:
    """Passed, it may be used until the next test is due; failed, it may not."""
    with transaction.atomic():
        find.container(happening.told_by.workshop, said.container)
        event, new = append(happening, "container_tested", plain(said))
    return Done(event.id, new)
