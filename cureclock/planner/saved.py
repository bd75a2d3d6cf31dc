"""A plan as it is kept, and back again: plain values, instants in whole microseconds."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

import numpy as np

from cureclock.core.planning.acts import pieces_done_us
from cureclock.core.planning.answer import Answer
from cureclock.core.planning.chain import Stretch, chain_of
from cureclock.core.planning.conflict import Conflict
from cureclock.core.planning.dates import LIKELY, SAFE, Dates
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Person, Problem
from cureclock.planner.reasons import Reasons, waits

Kept = dict[str, Any]
ACT = tuple(one.name for one in fields(Act))


def kept(answer: Answer, dates: Dates | None, speak: Callable[[Conflict], Conflict]) -> Kept:
    """An answer to be kept.

    Args:
        answer: what was found.
        dates: when it is done, many times over; None without a plan.
        speak: puts what stands in the way as people call it.
    """
    plan = answer.plan
    told: Kept = {
        "from_us": answer.problem.from_us,
        "until_us": answer.problem.until_us,
        "aim": str(answer.goal.aim),
        "by_us": answer.goal.by_us,
        "late": answer.late,
        "gap": answer.gap,
        "proven": answer.proven,
        "seconds": answer.seconds,
        "given_up": [_conflict(speak(one)) for one in answer.given_up],
        "conflicts": [_conflict(speak(one)) for one in answer.conflicts],
        "acts": [],
        "waits": [],
        "there": {person.name: _spells(person) for person in answer.problem.people},
        "batches": {},
    }
    if plan is not None and dates is not None:
        reasons = Reasons(answer.problem, plan)
        told["acts"] = [{**_act(act), **reasons.why(act)} for act in plan.acts]
        told["waits"] = waits(answer.problem, plan)
        told["batches"] = {
            batch.name: _batch(answer.problem, plan, dates, batch.name)
            for batch in answer.problem.batches
        }
    return told


def _spells(person: Person) -> list[tuple[int, int]]:
    """When somebody is there."""
    if person.hours is None:
        return []
    opens, closes = np.asarray(person.hours.open_us), np.asarray(person.hours.close_us)
    return list(zip(opens.tolist(), closes.tolist(), strict=True))


def _act(act: Act) -> Kept:
    return {**asdict(act), "people": list(act.people)}


def _conflict(one: Conflict) -> Kept:
    return {**asdict(one), "clash": str(one.clash), "says": one.says}


def _batch(problem: Problem, plan: Plan, dates: Dates, name: str) -> Kept:
    chain = chain_of(problem, plan, name)
    pieces = np.sort(dates.pieces_us[name], axis=0)
    return {
        "count": problem.batch(name).count,
        "promise_us": problem.batch(name).promise_us,
        "done_us": plan.done_us[name],
        "likely_us": dates.likely_us(name),
        "safe_us": dates.safe_us(name),
        # Of each piece in the order in which they are done: when half, and nine of ten times.
        "planned_pieces_us": np.sort(pieces_done_us(problem, plan.acts)[name]).tolist(),
        "likely_pieces_us": _by(pieces, LIKELY),
        "safe_pieces_us": _by(pieces, SAFE),
        "rules": stretch(chain.ruling()),
        "chain": [stretch(one) for one in chain.stretches],
    }


def _by(pieces: Any, share: float) -> list[int]:
    found = np.quantile(pieces, share, axis=1, method="higher")
    return [int(one) for one in np.sort(found)]


def stretch(one: Stretch) -> Kept:
    """A part of the chain that rules a date."""
    return {**asdict(one), "ruler": str(one.ruler)}


def plan_of(body: Mapping[str, Any]) -> Plan | None:
    """The plan that was kept, to be kept to as far as it goes; None where there was none."""
    acts: Sequence[Kept] = body.get("acts", ())
    if not acts:
        return None
    found = tuple(
        Act(**{**{name: act[name] for name in ACT}, "people": tuple(act["people"])}) for act in acts
    )
    done = {name: int(own["done_us"]) for name, own in body.get("batches", {}).items()}
    return Plan(found, done)
