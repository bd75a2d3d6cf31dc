"""A plan gone through again in its own order, many times at once, as long as things then take."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.planning.plan import Act, Plan
from cureclock.core.planning.problem import Problem
from cureclock.core.planning.route import After, Step
from cureclock.core.units import MINUTE_US

Floats = NDArray[np.float64]
Key = tuple[str, str, int]

LATEST = 9e15  # beyond every calendar
OVERRUN_US = 15 * MINUTE_US  # so long somebody stays on to end a job that grew; our choice
ROUNDS = 30  # spells looked through for one that holds a job; more are begun at an opening


@dataclass(frozen=True)
class Draws:
    """How long things take in each of many times a plan is gone through.

    Attributes:
        times: how many.
        hands: factor on the hands of each step, by batch and step.
        waits: factor on the wait for each gate, by batch, step before and step after ("" where
            it is a gate of being done).
    """

    times: int
    hands: Mapping[tuple[str, str], Floats] = field(default_factory=dict)
    waits: Mapping[tuple[str, str, str], Floats] = field(default_factory=dict)

    def of_hands(self, act: Act) -> Floats | float:
        """The factor on an act's hands."""
        return self.hands.get((act.batch, act.step), 1.0)

    def of_wait(self, act: Act, after: str) -> Floats | float:
        """The factor on the wait that follows an act."""
        return self.waits.get((act.batch, act.step, after), 1.0)


@dataclass(frozen=True)
class Run:
    """When everything was, each time.

    Attributes:
        start_us, end_us: of each act, in the order of the plan [us], acts by times.
        late: whether it came after a gate had closed.
        missed: how many gates closed although nothing may come late, by times.
        piece_done_us: for each batch, when each piece was done [us], pieces by times.
    """

    start_us: Floats
    end_us: Floats
    late: NDArray[np.bool_]
    missed: NDArray[np.int64]
    piece_done_us: Mapping[str, Floats]


def replay(
    problem: Problem,
    plan: Plan,
    draws: Draws,
    *,
    grid_us: int = 0,
    not_before: Mapping[Key, int] | None = None,
) -> Run:
    """Go through a plan: each act as early as its turn, its gates and the hours allow.

    Args:
        problem: what is planned; its hours and tables reach as far as is wanted.
        plan: a plan that holds.
        draws: how long things take, each time.
        grid_us: starts fall on a multiple of so much after the plan's beginning [us], 0 to
            14400000000; 0: at any instant.
        not_before: for acts by their key, a first instant [us].

    Returns:
        A Run.

    Raises:
        Nothing for a plan that holds.

    Valid for:
        Plans without faults.
    Assumes:
        Hands, machines, things and places go from act to act in the order of the plan; who was
        to do something does it.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.problem import Batch
        >>> step = Step("turn", 60, machine="lathe")
        >>> problem = Problem(0, 10**10, (), (Batch("box", 2, (step,)),), {"lathe": 1})
        >>> acts = tuple(Act("box", "turn", i, 1, 900 * i, 900 * i + 60, 900 * i + 60) for i in (0, 1))
        >>> replay(problem, Plan(acts), Draws(1)).start_us.ravel().tolist()
        [0.0, 60.0]
    """
    going = _Going(problem, plan, draws, grid_us, not_before or {})
    for number, act in enumerate(plan.acts):
        going.do(number, act)
    return Run(going.start, going.end, going.late, going.missed, going.pieces_done())


class _Going:
    """The shop while a plan is gone through: everything an array over the times."""

    def __init__(
        self,
        problem: Problem,
        plan: Plan,
        draws: Draws,
        grid_us: int,
        not_before: Mapping[Key, int],
    ) -> None:
        self.problem, self.plan, self.draws = problem, plan, draws
        self.grid_us, self.not_before = grid_us, not_before
        count, self.times = len(plan.acts), draws.times
        self.start, self.end = np.zeros((count, self.times)), np.zeros((count, self.times))
        self.late = np.zeros((count, self.times), dtype=bool)
        self.missed = np.zeros(self.times, dtype=np.int64)
        self.steps = {(b.name, s.key): s for b in problem.batches for s in b.steps}
        self.number_of = {
            (act.batch, act.step, piece): number
            for number, act in enumerate(plan.acts)
            for piece in range(act.first, act.first + act.pieces)
        }
        self.hours = {p.name: _spells(p.hours) for p in problem.people if p.hours is not None}
        self.free = {person.name: np.zeros(self.times) for person in problem.people}
        self.machines = {n: np.zeros((many, self.times)) for n, many in problem.machines.items()}
        self.held: dict[str, list[tuple[int, int]]] = defaultdict(list)
        self.over: set[int] = set()
        self.wet: list[tuple[int, str, Floats, Floats]] = []
        self.dry: list[tuple[int, Step]] = []

    def do(self, number: int, act: Act) -> None:
        step = self.steps[act.batch, act.step]
        if act.pinned:
            start = np.full(self.times, float(act.start_us))
            hands_end, end = float(act.hands_end_us) + 0 * start, float(act.end_us) + 0 * start
        else:
            start, hands_end, end = self._when(number, act, step)
        self.start[number], self.end[number] = start, end
        self.over.add(number)
        for name in act.people:
            self.free[name] = np.maximum(self.free[name], hands_end)
        self._leave(number, act, step, end)

    def _when(self, number: int, act: Act, step: Step) -> tuple[Floats, Floats, Floats]:
        soonest = np.maximum(self._gates(act, step), self._turn(number, act, step))
        if self.grid_us:
            begin = self.problem.from_us
            soonest = begin + np.ceil((soonest - begin) / self.grid_us) * self.grid_us
        # Whole microseconds, so that what just fits as it was planned fits here.
        soonest = np.rint(soonest)
        hands = np.rint(step.hands_of(act.pieces) * self.draws.of_hands(act) + np.zeros(self.times))
        start = self._in_hours(act, step, soonest, hands)
        late = self._is_late(act, step, start)
        if late.any():
            hands = hands + late * step.late_us
            start = self._in_hours(act, step, soonest, hands)
        self.late[number] = late
        return start, start + hands, start + hands + step.alone_us

    def _gates(self, act: Act, step: Step) -> Floats:
        first = max(self.problem.from_us, step.not_before_us or 0, self.not_before.get(act.key, 0))
        soonest = np.full(self.times, float(first))
        for gate in step.after:
            for before in self._before(act, gate):
                soonest = np.maximum(soonest, self._opens(before, gate, act.step))
        return soonest

    def _before(self, act: Act, gate: After) -> set[int]:
        pieces = range(act.first, act.first + act.pieces)
        return {self.number_of[act.batch, gate.step, piece] for piece in pieces}

    def _opens(self, before: int, gate: After, after: str) -> Floats:
        """When a gate opens; what is past of its wait is known, the rest may last longer."""
        end = self.end[before]
        over, known = _over(gate.opens, end), np.maximum(end, self.problem.from_us)
        factor = self.draws.of_wait(self.plan.acts[before], after)
        return np.asarray(np.where(over > known, known + (over - known) * factor, over))

    def _is_late(self, act: Act, step: Step, start: Floats) -> NDArray[np.bool_]:
        late = np.zeros(self.times, dtype=bool)
        for gate in step.after:
            for before in self._before(act, gate) if gate.has_limit else ():
                limit = np.full(self.times, LATEST)
                if gate.closes is not None:
                    limit = np.minimum(limit, _over(gate.closes, self.start[before]))
                if gate.prompt_us is not None:
                    opens = self._opens(before, gate, act.step)
                    limit = np.minimum(limit, opens + gate.prompt_us)
                passed = start > limit + 1  # floats tell microseconds, not parts of them
                late |= passed
                self.missed += passed & (gate.late_us is None)
        return late

    def _turn(self, number: int, act: Act, step: Step) -> Floats:
        """When hands, machine, things and air are free of what comes before in the plan."""
        soonest = np.zeros(self.times)
        for name in act.people:
            soonest = np.maximum(soonest, self.free[name])
        if step.machine:
            soonest = np.maximum(soonest, self.machines[step.machine][0])
        for take in step.takes:
            room = self.problem.things[take.thing] - take.of(act.pieces)
            soonest = np.maximum(soonest, self._things_free(take.thing, room))
        for other, place, dust, fumes in self.wet if step.place else ():
            if place == step.place and other != number:
                soonest = np.maximum(soonest, np.where(step.dusty, dust, 0))
                soonest = np.maximum(soonest, np.where(step.sparks, fumes, 0))
        for other, theirs in self.dry if step.place and step.stays_wet else ():
            if theirs.place == step.place and _harms(theirs, step):
                soonest = np.maximum(soonest, self.end[other])
        return soonest

    def _things_free(self, thing: str, room: int) -> Floats:
        """When at most so many things of a kind are still tied up."""
        kept = [(releaser, count) for releaser, count in self.held[thing] if count]
        room -= sum(count for releaser, count in kept if releaser not in self.over)
        known = [(releaser, count) for releaser, count in kept if releaser in self.over]
        if sum(count for _, count in known) <= room:
            return np.zeros(self.times)
        frees = np.stack([self.end[releaser] for releaser, _ in known])
        order = np.argsort(-frees, axis=0)
        tied = np.cumsum(np.array([count for _, count in known])[order], axis=0)
        waits_for = np.argmax(tied > room, axis=0)
        falling = np.take_along_axis(frees, order, axis=0)
        return np.asarray(np.take_along_axis(falling, waits_for[np.newaxis], axis=0)[0])

    def _in_hours(self, act: Act, step: Step, soonest: Floats, hands: Floats) -> Floats:
        planned = step.hands_of(act.pieces)
        for name in act.people:
            opens, closes = self.hours[name]
            soonest = _in_spells(opens, closes, soonest, hands, planned)
        return soonest

    def _leave(self, number: int, act: Act, step: Step, end: Floats) -> None:
        if step.machine:
            free = self.machines[step.machine]
            free[0] = np.maximum(free[0], end)
            free.sort(axis=0)
        for take in step.takes:
            last = (act.batch, take.until or act.step, act.first + act.pieces - 1)
            self.held[take.thing].append((self.number_of[last], take.of(act.pieces)))
        if step.place and step.stays_wet:
            never = np.zeros(self.times)
            dust = never if step.dust_free is None else _over(step.dust_free, end)
            fumes = never if step.fumes is None else _over(step.fumes, end)
            self.wet.append((number, step.place, dust, fumes))
        if step.place and (step.dusty or step.sparks):
            self.dry.append((number, step))

    def pieces_done(self) -> dict[str, Floats]:
        found = {}
        for batch in self.problem.batches:
            done = np.zeros((batch.count, self.times))
            ends = [After(key) for key in batch.last_steps]
            for gate in (*ends, *batch.done):
                for act in self.plan.of(batch.name, gate.step):
                    number = self.number_of[act.key]
                    rows = slice(act.first, act.first + act.pieces)
                    done[rows] = np.maximum(done[rows], self._opens(number, gate, ""))
            found[batch.name] = done
        return found


def _harms(dry: Step, wet: Step) -> bool:
    dust = dry.dusty and wet.dust_free is not None
    return dust or (dry.sparks and wet.fumes is not None)


def _over(table: ReadyTable | None, start: Floats) -> Floats:
    """When waits are over; outside the table they are as long as at its nearer end."""
    if table is None:
        return start
    rows = np.asarray(table.start_us, dtype=float)
    ready = np.asarray(table.ready_us, dtype=float)
    inside = np.clip(start, rows[0], rows[-1])
    return np.asarray(np.interp(inside, rows, ready) + (start - inside))


def _spells(hours: ShopHours) -> tuple[Floats, Floats]:
    """Hours as spells of which none touches the next."""
    opens = np.asarray(hours.open_us, dtype=float)
    closes = np.asarray(hours.close_us, dtype=float)
    apart = opens[1:] > closes[:-1]
    return opens[np.concatenate([[True], apart])], closes[np.concatenate([apart, [True]])]


def _in_spells(
    opens: Floats, closes: Floats, soonest: Floats, hands: Floats, planned: int
) -> Floats:
    """The first moment of a spell from which the hands fit. A job that has grown is ended a
    little after closing; one longer than any spell is begun at an opening that would have held
    it as it was planned.
    """
    stays_on = np.where(hands > planned, OVERRUN_US, 0.0)
    spell = np.searchsorted(closes, soonest, side="right")
    start = soonest
    for _ in range(ROUNDS):
        inside = np.minimum(spell, len(opens) - 1)
        start = np.maximum(soonest, opens[inside])
        at_opening = (start == opens[inside]) & (start + planned <= closes[inside])
        fits = (start + hands <= closes[inside] + stays_on) | at_opening
        if fits.all():
            break
        spell = np.where(fits, spell, spell + 1)
    return np.where(spell >= len(opens), LATEST, start)
