"""Hands-on work that has to be done before a go, and after it: how far that pushes it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np

from cureclock.core.planning.layout import Ints, Layout, Marks
from cureclock.core.planning.order import Turn


class Load:
    """For each go, the goes whose hands come before it and after it, whatever the plan.

    Args:
        layout: the goes.
        turns: which come one after the other.
    """

    def __init__(self, layout: Layout, turns: Iterable[Turn]) -> None:
        self.people = max(len(layout.problem.people), 1)
        slots = [go.slots if go.begun is None else 0 for go in layout.goes]
        self.slots = np.array(slots, dtype=np.int64)
        follows: dict[int, set[int]] = defaultdict(set)
        for link in layout.links:
            if link.opens:
                follows[link.after].add(link.before)
        for turn in turns:
            if turn.ends or turn.hands:
                follows[turn.after].add(turn.before)
        before = _all_before(follows, len(slots)) & (self.slots > 0)
        if not layout.problem.people:
            before[:] = False
        after = before.T & (self.slots > 0)
        self.before = [np.flatnonzero(row) for row in before]
        self.after = [np.flatnonzero(row) for row in after]

    def head(self, index: int, heads: Sequence[int]) -> int:
        """The earliest position of a go at which all hands before it can have done theirs."""
        own = self.before[index]
        if not len(own):
            return 0
        begins = np.asarray(heads, dtype=np.int64)[own]
        order = np.argsort(-begins, kind="stable")
        work = np.cumsum(self.slots[own][order])
        return int((begins[order] + self._shared(work)).max())

    def tail(self, index: int, tails: Sequence[int], latest: int) -> int:
        """The latest position of a go, not after one given, that leaves all hands after it room."""
        own = self.after[index]
        if not len(own):
            return latest
        ends = np.asarray(tails, dtype=np.int64)[own] + self.slots[own]
        order = np.argsort(ends, kind="stable")
        work = np.cumsum(self.slots[own][order])
        room = int((ends[order] - self._shared(work)).min()) - int(self.slots[index])
        return min(latest, room)

    def _shared(self, work: Ints) -> Ints:
        """Slots that work takes when all hands share it."""
        return -(-work // self.people)


def _all_before(follows: dict[int, set[int]], count: int) -> Marks:
    """Which goes come before each, near or far, as a table."""
    table = np.zeros((count, count), dtype=bool)
    done: set[int] = set()
    for first in range(count):
        stack = [first]
        under_way: set[int] = set()
        while stack:
            one = stack[-1]
            under_way.add(one)
            missing = [i for i in follows[one] if i not in done and i not in under_way]
            if missing:
                stack += missing
                continue
            stack.pop()
            for other in follows[one]:
                table[one] |= table[other]
                table[one, other] = True
            done.add(one)
    return table
