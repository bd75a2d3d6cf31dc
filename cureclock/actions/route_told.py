"""A route is written: the steps of a batch, once, to be used again."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.planner.routes import check_route
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.waits.wood import THICKNESS_MM


@dataclass(frozen=True)
class TakeSaid:
    """Things a step ties up, until which step is over (itself, where none is said)."""

    thing: UUID
    count: int = 1
    until: str = ""
    each: bool = False


@dataclass(frozen=True)
class AfterSaid:
    """What has to be past: a step, and the gate of its material or so many hours.

    `prompt_h`: the next step may wait no longer; none: waiting is harmless. `late_min`: what it
    takes more, scuffing for example, once the gate has closed; none: it may not come later.
    """

    step: str
    gate: str = ""
    wait_h: float | None = None
    prompt_h: float | None = None
    late_min: float | None = None


@dataclass(frozen=True)
class StepSaid:
    """One step: hands for a go and for each piece of it, machine, place, things, what is before.

    `material`: what it leaves waiting, glue or finish; its gates are those of the label.
    `thickness_mm`: of the wood across a joint, so that its waits count the wood and not the air;
    none: as thick as what was glued with it in the batch before, where that was recorded.
    """

    key: str
    hands_min: float = 0
    each_min: float = 0
    machine: UUID | None = None
    alone_min: float = 0
    who: tuple[UUID, ...] = ()
    place: UUID | None = None
    takes: tuple[TakeSaid, ...] = ()
    after: tuple[AfterSaid, ...] = ()
    at_once: int = 1
    material: UUID | None = None
    dusty: bool = False
    sparks: bool = False
    not_before: datetime | None = None
    thickness_mm: float | None = None

    def __post_init__(self) -> None:
        if self.thickness_mm is not None:
            within("thickness", self.thickness_mm, *THICKNESS_MM, "mm")


@dataclass(frozen=True)
class RouteTold:
    """A route by its name: its steps, and what has to be open before a piece is done."""

    route: UUID
    name: str
    steps: tuple[StepSaid, ...]
    done: tuple[AfterSaid, ...] = ()


@verb("route_told", RouteTold)
def route_told(happening: Happening, said: RouteTold) -> Done:
    """Batches that are given it are planned by it; told again, it is as last told."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        for step in said.steps:
            if step.place is not None:
                find.place(workshop, step.place, "steps.place")
            find.things(workshop, [take.thing for take in step.takes])
        body = plain(said)
        check_route(workshop, body, happening.at)
        event, new = append(happening, "route_told", body)
        if new:
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
