"""A step that was begun is over."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class StepFinished:
    """Which go; it may be told before its beginning has arrived."""

    go: UUID


@verb("step_finished", StepFinished)
def step_finished(happening: Happening, said: StepFinished) -> Done:
    """Its wait counts from now, and its minutes are set beside the planned ones."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        event, new = append(happening, "step_finished", plain(said))
        if new:
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
