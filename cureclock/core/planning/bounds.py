"""How early and how late each go can begin: gates, hours, turns and the load of hands alone."""

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cureclock.core.planning.layout import Go, Ints, Layout, at
from cureclock.core.planning.load import Load
from cureclock.core.planning.order import Turn, turns

ANY_TIME = 1 << 40
ROUNDS = 4  # the turns of things reach back; each round is valid, more are seldom tighter


@dataclass(frozen=True)
class Bounds:
    """Earliest and latest positions of the goes of a layout.

    Attributes:
        layout: the goes.
    """

    layout: Layout

    @cached_property
    def turns(self) -> list[Turn]:
        """The turns of the layout."""
        return turns(self.layout)

    @cached_property
    def _turns_to(self) -> dict[int, list[Turn]]:
        found: dict[int, list[Turn]] = defaultdict(list)
        for turn in self.turns:
            found[turn.after].append(turn)
        return found

    @cached_property
    def _turns_from(self) -> dict[int, list[Turn]]:
        found: dict[int, list[Turn]] = defaultdict(list)
        for turn in self.turns:
            found[turn.before].append(turn)
        return found

    @cached_property
    def _load(self) -> Load:
        return Load(self.layout, self.turns)

    @cached_property
    def heads(self) -> list[int]:
        """The earliest position of each go; one past all where it cannot begin at all."""
        found = [0] * len(self.layout.goes)
        for _ in range(ROUNDS):
            before = list(found)
            for go in self.layout.goes:
                if go.begun is None:
                    found[go.index] = self._head(go, found)
            if found == before:
                break
        return found

    def _head(self, go: Go, heads: list[int]) -> int:
        layout, never = self.layout, self.layout.never
        soonest = heads[go.index]
        for link in layout.links_to[go.index]:
            if link.opens and heads[link.before] < never:
                soonest = max(soonest, at(layout.opens(link), heads[link.before]))
            elif link.opens:
                return never
        for turn in self._turns_to[go.index]:
            if heads[turn.before] < never:
                soonest = max(soonest, at(turn.earliest(layout), heads[turn.before]))
            else:
                return never
        soonest = max(soonest, self._load.head(go.index, heads))
        return int(layout.next_start(go)[soonest]) if soonest < never else never

    def tails(self, by_slot: dict[str, int]) -> list[int]:
        """The latest position of each go for its batch to be done by a slot; -1 for none.

        Args:
            by_slot: for each batch the slot by which its last piece has to be done; one that is
                not named may be done at any time.
        """
        layout = self.layout
        found = [0 if go.begun is not None else layout.never - 1 for go in layout.goes]
        finals = set(layout.finals)
        for _ in range(ROUNDS):
            before = list(found)
            for go in reversed(layout.goes):
                if go.begun is None and found[go.index] >= 0:
                    found[go.index] = self._tail(go, found, finals, by_slot)
            if found == before:
                break
        return found

    def _tail(self, go: Go, tails: list[int], finals: set[int], by_slot: dict[str, int]) -> int:
        layout = self.layout
        latest = tails[go.index]
        if go.index in finals:
            latest = min(latest, _last(layout.done_slots(go), by_slot.get(go.batch, ANY_TIME)))
        for link in layout.links_from[go.index]:
            if link.opens:
                latest = min(latest, _last(layout.opens(link), tails[link.after]))
        for turn in self._turns_from[go.index]:
            latest = min(latest, _last(turn.earliest(layout), tails[turn.after]))
        latest = self._load.tail(go.index, tails, latest)
        return int(layout.last_start(go)[latest]) if latest >= 0 else -1

    def possible(self, by_slot: dict[str, int]) -> bool:
        """Whether gates, hours and turns alone leave each go a place.

        Args:
            by_slot: for each batch the slot by which its last piece has to be done.
        """
        tails = self.tails(by_slot)
        free = [go.index for go in self.layout.goes if go.begun is None]
        ready = all(
            at(self.layout.done_slots(go), 0) <= by_slot.get(go.batch, ANY_TIME)
            for go in (self.layout.goes[i] for i in self.layout.finals)
            if go.begun is not None
        )
        return ready and all(self.heads[i] <= tails[i] for i in free)

    def least(self, offsets: dict[str, int], low: int, high: int) -> int:
        """The lowest figure x with which each batch can be done by its offset plus x.

        Args:
            offsets: for each batch, slots.
            low: a figure not above the one sought.
            high: one known to do.
        """
        while low < high:
            middle = (low + high) // 2
            if self.possible({name: offset + middle for name, offset in offsets.items()}):
                high = middle
            else:
                low = middle + 1
        return low


def _last(figures: Ints, by: int) -> int:
    """The last position whose figure is not above one; -1 for none."""
    return int(np.searchsorted(figures, by, side="right")) - 1
