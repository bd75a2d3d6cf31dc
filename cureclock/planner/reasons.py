"""Why an act stands where it stands: what closes, what it leaves running, what rules the date."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.planning.calendar import over_at
from cureclock.core.planning.chain import chain_of
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Problem
from cureclock.core.planning.route import After

Kept = dict[str, Any]
Key = tuple[str, str, int]


class Reasons:
    """Reasons for the acts of one plan.

    Args:
        problem: what was planned.
        plan: a plan that holds.
    """

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.of_piece = {
            (act.batch, act.step, piece): act
            for act in plan.acts
            for piece in range(act.first, act.first + act.pieces)
        }
        self.ruling = {
            (part.batch, part.step, part.from_us)
            for batch in problem.batches
            for part in chain_of(problem, plan, batch.name).stretches
        }
        self.leaves: Mapping[tuple[str, str], list[tuple[After, str]]] = _followers(problem)

    def why(self, act: Act) -> Kept:
        """The reason for one act: by when it has to begin, else what goes on without hands after it."""
        rules = (act.batch, act.step, act.start_us) in self.ruling
        return {**(self._closes(act) or self._leaves(act) or self._next(act)), "rules": rules}

    def _closes(self, act: Act) -> Kept | None:
        found = []
        for gate in self.problem.batch(act.batch).step(act.step).after:
            if gate.has_limit:
                for piece in range(act.first, act.first + act.pieces):
                    before = self.of_piece[act.batch, gate.step, piece]
                    found.append((_limit_us(gate, before), gate.name or gate.step))
        if not found:
            return None
        by_us, name = min(found)
        return {"why": "closes", "name": name, "at_us": by_us}

    def _leaves(self, act: Act) -> Kept | None:
        found = [
            (_over(gate.opens, act.end_us), gate.name or gate.step)
            for gate, _ in self.leaves.get((act.batch, act.step), [])
            if gate.opens is not None
        ]
        running = [one for one in found if one[0] > act.end_us]
        if running:
            over_us, name = min(running)
            return {"why": "leaves", "name": name, "at_us": over_us}
        if act.end_us > act.hands_end_us:
            machine = self.problem.batch(act.batch).step(act.step).machine
            return {"why": "runs", "name": machine, "at_us": act.end_us}
        return None

    def _next(self, act: Act) -> Kept:
        own = self.leaves.get((act.batch, act.step), [])
        return {"why": "next", "name": own[0][1] if own and own[0][1] else "", "at_us": None}


def _followers(problem: Problem) -> dict[tuple[str, str], list[tuple[After, str]]]:
    found: dict[tuple[str, str], list[tuple[After, str]]] = {}
    for batch in problem.batches:
        for step in batch.steps:
            for gate in step.after:
                found.setdefault((batch.name, gate.step), []).append((gate, step.key))
        for gate in batch.done:
            found.setdefault((batch.name, gate.step), []).append((gate, ""))
    return found


def _over(table: ReadyTable | None, at_us: int) -> int:
    return int(over_at(table, np.array([at_us]))[0])


def _limit_us(gate: After, before: Act) -> int:
    limits = []
    if gate.closes is not None:
        limits.append(_over(gate.closes, before.start_us))
    if gate.prompt_us is not None:
        limits.append(_over(gate.opens, before.end_us) + gate.prompt_us)
    return min(limits)


def waits(problem: Problem, plan: Plan) -> list[Kept]:
    """What goes by without hands: each wait from the end of its act to its gate, alike ones once."""
    found: dict[tuple[str, str, str, int, int], int] = {}
    followers = _followers(problem)
    for act in plan.acts:
        for gate, _ in followers.get((act.batch, act.step), []):
            over_us = _over(gate.opens, act.end_us)
            if over_us > act.end_us:
                key = (act.batch, act.step, gate.name or gate.step, act.end_us, over_us)
                found[key] = found.get(key, 0) + act.pieces
    return [
        {"batch": batch, "step": step, "gate": gate, "from_us": start, "to_us": end, "pieces": n}
        for (batch, step, gate, start, end), n in found.items()
    ]
