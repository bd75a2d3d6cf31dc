"""A batch is given a route, and how many pieces are to go through it."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.find import batch as find_batch
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.joint.count import whole
from cureclock.core.planning.route import MOST_PIECES
from cureclock.planner.stale import begin
from cureclock.shop.happening import Happening
from cureclock.shop.plan_told import plan_told
from cureclock.shop.record import append
from cureclock.shop.refusals import NotHere


@dataclass(frozen=True)
class BatchRouted:
    """Which batch, by which route; no route: it is planned no more."""

    batch: UUID
    count: int
    route: UUID | None = None

    def __post_init__(self) -> None:
        whole("count", self.count, 1, MOST_PIECES)


@verb("batch_routed", BatchRouted)
def batch_routed(happening: Happening, said: BatchRouted) -> Done:
    """From now on it stands in the plan."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        find_batch(workshop, said.batch)
        if said.route is not None and said.route not in plan_told(workshop).routes:
            raise NotHere("route")
        event, new = append(happening, "batch_routed", plain(said))
        if new:
            begin(workshop, happening.arrived_at)
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
