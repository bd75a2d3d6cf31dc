"""A batch is promised for a day, or the promise is taken back."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db import transaction

from cureclock.actions.find import batch as find_batch
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.planner.stale import begin
from cureclock.shop.happening import Happening
from cureclock.shop.plan_told import settle_nouns
from cureclock.shop.record import append


@dataclass(frozen=True)
class PromiseMade:
    """Which batch, by the end of which day; no day: nothing is promised any more."""

    batch: UUID
    day: date | None = None


@verb("promise_made", PromiseMade)
def promise_made(happening: Happening, said: PromiseMade) -> Done:
    """The plan is held against it, and who minds the shop hears when it cannot be kept."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        find_batch(workshop, said.batch)
        event, new = append(happening, "promise_made", plain(said))
        if new:
            settle_nouns(workshop)
            begin(workshop, happening.arrived_at)
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
