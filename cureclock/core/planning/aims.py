"""What a plan is worth: one figure for each goal, the lower the better, in slots."""

from dataclasses import dataclass

from cureclock.core.planning.greedy import Placed
from cureclock.core.planning.layout import Layout, at
from cureclock.core.planning.plan import Aim, Goal


@dataclass(frozen=True)
class Measure:
    """How a goal is counted for a layout.

    For the earliest end and for slack the figure is the greatest, over batches, of the slot by
    which the last piece is done less the batch's offset. For the most pieces by a date it is
    the pieces that are late, times `each`, plus the slot by which all are done.

    Attributes:
        offsets: for each batch that counts, its offset: 0, or the slot of its promise.
        by_slot: the date of "most done by".
        each: what one late piece weighs.
    """

    layout: Layout
    offsets: dict[str, int]
    by_slot: int | None
    each: int

    def of(self, placed: Placed) -> int:
        """The figure of goes as they are placed."""
        done = self.done_slots(placed)
        worst = max(
            slot - self.offsets[name] for name, slot in done.items() if name in self.offsets
        )
        return worst + self.each * (self.late_pieces(placed) if self.by_slot is not None else 0)

    def done_slots(self, placed: Placed) -> dict[str, int]:
        """The slot by which the last piece of each batch is done."""
        found: dict[str, int] = {}
        for index, slot in self._done(placed):
            name = self.layout.goes[index].batch
            found[name] = max(found.get(name, slot), slot)
        return found

    def late_pieces(self, placed: Placed) -> int:
        """How many pieces are not done by the date."""
        late = set()
        for index, slot in self._done(placed):
            go = self.layout.goes[index]
            if self.by_slot is not None and slot > self.by_slot:
                late |= {(go.batch, go.first + i) for i in range(go.pieces)}
        return len(late)

    def _done(self, placed: Placed) -> list[tuple[int, int]]:
        layout = self.layout
        return [
            (i, at(layout.done_slots(layout.goes[i], placed.late[i]), placed.start[i]))
            for i in layout.finals
        ]


def measure(layout: Layout, goal: Goal) -> Measure:
    """How a goal is counted.

    Args:
        layout: the goes.
        goal: what is wanted.

    Returns:
        A Measure.

    Raises:
        Refused: slack to a promise where nothing was promised.

    Valid for:
        Any layout.
    Assumes:
        Batches without a promise do not count for slack.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 3, (Step("glue"),)),)))
        >>> measure(layout, Goal()).offsets
        {'tray': 0}
    """
    problem, calendar = layout.problem, layout.calendar
    goal.suits(problem)
    offsets = {batch.name: 0 for batch in problem.batches}
    if goal.aim == Aim.SLACK:
        promised = [(b.name, b.promise_us) for b in problem.batches if b.promise_us is not None]
        offsets = {name: int(calendar.slot_by(at_us)) for name, at_us in promised}
    by_slot = None if goal.by_us is None else int(calendar.slot_by(goal.by_us))
    each = 1 + max(int(layout.done_slots(layout.goes[i])[-1]) for i in layout.finals)
    return Measure(layout, offsets, by_slot, each)
