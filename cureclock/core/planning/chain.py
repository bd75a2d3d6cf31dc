"""What rules a plan's date: the chain of acts and waits that leaves no time to spare."""

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from cureclock.core.planning.calendar import over_at
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Problem
from cureclock.core.planning.route import After, Step


class Ruler(StrEnum):
    """What an hour of the chain goes by with."""

    WAIT = "wait"  # a gate that is not open
    HANDS = "hands"  # hands-on work
    MACHINE = "machine"  # a machine running alone
    AWAY = "away"  # nobody in the shop
    THINGS = "things"  # clamps, hooks and the like tied up elsewhere
    AIR = "air"  # dust or fumes
    IDLE = "idle"  # nothing: it could have been begun sooner


@dataclass(frozen=True)
class Stretch:
    """A part of the chain.

    Attributes:
        ruler: what it goes by with.
        name: the gate, person, machine or thing.
        batch, step: the act it belongs to, or the one that waits.
        from_us, to_us: from when to when [us].
    """

    ruler: Ruler
    name: str
    batch: str
    step: str
    from_us: int
    to_us: int

    @property
    def lasts_us(self) -> int:
        """How long it is [us]."""
        return self.to_us - self.from_us


@dataclass(frozen=True)
class Chain:
    """The stretches from now to the end, in order, without a gap.

    Attributes:
        stretches: the parts.
    """

    stretches: tuple[Stretch, ...]

    def ruling(self) -> Stretch:
        """The longest of all that go by with one thing, told by its longest part."""
        total: dict[tuple[Ruler, str, str], int] = defaultdict(int)
        for part in self.stretches:
            if part.ruler not in (Ruler.AWAY, Ruler.IDLE):
                total[part.ruler, part.name, part.batch] += part.lasts_us
        if not total:
            return max(self.stretches, key=lambda part: part.lasts_us)
        ruler, name, batch = max(total, key=lambda key: total[key])
        own = [p for p in self.stretches if (p.ruler, p.name, p.batch) == (ruler, name, batch)]
        return max(own, key=lambda part: part.lasts_us)


def chain_of(problem: Problem, plan: Plan, batch: str) -> Chain:
    """The chain that leads to a batch's last piece, from the beginning of the plan.

    Args:
        problem: what is planned.
        plan: a plan that holds.
        batch: whose date is asked about.

    Returns:
        A Chain.

    Raises:
        Refused: where there is no such batch.

    Valid for:
        Plans without faults.
    Assumes:
        An act waits for the last of what it needs: that gate, pair of hands, machine or thing
        is what rules it.
    Source:
        The longest chain, written backwards.

    Example:
        >>> from cureclock.core.coat.shop_hours import ReadyTable
        >>> from cureclock.core.planning.problem import Batch
        >>> wrap = After("coat", ReadyTable([0], [900]), name="wrap")
        >>> batch = Batch("drums", 1, (Step("coat", 60),), done=(wrap,))
        >>> plan = Plan((Act("drums", "coat", 0, 1, 0, 60, 60),), {"drums": 960})
        >>> [(s.ruler.value, s.name, s.lasts_us) for s in
        ...  chain_of(Problem(0, 10**10, (), (batch,)), plan, "drums").stretches]
        [('hands', '', 60), ('wait', 'wrap', 900)]
    """
    return _Walk(problem, plan).back_from(batch)


@dataclass(frozen=True)
class _Cause:
    """What an act waited for last: from when it was free of it, and the act that was at it."""

    free_us: int
    ruler: Ruler
    name: str
    act: Act | None


class _Walk:
    """Walking back from the end of a plan."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.steps = {(b.name, s.key): s for b in problem.batches for s in b.steps}
        self.of_piece = {
            (act.batch, act.step, piece): act
            for act in plan.acts
            for piece in range(act.first, act.first + act.pieces)
        }

    def back_from(self, batch: str) -> Chain:
        last, stretches = self._end(batch)
        act: Act | None = last
        for _ in range(len(self.plan.acts)):
            if act is None or act.start_us <= self.problem.from_us:
                break
            cause = self._cause(act)
            stretches += self._before(act, cause)
            act = cause.act
            if act is not None:
                stretches += self._at(act)
        inside = [part for part in stretches if part.to_us > self.problem.from_us]
        return Chain(tuple(sorted(inside, key=lambda part: part.from_us)))

    def _end(self, name: str) -> tuple[Act, list[Stretch]]:
        """The act that is last to be over, and the stretch after it."""
        batch = self.problem.batch(name)
        found = []
        for gate in (*(After(key) for key in batch.last_steps), *batch.done):
            for act in self.plan.of(name, gate.step):
                found.append((_over(gate, act), act, gate))
        over, act, gate = max(found, key=lambda one: one[0])
        wait = Stretch(Ruler.WAIT, _named(gate), name, act.step, act.end_us, over)
        return act, [*([wait] if over > act.end_us else []), *self._at(act)]

    def _at(self, act: Act) -> list[Stretch]:
        """The stretches an act itself takes."""
        who, step = ", ".join(act.people), self.steps[act.batch, act.step]
        parts = [(Ruler.HANDS, who, act.start_us, act.hands_end_us)]
        parts.append((Ruler.MACHINE, step.machine, act.hands_end_us, act.end_us))
        return [
            Stretch(ruler, name, act.batch, act.step, start, end)
            for ruler, name, start, end in parts
            if end > start
        ]

    def _before(self, act: Act, cause: _Cause) -> list[Stretch]:
        """From the end of what it waited for to its beginning: the wait, then nobody there."""
        begun = cause.act.end_us if cause.act is not None else self.problem.from_us
        parts = [(cause.ruler, cause.name, min(begun, cause.free_us), cause.free_us)]
        idle = Ruler.AWAY if self._nobody_at(act, cause.free_us) else Ruler.IDLE
        parts.append((idle, "", cause.free_us, act.start_us))
        return [
            Stretch(ruler, name, act.batch, act.step, start, end)
            for ruler, name, start, end in parts
            if end > start
        ]

    def _nobody_at(self, act: Act, free_us: int) -> bool:
        """Whether who does the act was away at the slot before it, or had too little time."""
        for person in self.problem.people:
            if person.name in act.people and person.hours is not None:
                hands = act.hands_end_us - act.start_us
                return person.hours.earliest_start(free_us, hands) >= act.start_us
        return False

    def _cause(self, act: Act) -> _Cause:
        """What became free last before an act."""
        step = self.steps[act.batch, act.step]
        first = _Cause(self.problem.from_us, Ruler.IDLE, "", None)
        found = [first, *self._gates(act, step), *self._shared(act, step)]
        if step.not_before_us is not None:
            found.append(_Cause(step.not_before_us, Ruler.WAIT, "its own first moment", None))
        return max((one for one in found if one.free_us <= act.start_us), key=lambda c: c.free_us)

    def _gates(self, act: Act, step: Step) -> list[_Cause]:
        pieces = range(act.first, act.first + act.pieces)
        return [
            _Cause(_over(gate, before), Ruler.WAIT, _named(gate), before)
            for gate in step.after
            for before in {self.of_piece[act.batch, gate.step, piece] for piece in pieces}
        ]

    def _shared(self, act: Act, step: Step) -> list[_Cause]:
        """What else ended at hands, machine, things or air that the act needs."""
        found = []
        for other in self.plan.acts:
            if other is act or other.start_us > act.start_us:
                continue
            theirs = self.steps[other.batch, other.step]
            if set(other.people) & set(act.people):
                found.append(_Cause(other.hands_end_us, Ruler.HANDS, "", other))
            if step.machine and theirs.machine == step.machine:
                found.append(_Cause(other.end_us, Ruler.MACHINE, step.machine, other))
            found += self._thing_causes(step, other, theirs)
            if step.place and theirs.place == step.place:
                found += _air_causes(step, other, theirs)
        return found

    def _thing_causes(self, step: Step, other: Act, theirs: Step) -> list[_Cause]:
        wanted = {take.thing for take in step.takes}
        found = []
        for take in theirs.takes:
            if take.thing in wanted:
                last = (other.batch, take.until or other.step, other.first + other.pieces - 1)
                freed = self.of_piece[last]
                found.append(_Cause(freed.end_us, Ruler.THINGS, take.thing, freed))
        return found


def _air_causes(step: Step, other: Act, theirs: Step) -> list[_Cause]:
    found = []
    for harms, table in ((step.dusty, theirs.dust_free), (step.sparks, theirs.fumes)):
        if harms and table is not None:
            over = int(over_at(table, np.array([other.end_us]))[0])
            found.append(_Cause(over, Ruler.AIR, theirs.key, other))
    if (theirs.dusty or theirs.sparks) and step.stays_wet:
        found.append(_Cause(other.end_us, Ruler.AIR, theirs.key, other))
    return found


def _over(gate: After, act: Act) -> int:
    return int(over_at(gate.opens, np.array([act.end_us]))[0])


def _named(gate: After) -> str:
    return gate.name or gate.step
