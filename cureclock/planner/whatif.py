"""What if: the changes worth asking about, solved, as a table."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import time
from uuid import UUID

import numpy as np

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.acts import pieces_done_us
from cureclock.core.planning.answer import Answer
from cureclock.core.planning.conflict import Conflict
from cureclock.core.planning.problem import Batch, Person, Problem
from cureclock.core.planning.solve import Effort
from cureclock.core.planning.whatif import (
    Change,
    another_machine,
    more_things,
    other_waits,
    somebody_there,
    what_if,
    without_step,
)
from cureclock.core.refusal import Refused
from cureclock.core.reminding.wall import wall_us
from cureclock.planner.asked import Asked
from cureclock.planner.hours import next_free_day
from cureclock.planner.routes import wait_of
from cureclock.planner.saved import Kept
from cureclock.shop.models import Reading
from cureclock.shop.plan_told import Body

MOST = 12
MORE = 4  # clamps, hooks and the like
SATURDAY = 5
COMES, GOES = time(9), time(15)  # a helper's Saturday; our choice


def table(
    wanted: Asked, present: Answer, effort: Effort, speak: Callable[[Conflict], Conflict]
) -> list[Kept]:
    """Each change, and what it would do to each batch; those that gain most first."""
    problem = wanted.problem
    assert problem is not None
    asked_for = list(_changes(wanted, problem))[:MOST]
    outcomes = what_if(present, [change for _, change in asked_for], effort=effort)
    by_name = {change.name: key for key, change in asked_for}
    return [
        {
            "change": dict(by_name[one.name]),
            "gained_us": one.gained_us,
            "gained_pieces": one.gained_pieces,
            "impossible": [speak(conflict).says for conflict in one.answer.conflicts],
            "batches": _batches(one.answer),
        }
        for one in outcomes
    ]


def _batches(answer: Answer) -> Kept:
    if answer.plan is None:
        return {}
    pieces = pieces_done_us(answer.problem, answer.plan.acts)
    return {
        name: {"done_us": answer.plan.done_us[name], "pieces_us": np.sort(own).tolist()}
        for name, own in pieces.items()
    }


Key = tuple[tuple[str, str], ...]


def _changes(wanted: Asked, problem: Problem) -> Iterator[tuple[Key, Change]]:
    """Changes with what they are, for people's words: kind, and ids of what is meant."""
    steps = [step for batch in problem.batches for step in batch.steps]
    for thing in dict.fromkeys(take.thing for step in steps for take in step.takes):
        yield _key("more_things", thing=thing, count=str(MORE)), more_things(problem, thing, MORE)
    for machine in dict.fromkeys(step.machine for step in steps if step.machine):
        yield _key("machine", machine=machine), another_machine(problem, machine)
    for person in problem.people:
        yield from _on_saturday(wanted, problem, person)
    for batch in problem.batches:
        yield from _elsewhere(wanted, problem, batch)
        yield from _one_coat_less(wanted, problem, batch)


def _key(kind: str, **what: str) -> Key:
    return (("kind", kind), *what.items())


def _on_saturday(wanted: Asked, problem: Problem, person: Person) -> Iterator[tuple[Key, Change]]:
    day = next_free_day(wanted.workshop, person.hours, problem.from_us, SATURDAY)
    if day is None:
        return
    tz = wanted.workshop.tz
    comes, goes = (max(wall_us(day, one, tz), problem.from_us) for one in (COMES, GOES))
    if goes > comes:
        there = ShopHours([comes], [goes])
        key = _key("saturday", person=person.name, day=day.isoformat())
        yield key, somebody_there(problem, person.name, there)


def _elsewhere(wanted: Asked, problem: Problem, batch: Batch) -> Iterator[tuple[Key, Change]]:
    """All waits of one material of a batch in another place that has a thermometer."""
    route = wanted.routes[batch.name]
    read = set(
        Reading.objects.filter(place__workshop=wanted.workshop, struck_by=None)
        .order_by()
        .values_list("place", flat=True)
        .distinct()
    )
    stands = dict.fromkeys(
        (step["material"], step["place"])
        for step in route["steps"]
        if step.get("material") and step.get("place")
    )
    for material, here in stands:
        for place in sorted(read - {UUID(here)}, key=str):
            tables = _swapped(wanted, route, (batch.name, material, here), place)
            if tables:
                key = _key("place", batch=batch.name, material=material, place=str(place))
                yield key, other_waits(problem, f"{batch.name} {material} {place}", tables)


def _swapped(
    wanted: Asked, route: Body, what: tuple[str, str, str], place: UUID
) -> dict[tuple[str, str, str], ReadyTable]:
    name, material, here = what
    steps = {step["key"]: step for step in route["steps"]}
    gates = [(step["key"], after) for step in route["steps"] for after in step.get("after", ())]
    gates += [("", after) for after in route.get("done", ())]
    found = {}
    for key, after in gates:
        wait = wait_of(steps[after["step"]], steps, after.get("gate") or "")
        if wait is None or (str(wait.material), str(wait.place)) != (material, here):
            continue
        opens = wanted.tables.opens(replace(wait, place=place))
        if opens is not None:
            found[name, after["step"], key] = opens
    return found


def _one_coat_less(wanted: Asked, problem: Problem, batch: Batch) -> Iterator[tuple[Key, Change]]:
    """Without the last step that lays on what a step before it laid on already."""
    route = wanted.routes[batch.name]
    own: dict[str, list[str]] = {}
    labels = wanted.tables.labels
    for step in route["steps"]:
        material = step.get("material")
        if material and "recoat_opens" in labels.offered(UUID(material)):
            own.setdefault(material, []).append(step["key"])
    for keys in own.values():
        if len(keys) > 1:
            try:
                change = without_step(problem, batch.name, keys[-1])
            except Refused:
                continue  # it is begun already, or frees what another ties up
            yield _key("coat_less", batch=batch.name, step=keys[-1]), change


def done_by(pieces_us: Sequence[int], by_us: int) -> int:
    """How many pieces are done by an instant."""
    return int(np.searchsorted(np.asarray(pieces_us), by_us, side="right"))
