"""What solving says: a plan that was verified, how near it is to the best, what was given up."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.planning.acts import pieces_done_us
from cureclock.core.planning.conflict import Conflict
from cureclock.core.planning.plan import Aim, Goal, Plan
from cureclock.core.planning.problem import Problem


@dataclass(frozen=True)
class Answer:
    """The answer to a problem.

    Attributes:
        problem: what the plan keeps; differs from what was asked by what was given up.
        goal: what was wanted.
        plan: the plan; None only where `conflicts` says why there is none.
        bound_us: no plan has the worst batch done before this [us], for the earliest end and
            for slack less its promise; None without a plan.
        reached_us: what this plan reaches, counted alike [us].
        late, least_late: pieces not done by the date of "most done by", and how few they can be.
        proven: no plan is better.
        given_up: constraints that this plan does not keep.
        conflicts: constraints for which there is no plan at all.
        seconds: time the solver took.
    """

    problem: Problem
    goal: Goal
    plan: Plan | None = None
    bound_us: int | None = None
    reached_us: int | None = None
    late: int = 0
    least_late: int = 0
    proven: bool = False
    given_up: tuple[Conflict, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    seconds: float = 0.0

    @property
    def gap(self) -> float:
        """How much better a plan could still be, as a share of the time from now to the end.

        For the most pieces by a date: the pieces that may still be won, as a share of all.
        """
        if self.plan is None or self.reached_us is None or self.bound_us is None:
            return 1.0
        if self.goal.aim == Aim.MOST:
            return (self.late - self.least_late) / sum(b.count for b in self.problem.batches)
        span_us = self.plan.all_done_us - self.problem.from_us
        return max(self.reached_us - self.bound_us, 0) / max(span_us, 1)

    @property
    def slack_us(self) -> int | None:
        """Time to spare to the promise that is closest kept [us]; below 0 it is broken."""
        if self.goal.aim != Aim.SLACK or self.reached_us is None:
            return None
        return -self.reached_us


def reached(problem: Problem, goal: Goal, plan: Plan) -> tuple[int, int]:
    """What a plan reaches: the worst batch, and the pieces that are late.

    Args:
        problem: what is planned.
        goal: what was wanted.
        plan: a plan that holds.

    Returns:
        When the last batch is done [us], for slack less its promise; and how many pieces are
        not done by the date of "most done by" [-].

    Raises:
        Nothing.

    Valid for:
        Plans without faults.
    Assumes:
        Batches without a promise do not count for slack.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.plan import Act
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))
        >>> plan = Plan((Act("tray", "glue", 0, 1, 0, 5, 5),), {"tray": 5})
        >>> reached(problem, Goal(Aim.MOST, by_us=3), plan)
        (5, 1)
    """
    offsets = {batch.name: 0 for batch in problem.batches}
    if goal.aim == Aim.SLACK:
        promised = [batch for batch in problem.batches if batch.promise_us is not None]
        offsets = {batch.name: batch.promise_us or 0 for batch in promised}
    worst = max(plan.done_us[name] - offset for name, offset in offsets.items())
    if goal.by_us is None:
        return worst, 0
    done = np.concatenate(list(pieces_done_us(problem, plan.acts).values()))
    return worst, int((done > goal.by_us).sum())
