"""What is to be planned: batches and their routes, people with hours, machines, things."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.joint.count import whole
from cureclock.core.planning.route import MOST_PIECES, After, Step, in_order
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, FURTHEST_US, HOUR_US, MINUTE_US, moment_of

SLOT_US = 5 * MINUTE_US  # hands are planned in steps of so much; our choice
LONGEST_US = 400 * DAY_US
MOST_SLOTS = 120_000


@dataclass(frozen=True)
class Person:
    """A pair of hands and when it is in the shop; no hours at all is possible.

    Args:
        name: who.
        hours: spells in the shop; None for none.
    """

    name: str
    hours: ShopHours | None


@dataclass(frozen=True)
class Batch:
    """Identical pieces on one route.

    Args:
        name: what the maker calls the batch.
        count: pieces [-], whole, 1 to 1000.
        steps: its route, in any order.
        done: gates that have to be open, after which steps, before a piece is done; the ends of
            all steps that nothing follows count anyhow.
        promise_us: when it was promised [us]; None for no promise.

    Raises:
        Refused: as `in_order`, or a figure outside its range.
    """

    name: str
    count: int
    steps: tuple[Step, ...]
    done: tuple[After, ...] = ()
    promise_us: int | None = None

    def __post_init__(self) -> None:
        whole(f"pieces of {self.name}", self.count, 1, MOST_PIECES)
        object.__setattr__(self, "steps", in_order(self.steps))
        for gate in self.done:
            self.step(gate.step)
        if self.promise_us is not None:
            whole(f"promise for {self.name}", self.promise_us, -FURTHEST_US, FURTHEST_US)

    def step(self, key: str) -> Step:
        """The step of this name."""
        for step in self.steps:
            if step.key == key:
                return step
        raise Refused(f"step of {self.name}", key, f"one of {', '.join(s.key for s in self.steps)}")

    @property
    def last_steps(self) -> tuple[str, ...]:
        """The steps that nothing follows."""
        followed = {before.step for step in self.steps for before in step.after}
        return tuple(step.key for step in self.steps if step.key not in followed)


@dataclass(frozen=True)
class Begun:
    """A go that is over or under way: it stands where it is.

    Args:
        batch, step: of what.
        pieces: how many pieces it took [-], whole, 1 to 1000.
        start_us: when it began [us].
        end_us: when it ended, or is expected to [us].
        people: whose hands it has.

    Raises:
        Refused: an end before its beginning.
    """

    batch: str
    step: str
    pieces: int
    start_us: int
    end_us: int
    people: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        whole(f"pieces of {self.step}", self.pieces, 1, MOST_PIECES)
        whole(f"beginning of {self.step}", self.start_us, -FURTHEST_US, FURTHEST_US)
        if whole(f"end of {self.step}", self.end_us, -FURTHEST_US, FURTHEST_US) < self.start_us:
            raise Refused(f"end of {self.step}", _said(self.end_us), "not before it began")


@dataclass(frozen=True)
class Problem:
    """Everything a plan is made from.

    Args:
        from_us: first moment that can be planned [us], a whole number of slots.
        until_us: last one [us], at most 400 days later.
        people: who works here.
        batches: what is to be made.
        machines: how many of each machine the shop owns.
        things: how many of each kind of thing the shop owns.
        begun: what is over or under way.
        slot_us: starts are planned in steps of so much [us], 1 min to 4 h.

    Raises:
        Refused: in the maker's words.
    """

    from_us: int
    until_us: int
    people: tuple[Person, ...]
    batches: tuple[Batch, ...]
    machines: Mapping[str, int] = field(default_factory=dict)
    things: Mapping[str, int] = field(default_factory=dict)
    begun: tuple[Begun, ...] = ()
    slot_us: int = SLOT_US

    def __post_init__(self) -> None:
        whole("slot", self.slot_us, MINUTE_US, 4 * HOUR_US)
        whole("beginning of the plan", self.from_us, -FURTHEST_US, FURTHEST_US)
        if self.from_us % self.slot_us:
            raise Refused("beginning of the plan", _said(self.from_us), "a whole number of slots")
        self._check_span()
        self._check_names()
        for name, count in (*self.machines.items(), *self.things.items()):
            whole(f"number of {name}", count, 0, 10_000)
        self._check_begun()

    def _check_span(self) -> None:
        whole("end of the plan", self.until_us, -FURTHEST_US, FURTHEST_US)
        span = self.until_us - self.from_us
        if not 0 < span <= LONGEST_US:
            raise Refused("end of the plan", _said(self.until_us), "1 to 400 days after it begins")
        within("slots of the plan", span // self.slot_us, 1, MOST_SLOTS)

    def _check_names(self) -> None:
        within("batches", len(self.batches), 1, 100)
        _distinct("people", [person.name for person in self.people])
        _distinct("batches", [batch.name for batch in self.batches])
        known = {person.name for person in self.people}
        for batch in self.batches:
            for step in batch.steps:
                strangers = sorted(set(step.who) - known)
                if strangers:
                    who = ", ".join(sorted(known)) or "nobody: no one works here"
                    raise Refused(f"who can {step.key}", ", ".join(strangers), who)

    def _check_begun(self) -> None:
        known = {person.name for person in self.people}
        for go in self.begun:
            self.batch(go.batch).step(go.step)
            if go.start_us > self.from_us:
                raise Refused(f"beginning of {go.step}", _said(go.start_us), "not in the future")
            if not set(go.people) <= known:
                raise Refused(f"who is at {go.step}", ", ".join(go.people), "people who work here")
        for batch in self.batches:
            self._check_counts(batch)

    def _check_counts(self, batch: Batch) -> None:
        for step in batch.steps:
            begun = self.pieces_begun(batch.name, step.key)
            if begun > batch.count:
                raise Refused(f"pieces through {step.key}", begun, f"{batch.count} of {batch.name}")
            for before in step.after:
                ended = self.pieces_begun(batch.name, before.step)
                if begun > ended:
                    wanted = f"at most the {ended} through {before.step}"
                    raise Refused(f"pieces through {step.key}", begun, wanted)

    def batch(self, name: str) -> Batch:
        """The batch of this name."""
        for batch in self.batches:
            if batch.name == name:
                return batch
        raise Refused("batch", name, f"one of {', '.join(batch.name for batch in self.batches)}")

    def pieces_begun(self, batch: str, step: str) -> int:
        """How many pieces of a batch are through a step, or in it."""
        return sum(go.pieces for go in self.begun if (go.batch, go.step) == (batch, step))

    def until(self, until_us: int) -> "Problem":
        """The same with another end; hours go on as in the last week, waits as at the last start.

        Args:
            until_us: the end [us], later than the present one.
        """
        if until_us <= self.until_us:
            return self
        people = tuple(
            replace(p, hours=p.hours and _week_by_week(p.hours, until_us)) for p in self.people
        )
        batches = tuple(_longer(batch, until_us) for batch in self.batches)
        return replace(self, until_us=until_us, people=people, batches=batches)


def _week_by_week(hours: ShopHours, until_us: int) -> ShopHours:
    """Hours with the spells of their last week repeated."""
    opens, closes = _ints(hours.open_us), _ints(hours.close_us)
    week, last = 7 * DAY_US, closes[-1]
    spells = [(a, b) for a, b in zip(opens, closes, strict=True) if b > last - week]
    weeks = (until_us - last) // week + 1
    for number in range(1, weeks + 1):
        later = number * week
        fitting = [(a + later, b + later) for a, b in spells if a + later >= closes[-1]]
        opens += [a for a, _ in fitting]
        closes += [b for _, b in fitting]
    return ShopHours(opens, closes)


def _longer(batch: Batch, until_us: int) -> Batch:
    """A batch whose tables reach a later start."""
    steps = tuple(
        replace(
            step,
            after=tuple(_gate_longer(gate, until_us) for gate in step.after),
            dust_free=step.dust_free and reaching(step.dust_free, until_us),
            fumes=step.fumes and reaching(step.fumes, until_us),
        )
        for step in batch.steps
    )
    done = tuple(_gate_longer(gate, until_us) for gate in batch.done)
    return replace(batch, steps=steps, done=done)


def _gate_longer(gate: After, until_us: int) -> After:
    return replace(
        gate,
        opens=gate.opens and reaching(gate.opens, until_us),
        closes=gate.closes and reaching(gate.closes, until_us),
    )


def reaching(table: ReadyTable, until_us: int) -> ReadyTable:
    """A table of waits that reaches a later start: its last wait holds on.

    Args:
        table: when a wait is over, by its start.
        until_us: start it has to reach [us].

    Returns:
        The same table where it reaches so far already.

    Raises:
        Refused: not a number.

    Valid for:
        Air that goes on as it ends.
    Assumes:
        The last wait of the table lasts as long for every later start.
    Source:
        Our choice.

    Example:
        >>> reaching(ReadyTable([0, 10], [5, 18]), 100).ready(50)
        58
    """
    starts, ready = _ints(table.start_us), _ints(table.ready_us)
    end = int(whole("start of a wait", until_us, -FURTHEST_US, FURTHEST_US))
    if end <= starts[-1]:
        return table
    return ReadyTable([*starts, end], [*ready, end + ready[-1] - starts[-1]])


def _ints(values: object) -> list[int]:
    return [int(value) for value in values]  # type: ignore[attr-defined]


def _distinct(quantity: str, names: Sequence[str]) -> None:
    if len(set(names)) < len(names) or not all(names):
        raise Refused(quantity, ", ".join(map(repr, names)), "each of its own name")


def _said(at_us: int) -> str:
    return moment_of(at_us).isoformat()
