"""Steps that are under way, and the minutes they took beside those that were planned."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from uuid import UUID

from cureclock.shop.plan_told import Body, Go, PlanTold
from cureclock.waits.shown import Thing


@dataclass(frozen=True)
class UnderWay:
    """A go that nobody has said is over."""

    go: UUID
    batch: Thing
    step: str
    pieces: int
    people: tuple[UUID, ...]
    began: datetime


@dataclass(frozen=True)
class MinutesShown:
    """Hands of a step for each piece, as planned and as they were; `times` how often seen."""

    batch: Thing
    step: str
    planned_min: float
    actual_min: float | None
    times: int


def under_way(told: PlanTold, names: Mapping[str, str]) -> tuple[UnderWay, ...]:
    """Every go that is open."""
    return tuple(
        UnderWay(go.id, _thing(go.batch, names), go.step, go.pieces, go.people, go.began)
        for go in told.goes
        if go.ended is None
    )


def minutes_shown(told: PlanTold, names: Mapping[str, str]) -> tuple[MinutesShown, ...]:
    """Each step of each batch that has a route."""
    seen: dict[tuple[UUID, str], list[Go]] = defaultdict(list)
    for go in told.goes:
        if go.ended is not None:
            seen[go.batch, go.step].append(go)
    found = []
    for batch, routed in told.routed.items():
        if not routed.get("route"):
            continue
        for step in told.routes[UUID(routed["route"])]["steps"]:
            own = seen[batch, step["key"]]
            planned, size = _planned_min(step), int(step.get("at_once", 1))
            actual = [_took_min(go, step) for go in own]
            found.append(
                MinutesShown(
                    batch=_thing(batch, names),
                    step=step["key"],
                    planned_min=round(planned / size, 1),
                    actual_min=round(median(actual), 1) if actual else None,
                    times=len(actual),
                )
            )
    return tuple(found)


def _planned_min(step: Body) -> float:
    """Hands of a whole go."""
    return float(step.get("hands_min") or 0) + float(step.get("each_min") or 0) * int(
        step.get("at_once", 1)
    )


def _took_min(go: Go, step: Body) -> float:
    """What a go took of hands for each piece; what ran alone is not hands."""
    assert go.ended is not None
    took = (go.ended - go.began) / timedelta(minutes=1) - float(step.get("alone_min") or 0)
    return max(took, 0.0) / go.pieces


def _thing(batch: UUID, names: Mapping[str, str]) -> Thing:
    return Thing(batch, names.get(str(batch), ""))
