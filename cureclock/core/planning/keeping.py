"""A plan so far kept as it is, as far as it still can be: what is late is put into the gaps."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Mapping, Sequence

from cureclock.core.planning.greedy import Passing, Placed, Ranks
from cureclock.core.planning.layout import Go, Layout, at
from cureclock.core.planning.plan import Plan

Times = Mapping[tuple[str, str], Sequence[int]]


def times_kept(layout: Layout, plan: Plan) -> Times:
    """At which positions each step was to begin in a plan so far, those still to come.

    Args:
        layout: the goes as they are now.
        plan: the plan so far.

    Returns:
        By batch and step, rising positions; never more than there are goes to come.

    Raises:
        Nothing.

    Valid for:
        Plans of the same batches; steps that are gone are left out.
    Assumes:
        Identical pieces: which of them is at a step at a time makes no difference.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.plan import Act
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),)))
        >>> times_kept(layout, Plan((Act("tray", "glue", 0, 1, 300_000_000, 0, 0),)))
        {('tray', 'glue'): [1]}
    """
    calendar = layout.calendar
    found: dict[tuple[str, str], list[int]] = defaultdict(list)
    for act in plan.acts:
        position = int(calendar.position(calendar.slot_by(act.start_us)))
        exact = position < len(calendar) and calendar.instant(calendar.slots[position])
        if act.start_us >= calendar.from_us and exact == act.start_us:
            found[act.batch, act.step].append(position)
    kept = {}
    for key, goes in layout.by_step.items():
        to_come = sum(layout.goes[index].begun is None for index in goes)
        if to_come and found[key]:
            kept[key] = sorted(found[key])[-to_come:]
    return kept


def place_kept(layout: Layout, ranks: Ranks, times: Times) -> Placed:
    """Place every go: at the times of the plan so far, what cannot stand there in the gaps.

    Args:
        layout: the goes.
        ranks: for each go a figure, the lowest first.
        times: as `times_kept` gives them.

    Returns:
        Where they begin; `whole` is false where some found no place within the span.

    Raises:
        Nothing.

    Valid for:
        Any layout; it need not find a place for all although there is one.
    Assumes:
        As `times_kept`; a step that lost a time gets a later one that is in nobody's way.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 2, (Step("glue"),)),)))
        >>> place_kept(layout, [0.0, 0.0], {("tray", "glue"): [3, 7]}).start
        [3, 7]
    """
    return _Keeping(layout, ranks, times).go_through()


def stands(layout: Layout, placed: Placed, times: Times) -> dict[int, int]:
    """The goes that begin at a time their step had before.

    Args:
        layout: the goes.
        placed: where they begin.
        times: as `times_kept` gives them.

    Returns:
        For each such go its position.

    Raises:
        Nothing.

    Valid for:
        Goes that all found a place.
    Assumes:
        As `times_kept`.
    Source:
        Plain comparing.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> layout = lay_out(Problem(0, 10**10, (), (Batch("tray", 2, (Step("glue"),)),)))
        >>> stands(layout, Placed([3, 8], [False] * 2, [()] * 2), {("tray", "glue"): [3, 7]})
        {0: 3}
    """
    found = {}
    for key, goes in layout.by_step.items():
        left = list(times.get(key, ()))
        for index in goes:
            position = placed.start[index]
            if layout.goes[index].begun is None and position in left:
                left.remove(position)
                found[index] = position
    return found


class _Keeping(Passing):
    """The hours going by, with times that are spoken for."""

    def __init__(self, layout: Layout, ranks: Ranks, times: Times) -> None:
        self.times = {key: list(own) for key, own in times.items()}
        super().__init__(layout, ranks, {})
        self.moments = sorted({*self.moments, *(one for own in times.values() for one in own)})

    def ready_now(self, now: int) -> list[int]:
        ready = super().ready_now(now)
        for own in self.times.values():
            while own and own[0] < now:
                own.pop(0)
        due = [i for i in ready if (own := self._own(i)) and own[0] == now]
        return due or [i for i in ready if self._is_behind(i) and self._is_in_nobodys_way(i, now)]

    def _own(self, index: int) -> list[int]:
        go = self.layout.goes[index]
        return self.times.get((go.batch, go.step.key), [])

    def _is_behind(self, index: int) -> bool:
        """Fewer times are left for its step than goes to come."""
        go = self.layout.goes[index]
        key = go.batch, go.step.key
        return len(self.layout.by_step[key]) - self.next_of[key] > len(self._own(index))

    def _is_in_nobodys_way(self, index: int, now: int) -> bool:
        """Hands and machine are free again before the next time that is spoken for."""
        go = self.layout.goes[index]
        hands, ends = now + go.slots, at(self.layout.frees_machine(go), now)
        soonest = min(
            (self._next(key) for key in self.times if self._shares(go, key)), default=None
        )
        on_it = min((self._next(key) for key in self.times if self._same(go, key)), default=None)
        clear = all(
            until <= next_at
            for until, next_at in ((hands, soonest), (ends, on_it))
            if next_at is not None
        )
        if not clear:
            self._look_again(now + 1)
        return clear

    def _next(self, key: tuple[str, str]) -> int:
        own = self.times[key]
        later = bisect_left(own, self.now + 1)
        return own[later] if later < len(own) else self.layout.never

    def _shares(self, go: Go, key: tuple[str, str]) -> bool:
        """Whether somebody who can do a go can do a step, and either takes hands."""
        other = self.layout.goes[self.layout.by_step[key][-1]]
        return bool(set(self.layout.able(go)) & set(self.layout.able(other)))

    def _same(self, go: Go, key: tuple[str, str]) -> bool:
        other = self.layout.goes[self.layout.by_step[key][-1]]
        one = go.step.machine
        return bool(one) and one == other.step.machine and self.layout.problem.machines[one] == 1

    def _begin(self, go: Go, now: int, *, late: bool, people: tuple[str, ...]) -> None:
        super()._begin(go, now, late=late, people=people)
        own = self.times.get((go.batch, go.step.key), [])
        if go.begun is None and own and own[0] == now:
            own.pop(0)
