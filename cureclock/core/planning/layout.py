"""A problem laid out for solving: every go of every step, and what it means to begin it when."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.planning.calendar import Calendar, build_calendar, over_at
from cureclock.core.planning.problem import Batch, Begun, Problem
from cureclock.core.planning.route import After, Step

Ints = NDArray[np.int64]
Marks = NDArray[np.bool_]


@dataclass(frozen=True)
class Go:
    """One go of a step.

    Attributes:
        index: its place in the layout.
        batch, step: of what.
        first, pieces: which pieces, counted in the order in which they come to the step.
        begun: where it stands, if it is over or under way.
        slots, late_slots: hands it takes, in slots, in time and once a gate has closed.
    """

    index: int
    batch: str
    step: Step
    first: int
    pieces: int
    begun: Begun | None
    slots: int
    late_slots: int

    @property
    def kind(self) -> tuple[str, str, int]:
        """Goes of one kind are alike but for which pieces they take."""
        return (self.batch, self.step.key, self.pieces)

    def covers(self, other: "Go") -> bool:
        """Whether some piece of the other go is in this one."""
        return self.first < other.first + other.pieces and other.first < self.first + self.pieces


@dataclass(frozen=True)
class Link:
    """A gate between two goes, by their places in the layout.

    Attributes:
        before, after: the goes.
        gate: what has to be open.
        opens: the gate's opening counts from this go.
        limits: its closing, or the time the next step may wait, counts from this go.
    """

    before: int
    after: int
    gate: After
    opens: bool
    limits: bool


@dataclass(frozen=True)
class Hold:
    """Things that a go takes, and the go that frees them (itself, or a later one)."""

    thing: str
    count: int
    taker: int
    releaser: int


@dataclass(frozen=True)
class Layout:
    """The goes of a problem, the gates between them and the things they hold.

    Positions are those of the calendar. Every array over positions speaks of a go that begins
    at each.
    """

    problem: Problem
    calendar: Calendar
    goes: tuple[Go, ...]
    by_step: dict[tuple[str, str], tuple[int, ...]]
    links: tuple[Link, ...]
    holds: tuple[Hold, ...]
    _kept: dict[object, Ints] = field(default_factory=dict, repr=False)

    @cached_property
    def links_to(self) -> list[list[Link]]:
        """The links into each go."""
        return _sorted_by([link.after for link in self.links], self.links, len(self.goes))

    @cached_property
    def links_from(self) -> list[list[Link]]:
        """The links out of each go."""
        return _sorted_by([link.before for link in self.links], self.links, len(self.goes))

    def able(self, go: Go) -> tuple[str, ...]:
        """Who can do a go; nobody where it needs no hands."""
        if not go.slots or not self.problem.people:
            return ()
        return go.step.who or tuple(person.name for person in self.problem.people)

    def starts(self, go: Go, late: bool = False, name: str | None = None) -> Marks:
        """Positions at which a go can begin: by one person, or by any who can."""
        length = go.late_slots if late else go.slots
        names: Sequence[str | None] = [name] if name is not None else self.able(go) or [None]
        fits = np.any([self.calendar.unbroken(length, one) for one in names], axis=0)
        if go.step.not_before_us is not None:
            soonest = self.calendar.slot_from(go.step.not_before_us)
            fits = fits & (self.calendar.slots >= soonest)
        return np.asarray(fits)

    def next_start(self, go: Go, late: bool = False, name: str | None = None) -> Ints:
        """For each position the first from there on at which the go can begin, or one past all."""
        key = ("next", self.able(go), go.late_slots if late else go.slots, go.step.key, name)
        if key not in self._kept:
            where = np.where(self.starts(go, late, name), np.arange(len(self.calendar)), self.never)
            self._kept[key] = np.minimum.accumulate(where[::-1])[::-1]
        return self._kept[key]

    def last_start(self, go: Go, late: bool = False) -> Ints:
        """For each position the last up to there at which somebody can begin the go, or -1."""
        key = ("last", self.able(go), go.late_slots if late else go.slots, go.step.key)
        if key not in self._kept:
            where = np.where(self.starts(go, late), np.arange(len(self.calendar)), -1)
            self._kept[key] = np.maximum.accumulate(where)
        return self._kept[key]

    def frees_hands(self, go: Go, start: int, late: bool = False) -> int:
        """The position from which the hands of a go are free."""
        if go.begun is None:
            return start + (go.late_slots if late else go.slots)
        alone = go.step.alone_us > 0
        hands_us = go.begun.start_us + go.step.hands_of(go.pieces)
        end_us = min(go.begun.end_us, hands_us) if alone else go.begun.end_us
        return int(self.calendar.position(self.calendar.slot_from(end_us)))

    def limit(self, link: Link, start: int, late: bool = False) -> int:
        """The last position for the go after, by where the go before begins."""
        found = [self.closes(link), self.prompt(link, late)]
        return min(at(figures, start) for figures in found if figures is not None)

    @property
    def never(self) -> int:
        """One position past all."""
        return len(self.calendar)

    def ends_us(self, go: Go, late: bool = False) -> Ints:
        """When a go ends [us], by its position; one figure for one that is begun."""
        if go.begun is not None:
            return np.array([go.begun.end_us])
        return self._starts_us(go) + self.lasts_us(go, late)

    def lasts_us(self, go: Go, late: bool = False) -> int:
        """How long a go lasts, hands and machine [us]."""
        return go.step.hands_of(go.pieces, go.step.late_us if late else 0) + go.step.alone_us

    def _starts_us(self, go: Go) -> Ints:
        if go.begun is not None:
            return np.array([go.begun.start_us])
        return self.calendar.instant(self.calendar.slots)

    def frees_machine(self, go: Go, late: bool = False) -> Ints:
        """The position from which a go's machine is free, by its own."""
        return self._position(("machine", go.kind, go.begun, late), None, go, late)

    def opens(self, link: Link, late: bool = False) -> Ints:
        """The first position the gate lets the next step begin at, by the go before it."""
        go = self.goes[link.before]
        key = ("opens", go.kind, go.begun, id(link.gate.opens), late)
        return self._position(key, link.gate.opens, go, late)

    def clears(self, go: Go, table: ReadyTable | None, late: bool = False) -> Ints:
        """The position from which a wet go is no longer in the way, by its own."""
        return self._position(("clears", go.kind, go.begun, id(table), late), table, go, late)

    def _position(self, key: object, table: ReadyTable | None, go: Go, late: bool) -> Ints:
        if key not in self._kept:
            over = over_at(table, self.ends_us(go, late))
            self._kept[key] = self.calendar.position(self.calendar.slot_from(over))
        return self._kept[key]

    def closes(self, link: Link) -> Ints | None:
        """The last position before the gate closes, by the go before it; None: it never does."""
        if link.gate.closes is None:
            return None
        go = self.goes[link.before]
        key = ("closes", go.kind, go.begun, id(link.gate.closes))
        if key not in self._kept:
            over = over_at(link.gate.closes, self._starts_us(go), late=False)
            self._kept[key] = self.calendar.position_by(self.calendar.slot_by(over))
        return self._kept[key]

    def prompt(self, link: Link, late: bool = False) -> Ints | None:
        """The last position the next step may wait until, by the go before it; None: any."""
        if link.gate.prompt_us is None:
            return None
        go = self.goes[link.before]
        key = ("prompt", go.kind, go.begun, id(link.gate), late)
        if key not in self._kept:
            over = over_at(link.gate.opens, self.ends_us(go, late)) + link.gate.prompt_us
            self._kept[key] = self.calendar.position_by(self.calendar.slot_by(over))
        return self._kept[key]

    def done_slots(self, go: Go, late: bool = False) -> Ints:
        """The slot by which the pieces of a go are done as far as it goes, by its position."""
        key = ("done", go.kind, go.begun, late)
        if key not in self._kept:
            ends, gates = self.ends_us(go, late), self.problem.batch(go.batch).done
            over = [over_at(gate.opens, ends) for gate in gates if gate.step == go.step.key]
            self._kept[key] = self.calendar.slot_from(np.max([ends, *over], axis=0))
        return self._kept[key]

    @cached_property
    def finals(self) -> tuple[int, ...]:
        """The goes whose end says when their pieces are done, in order."""
        wanted = {
            (batch.name, key)
            for batch in self.problem.batches
            for key in (*batch.last_steps, *(gate.step for gate in batch.done))
        }
        return tuple(go.index for go in self.goes if (go.batch, go.step.key) in wanted)


def at(figures: Ints, position: int) -> int:
    """The figure at a position; of a go that is begun there is only one.

    Args:
        figures: by position, or one for all.
        position: position of the go [-].

    Returns:
        The figure.

    Raises:
        Nothing within the span.

    Valid for:
        Figures of a Layout.
    Assumes:
        Nothing.
    Source:
        Plain looking up.

    Example:
        >>> at(np.array([7]), 3), at(np.array([4, 5, 6]), 2)
        (7, 6)
    """
    return int(figures[position] if len(figures) > 1 else figures[0])


def _sorted_by(where: Sequence[int], links: Sequence[Link], count: int) -> list[list[Link]]:
    found: list[list[Link]] = [[] for _ in range(count)]
    for place, link in zip(where, links, strict=True):
        found[place].append(link)
    return found


def lay_out(problem: Problem) -> Layout:
    """Lay out a problem: goes, gates and holds.

    Args:
        problem: what is to be planned.

    Returns:
        A Layout. Goes of a step come in the order of their pieces, which is that of their
        beginnings; those begun come first, in the order of their ends.

    Raises:
        Nothing: a Problem is sound.

    Valid for:
        Identical pieces: which of them comes first makes no difference.
    Assumes:
        Pieces of a batch pass each step in one order; a go's things are free once its last
        piece is released.
    Source:
        Our own; with waits that never end sooner for a later start, exchanging two pieces that
        overtake one another costs nothing.

    Example:
        >>> batch = Batch("tray", 5, (Step("glue", at_once=2),))
        >>> [(go.first, go.pieces) for go in lay_out(Problem(0, 10**10, (), (batch,))).goes]
        [(0, 2), (2, 2), (4, 1)]
    """
    calendar = build_calendar(problem)
    goes: list[Go] = []
    by_step: dict[tuple[str, str], tuple[int, ...]] = {}
    for batch in problem.batches:
        for step in batch.steps:
            new = _goes_of(problem, calendar, batch, step, len(goes))
            by_step[batch.name, step.key] = tuple(go.index for go in new)
            goes += new
    links = [link for go in goes for link in _links_to(go, goes, by_step)]
    holds = [hold for go in goes for hold in _holds_of(go, goes, by_step)]
    return Layout(problem, calendar, tuple(goes), by_step, tuple(links), tuple(holds))


def _goes_of(
    problem: Problem, calendar: Calendar, batch: Batch, step: Step, index: int
) -> list[Go]:
    begun = [go for go in problem.begun if (go.batch, go.step) == (batch.name, step.key)]
    begun.sort(key=lambda go: (go.end_us, go.start_us))
    sizes = [(one.pieces, one) for one in begun]
    left = batch.count - sum(size for size, _ in sizes)
    whole, rest = divmod(left, step.at_once)
    planned: list[tuple[int, Begun | None]] = [(step.at_once, None)] * whole
    goes: list[Go] = []
    first = 0
    for size, one in [*sizes, *planned, *([(rest, None)] if rest else [])]:
        slots = calendar.length(step.hands_of(size))
        late = calendar.length(step.hands_of(size, step.late_us))
        goes.append(Go(index + len(goes), batch.name, step, first, size, one, slots, late))
        first += size
    return goes


def _links_to(
    go: Go, goes: Sequence[Go], by_step: dict[tuple[str, str], tuple[int, ...]]
) -> list[Link]:
    """Gates into a go: they open by the last go before that has a piece of it, close by the
    first; of goes that are begun every one counts, for they need not be in order.
    """
    found = []
    for gate in go.step.after:
        before = [goes[i] for i in by_step[go.batch, gate.step] if goes[i].covers(go)]
        for one in before:
            opens = one is before[-1] or one.begun is not None
            limits = gate.has_limit and (one is before[0] or one.begun is not None)
            if opens or limits:
                found.append(Link(one.index, go.index, gate, opens, limits))
    return found


def _holds_of(
    go: Go, goes: Sequence[Go], by_step: dict[tuple[str, str], tuple[int, ...]]
) -> list[Hold]:
    last = go.first + go.pieces - 1
    found = []
    for take in go.step.takes:
        releaser = go.index
        for index in by_step[go.batch, take.until or go.step.key]:
            if goes[index].first <= last < goes[index].first + goes[index].pieces:
                releaser = index
        found.append(Hold(take.thing, take.of(go.pieces), go.index, releaser))
    return found
