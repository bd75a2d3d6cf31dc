"""One pair of hands by a plain rule: go through the hours, and at each free moment begin what
comes first by a rank. The rule itself: unattended things first, then the longest lever, and
nothing whose next act falls when nobody is there unless waiting is harmless.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

from cureclock.core.planning.calendar import over_at
from cureclock.core.planning.layout import Go, Layout, Link, at
from cureclock.core.planning.route import After
from cureclock.core.planning.yard import Yard
from cureclock.core.units import HOUR_US

Ranks = Sequence[float]

NO_LIMIT = 1 << 40


@dataclass
class Placed:
    """Where the goes of a layout begin; those begun before have no position.

    Attributes:
        start: position of each go; -1 while it has none.
        late: whether each came after a gate had closed.
        people: whose hands.
        missed: gates that closed although nothing may come late.
        whole: every go has found a place.
    """

    start: list[int]
    late: list[bool]
    people: list[tuple[str, ...]]
    missed: list[Link] = field(default_factory=list)
    whole: bool = False

    @property
    def sound(self) -> bool:
        """Every go has a place, and no gate was missed."""
        return self.whole and not self.missed


def rule_ranks(layout: Layout) -> Ranks:
    """The rank of each go by the rule: unattended things first, then the longest lever.

    Args:
        layout: the goes.

    Returns:
        For each go a figure; the lowest comes first.

    Raises:
        Nothing.

    Valid for:
        Choosing by hand what to do next.
    Assumes:
        As `levers_h`.
    Source:
        Common practice, no source.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> steps = (Step("turn", HOUR_US), Step("rout", 60_000_000, machine="router", alone_us=1))
        >>> layout = lay_out(Problem(0, 9 * HOUR_US, (), (Batch("box", 1, steps),)))
        >>> turn, rout = rule_ranks(layout)
        >>> rout < turn
        True
    """
    lever, far = levers_h(layout), 1e6
    return [-lever[go.index] - (far if _leaves_running(layout, go) else 0.0) for go in layout.goes]


def _leaves_running(layout: Layout, go: Go) -> bool:
    """Whether something goes on without hands once the go is begun."""
    waits = any(link.gate.opens is not None for link in layout.links_from[go.index])
    return waits or go.step.alone_us > 0


def levers_h(layout: Layout) -> Ranks:
    """How long a way lies before each go: its own time, and the longest of what follows [h].

    Args:
        layout: the goes.

    Returns:
        For each go, hours.

    Raises:
        Nothing.

    Valid for:
        Choosing what to do first.
    Assumes:
        Each wait is as long as one begun when the plan begins; hands and machines are free.
    Source:
        The longest lever first: common practice, no source.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> steps = (Step("saw", HOUR_US), Step("glue", 2 * HOUR_US, after=(After("saw"),)))
        >>> levers_h(lay_out(Problem(0, 10 * HOUR_US, (), (Batch("box", 1, steps),))))
        [3.0, 2.0]
    """
    found = [0.0] * len(layout.goes)
    for go in reversed(layout.goes):
        done = layout.problem.batch(go.batch).done
        ways = [_wait_h(layout, gate) for gate in done if gate.step == go.step.key]
        ways += [
            _wait_h(layout, link.gate) + found[link.after] for link in layout.links_from[go.index]
        ]
        found[go.index] = layout.lasts_us(go) / HOUR_US + max(ways, default=0.0)
    return found


def _wait_h(layout: Layout, gate: After) -> float:
    begin = layout.problem.from_us
    return float(over_at(gate.opens, begin) - begin) / HOUR_US


def place_all(layout: Layout, ranks: Ranks, soonest: Mapping[int, int] | None = None) -> Placed:
    """Place every go as the hours go by, the lowest rank first.

    Args:
        layout: the goes.
        ranks: for each go a figure.
        soonest: for goes by their place in the layout, a first position.

    Returns:
        Where they begin; `whole` is false where some found no place within the span.

    Raises:
        Nothing.

    Valid for:
        Any layout; it need not find a place for all although there is one.
    Assumes:
        At a moment something can be begun, it is better begun.
    Source:
        Our own, after the rule.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch, Problem
        >>> from cureclock.core.planning.route import Step
        >>> saw = Step("saw", machine="saw", alone_us=HOUR_US)
        >>> layout = lay_out(Problem(0, 9 * HOUR_US, (), (Batch("box", 2, (saw,)),), {"saw": 1}))
        >>> place_all(layout, [0.0, 0.0]).start
        [0, 12]
    """
    return Passing(layout, ranks, soonest or {}).go_through()


class Passing:
    """The hours going by: what is free, what is ready, what has to be begun soon."""

    def __init__(self, layout: Layout, ranks: Ranks, soonest: Mapping[int, int]) -> None:
        self.layout, self.ranks = layout, ranks
        count = len(layout.goes)
        self.placed = Placed([-1] * count, [False] * count, [()] * count)
        self.left = count
        self.pending = [len({link.before for link in links}) for links in layout.links_to]
        self.ready, self.limit, self.hard = [0] * count, [NO_LIMIT] * count, [NO_LIMIT] * count
        self.next_of = dict.fromkeys(layout.by_step, 0)
        for index, position in soonest.items():
            self.ready[index] = position
        self.yard = Yard(layout)
        self.now = -1
        self.moments: list[int] = sorted({0, *soonest.values()})
        for go in layout.goes:
            if go.begun is not None:
                self._begin(go, 0, late=False, people=go.begun.people)

    def go_through(self) -> Placed:
        while self.moments and self.left:
            now = self.now = heappop(self.moments)
            while self.moments and self.moments[0] == now:
                heappop(self.moments)
            while self._begin_one(now):
                pass
        self.placed.whole = not self.left
        return self.placed

    def _begin_one(self, now: int) -> bool:
        """Begin the first that can be begun now."""
        for index in sorted(
            self.ready_now(now), key=lambda i: (self.hard[i], self.limit[i], self.ranks[i], i)
        ):
            go, late = self.layout.goes[index], now > self.limit[index]
            people = self._hands_for(go, now, late)
            if people is not None:
                self._begin(go, now, late=late, people=people)
                return True
        return False

    def ready_now(self, now: int) -> list[int]:
        """Goes whose turn it is and whose gates are open."""
        waiting = [goes[self.next_of[key]] for key, goes in self.layout.by_step.items()
                   if self.next_of[key] < len(goes)]  # fmt: skip
        return [i for i in waiting if not self.pending[i] and self.ready[i] <= now]

    def _hands_for(self, go: Go, now: int, late: bool) -> tuple[str, ...] | None:
        """Whose hands begin it now; None where it cannot be begun."""
        if not self.yard.free(go, now):
            return None
        if not self._next_acts_fall_in_hours(go, now, late):
            self._look_again(now + 1)
            return None
        able = self.layout.able(go)
        if not able:
            return () if self._begins(go, now, late, None) else None
        for name in able:
            here = self.yard.hands[name] <= now and self._begins(go, now, late, name)
            if here and not self._would_miss(go, now, late, name):
                return (name,)
        return None

    def _begins(self, go: Go, now: int, late: bool, name: str | None) -> bool:
        soonest = int(self.layout.next_start(go, late, name)[now])
        self._look_again(soonest)
        return soonest == now

    def _next_acts_fall_in_hours(self, go: Go, now: int, late: bool) -> bool:
        """Whether somebody is there for every next act that cannot wait."""
        for link in self.layout.links_from[go.index]:
            if link.limits and link.gate.late_us is None:
                limit = self.layout.limit(link, now, late)
                last = self.layout.last_start(self.layout.goes[link.after])
                if limit < 0 or last[limit] < at(self.layout.opens(link, late), now):
                    return False
        return True

    def _would_miss(self, go: Go, now: int, late: bool, name: str) -> bool:
        """Whether another act that cannot wait would find nobody, were these hands given."""
        until = self.layout.frees_hands(go, now, late)
        for index, limit in enumerate(self.hard):
            if limit == NO_LIMIT or index == go.index or self.placed.start[index] >= 0:
                continue
            other = self.layout.goes[index]
            able = self.layout.able(other)
            last = int(self.layout.last_start(other)[limit]) if limit >= 0 else -1
            others = any(self.yard.hands[one] <= last for one in able if one != name)
            if now <= last < until and name in able and not others:
                self._look_again(last + 1)
                return True
        return False

    def _look_again(self, position: int) -> None:
        """Note a later moment; never the present one, so that the hours go by."""
        if self.now < position < self.layout.never:
            heappush(self.moments, position)

    def _begin(self, go: Go, now: int, *, late: bool, people: tuple[str, ...]) -> None:
        placed, index = self.placed, go.index
        placed.start[index], placed.late[index], placed.people[index] = now, late, people
        self.left -= 1
        self.next_of[go.batch, go.step.key] += 1
        for position in self.yard.take(go, now, late, people):
            self._look_again(position)
        for link in self.layout.links_to[index]:
            strict = link.limits and link.gate.late_us is None and go.begun is None
            if strict and now > self.hard[index]:
                placed.missed.append(link)
        for after in {link.after for link in self.layout.links_from[index]}:
            self.pending[after] -= 1
        for link in self.layout.links_from[index]:
            self._follow(link, now, late)

    def _follow(self, link: Link, now: int, late: bool) -> None:
        after = link.after
        if link.opens:
            self.ready[after] = max(self.ready[after], at(self.layout.opens(link, late), now))
            self._look_again(self.ready[after])
        if link.limits:
            limit = self.layout.limit(link, now, late)
            self.limit[after] = min(self.limit[after], limit)
            if link.gate.late_us is None:
                self.hard[after] = min(self.hard[after], limit)
