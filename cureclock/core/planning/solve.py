"""Solve a problem: quick plans first, then constraint programming; never a plan unverified."""

import math
from dataclasses import dataclass
from typing import Any

from cureclock.core.planning.acts import plan_of, settled
from cureclock.core.planning.aims import Measure, measure
from cureclock.core.planning.answer import Answer, reached
from cureclock.core.planning.bounds import Bounds
from cureclock.core.planning.conflict import (
    Clash,
    Conflict,
    conflicts_in,
    forgiving,
    hopeless,
    horizon_conflict,
    window_conflict,
)
from cureclock.core.planning.greedy import Placed, place_all, rule_ranks
from cureclock.core.planning.keeping import place_kept, stands, times_kept
from cureclock.core.planning.layout import Layout, Link, lay_out
from cureclock.core.planning.model import Model
from cureclock.core.planning.plan import Aim, Goal, Plan
from cureclock.core.planning.problem import LONGEST_US, Problem
from cureclock.core.planning.tries import best_try
from cureclock.core.planning.verify import verify
from cureclock.core.planning.wishes import add_goal, add_steadiness, latest_by
from cureclock.core.refusal import within

WORKERS = 2
STEADY = 0.8  # a plan made anew leaves so many of the other starts where they were
LONGEST_S = 3600
FIRST_S = 10.0
EXACT = 1e-6


class Unsound(RuntimeError):
    """A plan was found that does not hold: a defect of this program, never shown as a plan."""


@dataclass(frozen=True)
class Effort:
    """How hard to look.

    Args:
        limit_s: time for the solver [s], 0 to 3600; 0: quick plans only.
        workers: how many searches it runs side by side [-], 1 to 64.
        seed: of the draws and of the search.

    Raises:
        Refused: a figure outside its range.
    """

    limit_s: float = FIRST_S
    workers: int = WORKERS
    seed: int = 0

    def __post_init__(self) -> None:
        within("time to solve", self.limit_s, 0, LONGEST_S, "s")
        within("searches side by side", self.workers, 1, 64)


def solve(
    problem: Problem,
    goal: Goal | None = None,
    *,
    effort: Effort | None = None,
    keep: Plan | None = None,
) -> Answer:
    """A verified plan, with how near it is to the best, or the constraints in conflict.

    Args:
        problem: what is to be planned.
        goal: what is wanted; the earliest end unless told.
        effort: how hard to look; 10 s on two cores unless told.
        keep: the plan so far, of which as much as can be is left as it is.

    Returns:
        An Answer. Where not all fits before the problem's end, or a gate closes unmet, the
        plan goes on or comes late, and the answer says what was given up.

    Raises:
        Refused: slack to a promise where nothing was promised.

    Valid for:
        Problems of some hundred goes.
    Assumes:
        Beyond the problem's end the hours are those of its last week.
    Source:
        OR-Tools CP-SAT; the plan is checked by `verify`, which knows nothing of it.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> saw = Step("saw", machine="saw", alone_us=3_600_000_000)
        >>> found = solve(Problem(0, 10**11, (), (Batch("box", 2, (saw,)),), {"saw": 1}))
        >>> found.proven, found.plan.all_done_us
        (True, 7200000000)
    """
    return _Solving(problem, goal or Goal(), effort or Effort(), keep).answer()


class _Solving:
    """One problem on its way to an answer."""

    def __init__(self, asked: Problem, goal: Goal, effort: Effort, keep: Plan | None) -> None:
        goal.suits(asked)
        self.asked, self.goal, self.effort, self.keep = asked, goal, effort, keep
        self.given_up: list[Conflict] = []
        self.seconds = 0.0
        self._lay(asked)

    def _lay(self, problem: Problem) -> None:
        self.problem, self.layout = problem, lay_out(problem)
        self.conflicts = conflicts_in(self.layout)
        if not self.conflicts:
            self.bounds = Bounds(self.layout)
            self.aim: Measure = measure(self.layout, self.goal)

    def answer(self) -> Answer:
        if self.conflicts:
            return Answer(self.asked, self.goal, conflicts=self.conflicts)
        self._forgive(hopeless(self.layout), Clash.WINDOW, proven=True)
        quick = self._quick()
        if quick is None:
            return Answer(self.asked, self.goal, conflicts=(self._stuck(),))
        if not quick.sound:
            quick = self._without_missing(quick)
        return self._improved(quick)

    def _forgive(self, links: list[Link], clash: Clash, *, proven: bool) -> None:
        if links:
            self.given_up += [window_conflict(self.layout, one, clash, proven) for one in links]
            self._lay(forgiving(self.problem, links, self.layout))

    def _quick(self) -> Placed | None:
        """A plan by rule, in a span made longer until it holds all."""
        while True:
            best = best_try(self.layout, self.aim, self.effort.seed)
            if best is not None:
                return best
            by_rule = place_all(self.layout, rule_ranks(self.layout))
            if by_rule.whole:
                return by_rule
            span_us = self.problem.until_us - self.problem.from_us
            longer_us = min(2 * span_us, LONGEST_US)
            if longer_us == span_us:
                return None
            self._lay(self.problem.until(self.problem.from_us + longer_us))

    def _stuck(self) -> Conflict:
        """Nothing can be begun any more, however long the span."""
        placed = place_all(self.layout, rule_ranks(self.layout))
        go = self.layout.goes[placed.start.index(-1)]
        things = ", ".join(take.thing for take in go.step.takes) or go.step.machine or "what"
        return Conflict(Clash.STUCK, go.batch, go.step.key, things, proven=False)

    def _without_missing(self, quick: Placed) -> Placed:
        """A plan that meets every gate; where none is found, gates are given up."""
        found, impossible = self._search()
        if found is not None:
            return found
        self._forgive(_distinct(quick.missed, self.layout), Clash.CROWDED, proven=impossible)
        again = self._quick()
        return quick if again is None else again

    def _improved(self, quick: Placed) -> Answer:
        quick, kept, most = self._kept(quick)
        best, bound = quick, self._least(self.aim.of(quick))
        if self.effort.limit_s and (bound < self.aim.of(quick) or kept):
            found, bound = self._solved(quick, bound, kept, most)
            best = found if found is not None else quick
        return self._told(best, bound)

    # Steadiness

    def _kept(self, quick: Placed) -> tuple[Placed, dict[int, int], int]:
        """The plan so far with what no longer holds put elsewhere; the goes that stand in it
        where they stood, and how many more may move. Another plan where that fails.
        """
        if self.keep is None:
            return quick, {}, 0
        times = times_kept(self.layout, self.keep)
        mended = place_kept(self.layout, rule_ranks(self.layout), times)
        if not mended.sound:
            mended = quick
        kept = stands(self.layout, mended, times)
        before = sum(len(own) for own in times.values())
        most = int((1 - STEADY) * before) - (before - len(kept))
        return mended, kept, max(most, 0)

    # Solver

    def _least(self, known: int) -> int:
        """A figure that no plan is below: gates, hours and turns alone."""
        if self.aim.by_slot is not None:
            return 0
        low = -known - len(self.layout.calendar)
        return self.bounds.least(self.aim.offsets, min(low, known), known)

    def _search(self) -> tuple[Placed | None, bool]:
        """Any plan that meets every gate, and whether it is certain that there is none."""
        if not self.effort.limit_s:
            return None, False
        latest = [self.layout.never - 1] * len(self.layout.goes)
        solver, model = self._model(latest)
        status = self._run(solver, model)
        if status in {"OPTIMAL", "FEASIBLE"}:
            return self._holding(model.read(solver.value)), False
        return None, status == "INFEASIBLE"

    def _solved(
        self, quick: Placed, least: int, kept: dict[int, int], most: int
    ) -> tuple[Placed | None, int]:
        """A better plan if one is found, and the figure that no plan is below."""
        known = self.aim.of(quick)
        solver, model = self._model(latest_by(self.bounds, self.aim, known))
        figure = add_goal(model, self.aim, least, known)
        model.hint(quick)
        changed: Any = 0
        if kept:
            changed = add_steadiness(model, kept, most)
        weight = len(kept) + 1
        model.program.minimize(figure * weight + changed)
        status = self._run(solver, model)
        if status not in {"OPTIMAL", "FEASIBLE"}:
            return None, least
        # With little allowed to change, the solver's bound says nothing of other plans.
        bound = least if kept else max(least, math.ceil(solver.best_objective_bound - EXACT))
        return self._holding(model.read(solver.value)), bound

    def _model(self, latest: list[int]) -> tuple[Any, Model]:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy

        return cp_model.CpSolver(), Model(cp_model, self.bounds, latest)

    def _run(self, solver: Any, model: Model) -> str:
        solver.parameters.max_time_in_seconds = self.effort.limit_s
        solver.parameters.num_workers = self.effort.workers
        solver.parameters.random_seed = self.effort.seed
        # Its searches before the search would take longer than all of the time here.
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        status = solver.solve(model.program)
        self.seconds += solver.wall_time
        return str(solver.status_name(status))

    # The answer

    def _holding(self, placed: Placed) -> Placed | None:
        """The goes, if the plan they make holds."""
        return None if verify(self.problem, plan_of(self.layout, placed)) else placed

    def _told(self, placed: Placed, bound: int) -> Answer:
        plan = self._written(placed)
        figure = self.aim.of(placed)
        reached_us, late = reached(self.problem, self.goal, plan)
        least_late, worst = divmod(bound, self.aim.each) if self.goal.by_us else (0, bound)
        begin = 0 if self.goal.aim == Aim.SLACK else self.problem.from_us
        bound_us = begin + (worst if late == least_late else 0) * self.problem.slot_us
        self._tell_horizon(plan)
        return Answer(
            problem=self.problem,
            goal=self.goal,
            plan=plan,
            bound_us=min(bound_us, reached_us),
            reached_us=reached_us,
            late=late,
            least_late=least_late,
            proven=bound >= figure,
            given_up=tuple(self.given_up),
            seconds=self.seconds,
        )

    def _written(self, placed: Placed) -> Plan:
        """The plan, without needless idling where that holds too."""
        plain = plan_of(self.layout, placed)
        early = settled(self.problem, plain, self.keep)
        for plan in (early, plain):
            if not verify(self.problem, plan):
                return plan
        raise Unsound(str(verify(self.problem, plain)[0]))

    def _tell_horizon(self, plan: Plan) -> None:
        until_us = self.asked.until_us
        beyond = [act for act in plan.acts if max(act.start_us, act.hands_end_us) > until_us]
        if not beyond:
            return
        pieces = {(b.name, i) for b in self.asked.batches for i in range(b.count)}
        for act in beyond:
            pieces -= {(act.batch, i) for i in range(act.first, act.first + act.pieces)}
        self.given_up.append(horizon_conflict(self.asked, len(pieces), self._cannot_fit()))

    def _cannot_fit(self) -> bool:
        """Whether it is certain that not all can be begun before the asked end."""
        calendar, goes = self.layout.calendar, self.layout.goes
        last = int(calendar.position_by(calendar.slot_by(self.asked.until_us - 1)))
        there = sum(int(marks[: last + 1].sum()) for marks in calendar.there.values())
        asked = sum(go.slots for go in goes if go.begun is None)
        late_head = any(self.bounds.heads[go.index] > last for go in goes if go.begun is None)
        return late_head or (bool(self.asked.people) and asked > there)


def _distinct(links: list[Link], layout: Layout) -> list[Link]:
    """One link of each gate."""
    gates: dict[object, Link] = {}
    for link in links:
        after = layout.goes[link.after]
        gates.setdefault((after.batch, after.step.key, link.gate.step), link)
    return list(gates.values())
