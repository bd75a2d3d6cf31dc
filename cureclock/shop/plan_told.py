"""What was told of routes, machines, days, promises and steps, by what stands of it.

All of it is read from the log: the last that stands of each counts, whatever order it came in.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from cureclock.shop.models import Batch, Event, Membership, Workshop
from cureclock.shop.record import lines, standing

NOUNS = {
    "route_told": "route",
    "machine_told": "machine",
    "batch_routed": "batch",
    "promise_made": "batch",
    "person_days": "person",
}
GOES = ("step_started", "step_finished")
KINDS = (*NOUNS, "plan_wished", *GOES)
STRIKES = ("struck_out", "conflict_settled")

Body = dict[str, Any]


@dataclass(frozen=True)
class Go:
    """One go of a step, as told: begun, and over where somebody said so."""

    id: UUID
    batch: UUID
    step: str
    pieces: int
    people: tuple[UUID, ...]
    began: datetime
    ended: datetime | None


@dataclass(frozen=True)
class PlanTold:
    """Everything told that a plan is made from, but for what is counted and what is waited for.

    Attributes:
        routes, machines, routed, days: by id of the route, machine, batch or person.
        promised: for when each batch was promised; a promise taken back is left out.
        wish: what the plan is to try for.
        goes: steps begun, in order of time.
    """

    routes: dict[UUID, Body] = field(default_factory=dict)
    machines: dict[UUID, Body] = field(default_factory=dict)
    routed: dict[UUID, Body] = field(default_factory=dict)
    days: dict[UUID, Body] = field(default_factory=dict)
    promised: dict[UUID, date] = field(default_factory=dict)
    wish: Body = field(default_factory=dict)
    goes: tuple[Go, ...] = ()


def plan_told(workshop: Workshop) -> PlanTold:
    """What stands of all that was told for the plan."""
    rows = Event.objects.filter(workshop=workshop, kind__in=(*KINDS, *STRIKES))
    last: dict[str, dict[UUID, Body]] = {kind: {} for kind in NOUNS}
    wish: Body = {}
    begun: dict[UUID, tuple[datetime, Body]] = {}
    ended: dict[UUID, datetime] = {}
    for line in standing(lines(rows)):
        if line.kind in NOUNS:
            last[line.kind][UUID(line.body[NOUNS[line.kind]])] = line.body
        elif line.kind == "plan_wished":
            wish = line.body
        elif line.kind == "step_started":
            begun.setdefault(UUID(line.body["go"]), (line.happened_at, line.body))
        elif line.kind == "step_finished":
            ended[UUID(line.body["go"])] = line.happened_at
    promised = {
        batch: date.fromisoformat(body["day"])
        for batch, body in last["promise_made"].items()
        if body.get("day")
    }
    return PlanTold(
        routes=last["route_told"],
        machines=last["machine_told"],
        routed=last["batch_routed"],
        days=last["person_days"],
        promised=promised,
        wish=wish,
        goes=tuple(_goes(begun, ended)),
    )


def _goes(begun: dict[UUID, tuple[datetime, Body]], ended: dict[UUID, datetime]) -> Iterator[Go]:
    for ident, (at, body) in sorted(begun.items(), key=lambda one: (one[1][0], str(one[0]))):
        over = ended.get(ident)
        yield Go(
            id=ident,
            batch=UUID(body["batch"]),
            step=body["step"],
            pieces=body["pieces"],
            people=tuple(UUID(one) for one in body.get("people", ())),
            began=at,
            ended=None if over is None else max(over, at),
        )


def settle_nouns(workshop: Workshop) -> None:
    """Promise of each batch and hours of each person, as last told."""
    told = plan_told(workshop)
    for batch in Batch.objects.filter(workshop=workshop):
        by = told.promised.get(batch.id)
        if batch.promised != by:
            Batch.objects.filter(id=batch.id).update(promised=by)
    for member in Membership.objects.filter(workshop=workshop, person__in=told.days):
        days = told.days[member.person_id].get("days", ())
        hours = {str(day["weekday"]): [day["comes"], day["goes"]] for day in days}
        Membership.objects.filter(id=member.id).update(hours=hours)
