"""The problem of a workshop at an instant: routes, people, machines, things, what is begun."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from uuid import UUID

from cureclock.core.planning.plan import Aim, Goal
from cureclock.core.planning.problem import SLOT_US, Batch, Begun, Person, Problem
from cureclock.core.planning.route import Step
from cureclock.core.reminding.wall import wall_us
from cureclock.core.units import DAY_US, HOUR_US, instant_us
from cureclock.planner.hours import people
from cureclock.planner.labels import labels_of
from cureclock.planner.routes import core_steps, done_gates
from cureclock.planner.tables import CureTables
from cureclock.planner.woods import with_lags
from cureclock.shop.models import Place, Workshop
from cureclock.shop.plan_told import Body, Go, PlanTold, plan_told
from cureclock.shop.things import owned
from cureclock.waits.ages import Ages

AHEAD_US = 35 * DAY_US  # how far a plan looks; longer where a promise lies beyond; our choice
LONGEST_US = 120 * DAY_US
AFTER_PROMISE_US = 7 * DAY_US


@dataclass(frozen=True)
class Asked:
    """What is to be planned, and what it was made of.

    Attributes:
        problem: None where no batch has a route.
        goal: what is wanted.
        told: what was told for it.
        tables: where the ends of waits are looked up.
        routes: the route of each batch that has one, its glue steps with the lag of their wood.
    """

    workshop: Workshop
    at: datetime
    problem: Problem | None
    goal: Goal
    told: PlanTold
    tables: CureTables
    routes: Mapping[str, Body]


def asked(workshop: Workshop, at: datetime) -> Asked:
    """The problem of a workshop at an instant.

    Raises:
        Refused: what was told contradicts itself; it is named.
    """
    told = plan_told(workshop)
    from_us = -(-instant_us(at) // SLOT_US) * SLOT_US
    until_us = from_us + _ahead_us(workshop, told, from_us)
    since = min([go.began for go in told.goes], default=at)
    materials = {
        UUID(step["material"])
        for body in told.routes.values()
        for step in body["steps"]
        if step.get("material")
    }
    places = {place.id: place for place in Place.objects.filter(workshop=workshop)}
    first = min(since, at) - timedelta(hours=1)
    tables = CureTables(
        Ages(first, at), labels_of(workshop, materials, at), places, instant_us(first), until_us
    )
    routes = {
        str(batch): with_lags(told.routes[UUID(body["route"])], batch, tables.labels)
        for batch, body in told.routed.items()
        if body.get("route")
    }
    batches = tuple(
        _batch(workshop, told, UUID(batch), route, tables) for batch, route in routes.items()
    )
    problem = None
    hands = people(workshop, told, from_us, until_us)
    if batches:
        problem = Problem(
            from_us=from_us,
            until_us=until_us,
            people=hands,
            batches=batches,
            machines={str(one): int(body.get("count", 1)) for one, body in told.machines.items()},
            things={str(one.id): one.count for one in owned(workshop)},
            begun=tuple(_begun(told, batches, hands, from_us)),
        )
    return Asked(workshop, at, problem, _goal(workshop, told), told, tables, routes)


def _ahead_us(workshop: Workshop, told: PlanTold, from_us: int) -> int:
    ends = [day_end_us(workshop, day) + AFTER_PROMISE_US for day in told.promised.values()]
    return min(max([AHEAD_US, *(end - from_us for end in ends)]) // HOUR_US * HOUR_US, LONGEST_US)


def day_end_us(workshop: Workshop, day: date) -> int:
    """When a day of the workshop ends [us]: what is promised for it is promised by then."""
    return wall_us(day + timedelta(days=1), time(0), workshop.tz)


def _goal(workshop: Workshop, told: PlanTold) -> Goal:
    aim = Aim(told.wish.get("aim", Aim.EARLIEST))
    if aim == Aim.MOST:
        return Goal(aim, day_end_us(workshop, date.fromisoformat(told.wish["day"])))
    promised = any(batch in told.promised for batch in told.routed)
    return Goal(aim if promised or aim != Aim.SLACK else Aim.EARLIEST)


def _batch(
    workshop: Workshop, told: PlanTold, batch: UUID, route: Body, tables: CureTables
) -> Batch:
    day = told.promised.get(batch)
    return Batch(
        name=str(batch),
        count=int(told.routed[batch]["count"]),
        steps=core_steps(route, tables),
        done=done_gates(route, tables),
        promise_us=None if day is None else day_end_us(workshop, day),
    )


def _begun(
    told: PlanTold, batches: tuple[Batch, ...], hands: tuple[Person, ...], from_us: int
) -> Iterator[Begun]:
    """What was begun, and what has to be done for that to be so though nobody told it."""
    for batch in batches:
        known = {step.key for step in batch.steps}
        own = [go for go in told.goes if str(go.batch) == batch.name and go.step in known]
        for one in _of_batch(batch, own, from_us):
            here = {person.name for person in hands}
            yield replace(one, people=tuple(name for name in one.people if name in here))


def _of_batch(batch: Batch, goes: list[Go], from_us: int) -> Iterator[Begun]:
    through = {step.key: 0 for step in batch.steps}
    found: list[Begun] = []
    for go in goes:
        step = batch.step(go.step)
        left = batch.count - through[step.key]
        pieces = min(go.pieces, left)
        start_us = min(instant_us(go.began), from_us)
        if pieces <= 0:
            continue
        through[step.key] += pieces
        found += _before(batch, step, through, start_us)
        end_us = _end_us(go, step, start_us, from_us)
        hands = tuple(str(person) for person in go.people) if step.hands_of(pieces) else ()
        found.append(Begun(batch.name, step.key, pieces, start_us, end_us, hands))
    yield from found


def _before(batch: Batch, step: Step, through: dict[str, int], at_us: int) -> Iterator[Begun]:
    """What comes before a step that was begun is taken to be done, by its beginning at the latest."""
    for before in step.after:
        missing = through[step.key] - through[before.step]
        if missing > 0:
            through[before.step] = through[step.key]
            yield from _before(batch, batch.step(before.step), through, at_us)
            yield Begun(batch.name, before.step, missing, at_us, at_us)


def _end_us(go: Go, step: Step, start_us: int, from_us: int) -> int:
    """When a go ended, or is expected to: never before now while nobody has said that it is over."""
    if go.ended is not None:
        return max(min(instant_us(go.ended), from_us), start_us)
    return max(start_us + step.hands_of(go.pieces) + step.alone_us, from_us)
