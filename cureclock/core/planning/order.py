"""Goes that come one after the other: those of one step, on one machine, with the same things."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cureclock.core.planning.layout import Go, Hold, Ints, Layout


@dataclass(frozen=True)
class Turn:
    """One go begins no earlier than another: than its start, or than it frees hands or more.

    Attributes:
        before, after: the goes, by their places in the layout.
        ends: whether the other has to be over, machine and all.
        hands: whether its hands have to be free.
    """

    before: int
    after: int
    ends: bool = False
    hands: bool = False

    def earliest(self, layout: Layout, late: bool = False) -> Ints:
        """The first position of the go after, by that of the go before."""
        go = layout.goes[self.before]
        if self.ends:
            return layout.frees_machine(go, late)
        if go.begun is not None:
            return np.array([layout.frees_hands(go, 0) if self.hands else 0])
        slots = go.late_slots if late else go.slots
        return np.arange(len(layout.calendar), dtype=np.int64) + (slots if self.hands else 0)


def turns(layout: Layout) -> list[Turn]:
    """Every turn that goes of a step take, whoever does them.

    Args:
        layout: the goes.

    Returns:
        Turns: goes of a step begin in the order of their pieces; after each other's hands where
        one person alone can do them, after each other's ends on one machine; and where things
        last for n goes of a step, the one n places on waits for the first to free them.

    Raises:
        Nothing.

    Valid for:
        Any layout.
    Assumes:
        As `lay_out`: pieces pass each step in one order.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 3, (Step("glue"),)),)))
        >>> [(turn.before, turn.after) for turn in turns(layout)]
        [(0, 1), (1, 2)]
    """
    found = [
        _turn(layout, layout.goes[first], layout.goes[second])
        for goes in layout.by_step.values()
        for first, second in pairwise(goes)
    ]
    for holds in _by_taking_step(layout).values():
        lasting = _goes_served(layout, holds)
        for first, second in zip(holds, holds[lasting:], strict=False):
            if first.releaser != second.taker:
                found.append(Turn(first.releaser, second.taker, ends=True))
    return [turn for turn in found if layout.goes[turn.after].begun is None]


def _turn(layout: Layout, first: Go, second: Go) -> Turn:
    one_machine = layout.problem.machines.get(first.step.machine, 0) == 1
    one_person = len(layout.able(first)) == 1
    return Turn(first.index, second.index, ends=one_machine, hands=one_person)


def _by_taking_step(layout: Layout) -> dict[object, list[Hold]]:
    found: dict[object, list[Hold]] = defaultdict(list)
    for hold in layout.holds:
        taker = layout.goes[hold.taker]
        found[taker.batch, taker.step.key, hold.thing].append(hold)
    return found


def _goes_served(layout: Layout, holds: Sequence[Hold]) -> int:
    """How many goes of one step the things last for at once; all, where the last is smaller."""
    owned = layout.problem.things.get(holds[0].thing, 0)
    return max(owned // min(hold.count for hold in holds), 1)


def only_taken_in_turn(layout: Layout, holds: Sequence[Hold]) -> bool:
    """Whether the turns alone keep the things of a kind from being taken twice.

    Args:
        layout: the goes.
        holds: all that take one kind of thing.

    Returns:
        True where one step takes them, the same number each time.

    Raises:
        Nothing.

    Valid for:
        All holds of a kind.
    Assumes:
        As `turns`.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step, Take
        >>> press = Step("press", takes=(Take("clamp", 2),))
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("box", 3, (press,)),)))
        >>> only_taken_in_turn(layout, layout.holds)
        True
    """
    takers = [layout.goes[hold.taker] for hold in holds]
    steps = {(go.batch, go.step.key) for go in takers}
    return len(steps) == 1 and len({hold.count for hold in holds}) == 1
