"""Does a plan hold? Asked of the problem alone, by other means than those that made the plan."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Batch, Problem
from cureclock.core.planning.route import After, Step
from cureclock.core.refusal import Refused


class Wrong(StrEnum):
    """What can be wrong with a plan."""

    UNKNOWN = "unknown"  # a batch, step or piece that the problem does not have
    MISSING = "missing"  # a piece that never comes to a step
    TWICE = "twice"  # a piece that comes to a step twice
    TOO_MANY = "too_many"  # more pieces in one go than the step takes
    BEGUN_MOVED = "begun_moved"  # what is begun does not stand where it stands
    NOT_BEGUN = "not_begun"  # said to be begun, and is not
    PAST = "past"  # begins before the plan does
    BEYOND = "beyond"  # hands needed after the plan ends
    LENGTH = "length"  # does not last as long as its step
    NO_HANDS = "no_hands"  # nobody, or more than one, or somebody where none is needed
    UNABLE = "unable"  # somebody who does not work here or cannot do it
    NOT_THERE = "not_there"  # somebody who is not in the shop then
    TWO_AT_ONCE = "two_at_once"  # one pair of hands in two places
    MACHINE = "machine"  # a machine used more often at once than the shop has it
    THINGS = "things"  # more things of a kind tied up than the shop has
    GATE = "gate"  # a gate before it is not open
    CLOSED = "closed"  # a gate before it has closed, and it may not come late
    LATE_UNSAID = "late_unsaid"  # comes late, and the plan does not know it
    LATE_FOR_NOTHING = "late_for_nothing"  # said to be late, and is not
    TOO_SOON = "too_soon"  # begins before its own first moment
    DUST = "dust"  # dust where something is wet
    SPARKS = "sparks"  # ignition where solvent is in the air
    DONE = "done"  # another date than the acts make


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong with a plan.

    Attributes:
        wrong: what.
        batch, step, first: with which go.
        says: more of it, in words.
    """

    wrong: Wrong
    batch: str
    step: str
    first: int = 0
    says: str = ""


def verify(problem: Problem, plan: Plan) -> tuple[Fault, ...]:
    """Everything that is wrong with a plan.

    Args:
        problem: what was to be planned.
        plan: the plan.

    Returns:
        The faults; none where the plan holds.

    Raises:
        Nothing: whatever is wrong is told.

    Valid for:
        Any plan for any problem.
    Assumes:
        What is begun is a fact: it is never at fault itself, only what is planned beside it.
    Source:
        Our own.

    Example:
        >>> batch = Batch("tray", 1, (Step("glue"),))
        >>> problem = Problem(0, 10**10, (), (batch,))
        >>> [fault.wrong.value for fault in verify(problem, Plan((), {"tray": 0}))]
        ['missing']
        >>> verify(problem, Plan((Act("tray", "glue", 0, 1, 0, 0, 0),), {"tray": 0}))
        ()
    """
    strangers = [act for act in plan.acts if not _is_known(problem, act)]
    if strangers:
        return tuple(_fault(Wrong.UNKNOWN, act) for act in strangers)
    found = [*_pieces(problem, plan), *_begun(problem, plan)]
    if not found:
        found += _Checking(problem, plan).faults()
    return tuple(found)


def _is_known(problem: Problem, act: Act) -> bool:
    try:
        batch = problem.batch(act.batch)
        batch.step(act.step)
    except Refused:
        return False
    return act.pieces >= 1 and 0 <= act.first <= batch.count - act.pieces


def _fault(wrong: Wrong, act: Act, says: str = "") -> Fault:
    return Fault(wrong, act.batch, act.step, act.first, says)


def _pieces(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """Every piece comes to every step once."""
    for batch in problem.batches:
        for step in batch.steps:
            times = np.zeros(batch.count, dtype=int)
            for act in plan.of(batch.name, step.key):
                times[act.first : act.first + act.pieces] += 1
                if act.pieces > step.at_once and not act.pinned:
                    yield _fault(Wrong.TOO_MANY, act, f"{act.pieces}, at most {step.at_once}")
            for wrong, where in ((Wrong.MISSING, times == 0), (Wrong.TWICE, times > 1)):
                if where.any():
                    yield Fault(wrong, batch.name, step.key, int(np.argmax(where)))


def _begun(problem: Problem, plan: Plan) -> Iterator[Fault]:
    """What is begun stands where it stands, and nothing else is said to be begun."""
    facts = [(b.batch, b.step, b.pieces, b.start_us, b.end_us, b.people) for b in problem.begun]
    for act in plan.acts:
        said = (act.batch, act.step, act.pieces, act.start_us, act.end_us, act.people)
        if act.pinned and said in facts:
            facts.remove(said)
        elif act.pinned:
            yield _fault(Wrong.NOT_BEGUN, act)
    for batch, step, *_ in facts:
        yield Fault(Wrong.BEGUN_MOVED, batch, step)


class _Checking:
    """A plan whose pieces are all there, looked at act by act."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.steps = {(b.name, s.key): s for b in problem.batches for s in b.steps}
        self.planned = [act for act in plan.acts if not act.pinned]
        self.of_piece = {
            (act.batch, act.step, piece): act
            for act in plan.acts
            for piece in range(act.first, act.first + act.pieces)
        }

    def faults(self) -> Iterator[Fault]:
        for act in self.planned:
            step = self.steps[act.batch, act.step]
            yield from self._time(act, step)
            yield from self._hands(act, step)
            yield from self._gates(act, step)
            yield from self._machine(act, step)
            yield from self._things(act, step)
            yield from self._air(act, step)
        for batch in self.problem.batches:
            yield from self._done(batch)

    def _time(self, act: Act, step: Step) -> Iterator[Fault]:
        hands_us = step.hands_us + step.each_us * act.pieces
        if act.late:
            hands_us += max([gate.late_us or 0 for gate in step.after], default=0)
        if (act.hands_end_us, act.end_us) != (
            act.start_us + hands_us,
            act.start_us + hands_us + step.alone_us,
        ):
            yield _fault(Wrong.LENGTH, act)
        if act.start_us < self.problem.from_us:
            yield _fault(Wrong.PAST, act)
        if max(act.start_us, act.hands_end_us) > self.problem.until_us:
            yield _fault(Wrong.BEYOND, act)
        if step.not_before_us is not None and act.start_us < step.not_before_us:
            yield _fault(Wrong.TOO_SOON, act)

    def _hands(self, act: Act, step: Step) -> Iterator[Fault]:
        needed = 1 if self.problem.people and act.hands_end_us > act.start_us else 0
        if len(act.people) != needed:
            yield _fault(Wrong.NO_HANDS, act, f"{len(act.people)}, needs {needed}")
        known = {person.name: person for person in self.problem.people}
        for name in act.people:
            if name not in known or (step.who and name not in step.who):
                yield _fault(Wrong.UNABLE, act, name)
                continue
            if not _is_there(known[name].hours, act.start_us, act.hands_end_us):
                yield _fault(Wrong.NOT_THERE, act, name)
            for other in self.plan.acts:
                if other is not act and name in other.people and self._both_in_hand(act, other):
                    yield _fault(Wrong.TWO_AT_ONCE, act, f"{name}, at {other.step}")

    def _both_in_hand(self, act: Act, other: Act) -> bool:
        free_us = other.hands_end_us
        if other.pinned:
            step = self.steps[other.batch, other.step]
            loaded_us = other.start_us + step.hands_us + step.each_us * other.pieces
            free_us = min(other.end_us, loaded_us) if step.alone_us else other.end_us
        return act.start_us < free_us and other.start_us < act.hands_end_us

    def _gates(self, act: Act, step: Step) -> Iterator[Fault]:
        too_late = False
        for gate in step.after:
            for piece in range(act.first, act.first + act.pieces):
                before = self.of_piece[act.batch, gate.step, piece]
                if act.start_us < _over_us(gate.opens, before.end_us):
                    yield _fault(Wrong.GATE, act, f"{gate.name or gate.step}, piece {piece + 1}")
                if act.start_us > _limit_us(gate, before):
                    too_late = True
                    if gate.late_us is None:
                        yield _fault(Wrong.CLOSED, act, f"{gate.name or gate.step}")
        if too_late and not act.late:
            yield _fault(Wrong.LATE_UNSAID, act)
        if act.late and not too_late:
            yield _fault(Wrong.LATE_FOR_NOTHING, act)

    def _machine(self, act: Act, step: Step) -> Iterator[Fault]:
        if not step.machine:
            return
        on = [
            other
            for other in self.plan.acts
            if self.steps[other.batch, other.step].machine == step.machine
            and other.start_us <= act.start_us < max(other.end_us, other.start_us + 1)
        ]
        if len(on) > self.problem.machines.get(step.machine, 0):
            yield _fault(Wrong.MACHINE, act, step.machine)

    def _things(self, act: Act, step: Step) -> Iterator[Fault]:
        for thing in {take.thing for take in step.takes}:
            if self._tied_up(thing, act.start_us) > self.problem.things.get(thing, 0):
                yield _fault(Wrong.THINGS, act, thing)

    def _tied_up(self, thing: str, at_us: int) -> int:
        count = 0
        for act in self.plan.acts:
            for take in self.steps[act.batch, act.step].takes:
                if take.thing == thing and act.start_us <= at_us:
                    last = (act.batch, take.until or act.step, act.first + act.pieces - 1)
                    if self.of_piece[last].end_us > at_us:
                        count += take.count * (act.pieces if take.each else 1)
        return count

    def _air(self, act: Act, step: Step) -> Iterator[Fault]:
        for other in self.plan.acts if step.place else ():
            theirs = self.steps[other.batch, other.step]
            if other is act or theirs.place != step.place:
                continue
            for dry, dry_step, wet, wet_step in (
                (act, step, other, theirs),
                (other, theirs, act, step),
            ):
                if dry_step.dusty and _is_wet(dry, wet, wet_step.dust_free):
                    yield _fault(Wrong.DUST, act, f"beside {other.step}")
                if dry_step.sparks and _is_wet(dry, wet, wet_step.fumes):
                    yield _fault(Wrong.SPARKS, act, f"beside {other.step}")

    def _done(self, batch: Batch) -> Iterator[Fault]:
        ends = [act.end_us for key in batch.last_steps for act in self.plan.of(batch.name, key)]
        for gate in batch.done:
            ends += [
                _over_us(gate.opens, act.end_us) for act in self.plan.of(batch.name, gate.step)
            ]
        if self.plan.done_us.get(batch.name) != max(ends):
            yield Fault(Wrong.DONE, batch.name, "")


def _is_there(hours: ShopHours | None, start_us: int, end_us: int) -> bool:
    """Whether hours hold a time from end to end; spells that touch are one."""
    if hours is None:
        return False
    opens, closes = np.asarray(hours.open_us), np.asarray(hours.close_us)
    at_us = start_us
    for open_us, close_us in zip(opens, closes, strict=True):
        if open_us <= at_us < close_us:
            at_us = int(close_us)
    return at_us >= end_us and at_us > start_us


def _over_us(table: ReadyTable | None, start_us: int) -> int:
    """When a wait begun then is over; outside its table it is as long as at the nearer end."""
    if table is None:
        return start_us
    rows = np.asarray(table.start_us)
    nearest = int(np.clip(start_us, rows[0], rows[-1]))
    return table.ready(nearest) + start_us - nearest


def _limit_us(gate: After, before: Act) -> int:
    limits = []
    if gate.closes is not None:
        limits.append(_over_us(gate.closes, before.start_us))
    if gate.prompt_us is not None:
        limits.append(_over_us(gate.opens, before.end_us) + gate.prompt_us)
    return min(limits, default=before.start_us + 10**18)


def _is_wet(dry: Act, wet: Act, table: ReadyTable | None) -> bool:
    """Whether something is still wet, or solvent in the air, while a dusty act goes on."""
    if table is None or (dry.pinned and wet.pinned):
        return False
    return dry.start_us < _over_us(table, wet.end_us) and wet.start_us < max(
        dry.end_us, dry.start_us + 1
    )
