"""What is wanted of a plan, said to the solver: the goal's figure, and few changes."""

from collections import defaultdict
from typing import Any

import numpy as np

from cureclock.core.planning.aims import Measure
from cureclock.core.planning.bounds import ANY_TIME, Bounds
from cureclock.core.planning.layout import Go, at
from cureclock.core.planning.model import Model


def add_goal(model: Model, goal: Measure, least: int, known: int) -> Any:
    """Add the goal's figure to a model.

    Args:
        model: the goes.
        goal: how the figure is counted.
        least: a figure that none is below.
        known: one that has been reached.

    Returns:
        What is to be made least.
    """
    figure = model.program.new_int_var(least, known, "")
    if goal.by_slot is None:
        _add_worst(model, goal, figure, least)
        return figure
    worst = model.program.new_int_var(0, goal.each - 1, "")
    _add_worst(model, goal, worst, 0)
    model.program.add(figure == worst + goal.each * sum(_late_pieces(model, goal.by_slot)))
    return figure


def _add_worst(model: Model, goal: Measure, figure: Any, least: int) -> None:
    """The figure is at least when the last goes are done, less their batch's offset."""
    last: dict[object, Go] = {}
    for index in model.layout.finals:
        go = model.layout.goes[index]
        last[go.kind, go.begun] = go
    for go in last.values():
        if go.batch not in goal.offsets:
            continue
        offset = goal.offsets[go.batch]
        for late in (False, True) if go.index in model.late else (False,):
            only_if = [model.late[go.index]] if late else []
            done = model.layout.done_slots(go, late)
            model.not_below(figure + offset, go, done, least + offset, only_if)


def _late_pieces(model: Model, by_slot: int) -> list[Any]:
    """For each piece whether it is not done by the date."""
    late: dict[tuple[str, int], Any] = {}
    for index in model.layout.finals:
        go = model.layout.goes[index]
        too_late = _too_late(model, go, by_slot)
        for piece in range(go.first, go.first + go.pieces):
            if (go.batch, piece) not in late:
                late[go.batch, piece] = model.program.new_bool_var("")
            model.program.add(late[go.batch, piece] >= too_late)
    return list(late.values())


def _too_late(model: Model, go: Go, by_slot: int) -> Any:
    """Whether a last go is done after the date."""
    if go.begun is not None:
        return int(at(model.layout.done_slots(go), 0) > by_slot)
    too_late = model.program.new_bool_var("")
    for late in (False, True) if go.index in model.late else (False,):
        done = model.layout.done_slots(go, late)
        last = int(np.searchsorted(done, by_slot, side="right")) - 1
        only_if = [~too_late, model.late[go.index]] if late else [~too_late]
        model.program.add(model.start[go.index] <= last).only_enforce_if(*only_if)
    return too_late


def add_steadiness(model: Model, kept: dict[int, int], most: int | None) -> Any:
    """Count the goes that do not begin where they did before.

    Args:
        model: the goes.
        kept: for goes that were planned before, where.
        most: at most so many may change; None for any number.

    Returns:
        How many change.
    """
    changed = []
    for index, position in kept.items():
        one = model.program.new_bool_var("")
        model.program.add(model.start[index] == position).only_enforce_if(~one)
        changed.append(one)
    if most is not None:
        model.program.add(sum(changed) <= most)
    return sum(changed)


def latest_by(bounds: Bounds, goal: Measure, known: int) -> list[int]:
    """The latest position of each go in a plan that is no worse than a known one.

    Args:
        bounds: the goes.
        goal: how the figure is counted.
        known: the figure of that plan.

    Returns:
        For each go its latest position.
    """
    if goal.by_slot is not None:
        # Late pieces weigh most; all of them are done before the figure of the worst.
        return bounds.tails(defaultdict(lambda: ANY_TIME))
    return bounds.tails({name: offset + known for name, offset in goal.offsets.items()})
