"""Slots in which somebody is in the shop, pushed together: nights vanish, waits become functions."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.planning.problem import Problem

Ints = NDArray[np.int64]
Marks = NDArray[np.bool_]


@dataclass(frozen=True)
class Calendar:
    """The open slots of a span.

    A *position* counts open slots only; a *slot* counts all of them. Both count from 0 at the
    beginning of the plan, and one position past the last stands for "not within the span".

    Attributes:
        from_us, slot_us: beginning of the plan and length of a slot [us].
        slots: the slot of each position, rising.
        there: for each person, whether they are there the whole of each position's slot.
    """

    from_us: int
    slot_us: int
    slots: Ints
    there: dict[str, Marks]

    def __len__(self) -> int:
        return len(self.slots)

    def position(self, slot: ArrayLike) -> Ints:
        """The first position at or after slots; one past the last where there is none."""
        return np.searchsorted(self.slots, np.asarray(slot), side="left").astype(np.int64)

    def position_by(self, slot: ArrayLike) -> Ints:
        """The last position at or before slots; -1 where there is none."""
        found = np.searchsorted(self.slots, np.asarray(slot), side="right") - 1
        return np.asarray(found, dtype=np.int64)

    def slot_from(self, at_us: ArrayLike) -> Ints:
        """The first slot that begins at or after instants [us]."""
        return -(-(np.asarray(at_us) - self.from_us) // self.slot_us)

    def slot_by(self, at_us: ArrayLike) -> Ints:
        """The last slot that begins at or before instants [us]."""
        return np.asarray((np.asarray(at_us) - self.from_us) // self.slot_us)

    def instant(self, slot: ArrayLike) -> Ints:
        """When slots begin [us]."""
        return np.asarray(slot) * self.slot_us + self.from_us

    def length(self, time_us: int) -> int:
        """Slots that a time [us] takes, begun ones whole."""
        return -(-time_us // self.slot_us)

    def unbroken(self, length: int, name: str | None = None) -> Marks:
        """Positions from which so many slots follow one another, with this person there.

        Args:
            length: slots [-].
            name: the person; None where none is needed.
        """
        if not length:
            return np.ones(len(self), dtype=bool)
        whole = np.zeros(len(self), dtype=bool)
        last = len(self) - length
        if last < 0:
            return whole
        start = np.arange(last + 1)
        whole[: last + 1] = self.slots[start + length - 1] - self.slots[start] == length - 1
        if name is not None:
            here = np.concatenate([np.zeros(1, np.int64), np.cumsum(self.there[name])])
            whole[: last + 1] &= here[start + length] - here[start] == length
        return whole


def build_calendar(problem: Problem) -> Calendar:
    """The open slots of a problem: those in which anybody is there, or all if nobody works here.

    Args:
        problem: what is to be planned.

    Returns:
        A Calendar.

    Raises:
        Nothing: a Problem is sound.

    Valid for:
        Spans of at most 120 000 slots.
    Assumes:
        A slot of which somebody is there for a part only does not count.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> batch = Batch("tray", 1, (Step("glue"),))
        >>> len(build_calendar(Problem(0, 3_000_000_000, (), (batch,))))
        10
    """
    count = (problem.until_us - problem.from_us) // problem.slot_us
    every = np.arange(count, dtype=np.int64)
    if not problem.people:
        return Calendar(problem.from_us, problem.slot_us, every, {})
    there = {person.name: np.zeros(count, dtype=bool) for person in problem.people}
    for person in problem.people:
        if person.hours is not None:
            opens = np.asarray(person.hours.open_us) - problem.from_us
            closes = np.asarray(person.hours.close_us) - problem.from_us
            # The spell that each slot falls in, and whether it holds the slot to its end.
            spell = np.searchsorted(opens, every * problem.slot_us, side="right") - 1
            ends = closes[np.maximum(spell, 0)]
            there[person.name] = (spell >= 0) & ((every + 1) * problem.slot_us <= ends)
    open_now = np.any(list(there.values()), axis=0)
    kept = {name: marks[open_now] for name, marks in there.items()}
    return Calendar(problem.from_us, problem.slot_us, every[open_now], kept)


def over_at(table: ReadyTable | None, start_us: ArrayLike, late: bool = True) -> Ints:
    """When waits are over [us], by their starts, in whole microseconds.

    Args:
        table: when a wait is over by its start; None: at once. Beyond its ends the wait is as
            long as there.
        start_us: starts of the waits [us], any shape.
        late: round to the late side, for what opens; else to the early side.

    Returns:
        Instants [us], of the shape of start_us.

    Raises:
        Nothing beyond what numpy does.

    Valid for:
        Tables and starts of the years 1684 to 2255.
    Assumes:
        Between its rows the table is straight.
    Source:
        Straight lines.

    Example:
        >>> over_at(ReadyTable([0, 3], [10, 11]), [0, 1, 3, 5]).tolist()
        [10, 11, 11, 13]
    """
    given = np.asarray(start_us, dtype=np.int64)
    if table is None:
        return given
    start = np.atleast_1d(given)
    rows, ready = np.asarray(table.start_us), np.asarray(table.ready_us)
    if len(rows) == 1:
        return np.asarray(start + (ready[0] - rows[0])).reshape(given.shape)
    inside = np.clip(start, rows[0], rows[-1])
    row = np.clip(np.searchsorted(rows, inside, side="right") - 1, 0, len(rows) - 2)
    span, rise = rows[row + 1] - rows[row], ready[row + 1] - ready[row]
    # As whole numbers without a limit: their product passes 64 bits.
    risen = (inside - rows[row]).astype(object) * rise
    risen = -(-risen // span) if late else risen // span
    over: Ints = (ready[row] + risen + (start - inside)).astype(np.int64)
    return over.reshape(given.shape)
