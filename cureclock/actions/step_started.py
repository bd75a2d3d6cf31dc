"""Somebody begins a step of a batch's route."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.find import batch as find_batch
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.joint.count import whole
from cureclock.core.planning.route import MOST_PIECES
from cureclock.shop.happening import Happening
from cureclock.shop.models import Membership
from cureclock.shop.record import append
from cureclock.shop.refusals import NotHere


@dataclass(frozen=True)
class StepStarted:
    """Which step of which batch, with how many pieces, by whom (who tells it, if nobody is said)."""

    go: UUID
    batch: UUID
    step: str
    pieces: int = 1
    people: tuple[UUID, ...] = ()

    def __post_init__(self) -> None:
        whole("pieces", self.pieces, 1, MOST_PIECES)


@verb("step_started", StepStarted)
def step_started(happening: Happening, said: StepStarted) -> Done:
    """It stands in the plan where it is; what comes before it is taken to be done."""
    teller = happening.told_by
    with transaction.atomic():
        find_batch(teller.workshop, said.batch)
        known = Membership.objects.filter(workshop=teller.workshop, person__in=said.people)
        if known.count() < len(set(said.people)):
            raise NotHere("people")
        body = plain(said)
        if not said.people and teller.person is not None:
            body["people"] = [str(teller.person.id)]
        event, new = append(happening, "step_started", body)
        if new:
            follow(teller.workshop, happening.arrived_at)
    return Done(event.id, new)
