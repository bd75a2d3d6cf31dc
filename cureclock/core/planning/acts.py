"""From placed goes to a plan with instants, and the same plan without needless idling."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from cureclock.core.planning.calendar import over_at
from cureclock.core.planning.greedy import Placed
from cureclock.core.planning.layout import Go, Ints, Layout
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Problem
from cureclock.core.planning.replay import Draws, Key, replay
from cureclock.core.planning.route import After


def plan_of(layout: Layout, placed: Placed) -> Plan:
    """The plan that placed goes make.

    Args:
        layout: the goes.
        placed: where each begins, and in whose hands.

    Returns:
        A Plan, acts in the order in which they begin.

    Raises:
        Nothing: every go has a place.

    Valid for:
        Goes that all found a place.
    Assumes:
        An act begins with its slot and lasts as long as its step says, not whole slots.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.greedy import place_all
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue", 7),)),)))
        >>> plan_of(layout, place_all(layout, [0.0])).done_us
        {'tray': 7}
    """
    acts = [_act(layout, go, placed) for go in layout.goes]
    acts.sort(key=lambda act: act.start_us)
    return _plan(layout.problem, acts)


def _act(layout: Layout, go: Go, placed: Placed) -> Act:
    begun, step = go.begun, go.step
    if begun is not None:
        loaded_us = begun.start_us + step.hands_of(go.pieces)
        hands_us = min(begun.end_us, loaded_us) if step.alone_us else begun.end_us
        times = (begun.start_us, hands_us, begun.end_us, begun.people, False, True)
        return Act(go.batch, step.key, go.first, go.pieces, *times)
    late, position = placed.late[go.index], placed.start[go.index]
    start_us = int(layout.calendar.instant(layout.calendar.slots[position]))
    hands_us = start_us + step.hands_of(go.pieces, step.late_us if late else 0)
    people = placed.people[go.index]
    times = (start_us, hands_us, hands_us + step.alone_us, people, late, False)
    return Act(go.batch, step.key, go.first, go.pieces, *times)


def pieces_done_us(problem: Problem, acts: Sequence[Act]) -> dict[str, Ints]:
    """When each piece of each batch is done.

    Args:
        problem: what is planned.
        acts: every go of every step.

    Returns:
        By batch, the instants in the order of the pieces [us].

    Raises:
        Nothing.

    Valid for:
        Plans in which nothing is missing.
    Assumes:
        Nothing.
    Source:
        The latest end of a last step, or of a gate that has to be open.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))
        >>> pieces_done_us(problem, [Act("tray", "glue", 0, 1, 0, 5, 5)])["tray"].tolist()
        [5]
    """
    found = {}
    for batch in problem.batches:
        gates = [*(After(key) for key in batch.last_steps), *batch.done]
        done = np.full(batch.count, np.iinfo(np.int64).min)
        for gate in gates:
            for act in acts:
                if (act.batch, act.step) == (batch.name, gate.step):
                    rows = slice(act.first, act.first + act.pieces)
                    over = int(over_at(gate.opens, np.array([act.end_us]))[0])
                    done[rows] = np.maximum(done[rows], over)
        found[batch.name] = done
    return found


def _plan(problem: Problem, acts: Sequence[Act]) -> Plan:
    done = pieces_done_us(problem, acts)
    return Plan(tuple(acts), {name: int(times.max()) for name, times in done.items()})


def settled(problem: Problem, plan: Plan, keep: Plan | None = None) -> Plan:
    """The plan with each act as early as its turn allows, where nothing is lost by that.

    Args:
        problem: what is planned.
        plan: a plan that holds.
        keep: an earlier plan; acts that begin where they did in it are left there.

    Returns:
        A plan of the same order. It has to be verified as any other.

    Raises:
        Nothing.

    Valid for:
        Plans without faults.
    Assumes:
        What another act must soon follow is left where it is.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue", 60),)),))
        >>> act = Act("tray", "glue", 0, 1, 900_000_000, 900_000_060, 900_000_060)
        >>> settled(problem, Plan((act,), {"tray": 0})).acts[0].start_us
        0
    """
    before = set() if keep is None else {(act.batch, act.step, act.start_us) for act in keep.acts}
    held = {
        (batch.name, gate.step)
        for batch in problem.batches
        for step in batch.steps
        for gate in step.after
        if gate.has_limit
    }
    stay: dict[Key, int] = {
        act.key: act.start_us
        for act in plan.acts
        if (act.batch, act.step) in held or (act.batch, act.step, act.start_us) in before
    }
    run = replay(problem, plan, Draws(1), grid_us=problem.slot_us, not_before=stay)
    acts = []
    for number, act in enumerate(plan.acts):
        start = round(float(run.start_us[number, 0]))
        late = bool(run.late[number, 0])
        step = problem.batch(act.batch).step(act.step)
        hands = start + step.hands_of(act.pieces, step.late_us if late else 0)
        moved = replace(
            act, start_us=start, hands_end_us=hands, end_us=hands + step.alone_us, late=late
        )
        acts.append(act if act.pinned else moved)
    acts.sort(key=lambda act: act.start_us)
    return _plan(problem, acts)
