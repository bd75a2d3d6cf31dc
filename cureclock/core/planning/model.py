"""A layout as a constraint program: one variable for each go, over the open slots."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

import numpy as np

from cureclock.core.planning.bounds import Bounds
from cureclock.core.planning.greedy import Placed
from cureclock.core.planning.layout import Go, Hold, Ints, Link, at
from cureclock.core.planning.order import Turn, only_taken_in_turn
from cureclock.core.planning.stairs import Stairs, Window
from cureclock.core.planning.yard import spoils


class Model:
    """The constraint program of a layout, with a window for each go.

    Args:
        solver: the solver's module.
        bounds: how early each go can begin, and in which turns.
        tails: how late each can.

    Attributes:
        program: what the solver takes.
        start: for each go the variable of its position, or 0 where it is begun.
        late: for each go that may come late, whether it does.
        hands: for each go with a choice of people, by name, whether it is theirs.
    """

    def __init__(self, solver: Any, bounds: Bounds, tails: Sequence[int]) -> None:
        self.program: Any = solver.CpModel()
        self.layout, self.bounds, self.tails = bounds.layout, bounds, tails
        self.stairs = Stairs(self.program, solver.Domain)
        self.start: list[Any] = []
        self.late: dict[int, Any] = {}
        self.hands: dict[int, dict[str, Any]] = {}
        self._ends: dict[int, Any] = {}
        self._over: dict[int, list[Any]] = defaultdict(list)
        self._places: dict[object, Ints] = {}
        for go in self.layout.goes:
            self._add_go(go)
        for link in self.layout.links:
            if self.layout.goes[link.after].begun is None:
                self._add_gate(link)
        self._explain_late()
        for turn in bounds.turns:
            self._add_turn(turn)
        self._add_hands()
        self._add_machines()
        self._add_things()
        self._add_air()

    def window(self, go: Go, late: bool = False, name: str | None = None) -> Ints:
        """Positions at which a go that is not begun may begin, within its window."""
        head, tail = self.bounds.heads[go.index], self.tails[go.index]
        return np.flatnonzero(self.layout.starts(go, late, name)[head : tail + 1]) + head

    def _add_go(self, go: Go) -> None:
        if go.begun is not None:
            self.start.append(0)
            return
        start = self.program.new_int_var_from_domain(self.stairs.among(self.window(go)), "")
        self.start.append(start)
        links = self.layout.links_to[go.index]
        if any(link.limits and link.gate.late_us is not None for link in links):
            late = self.late[go.index] = self.program.new_bool_var("")
            longer = self.stairs.among(self.window(go, late=True))
            self.program.add_linear_expression_in_domain(start, longer).only_enforce_if(late)

    # Gates and turns

    def not_below(self, y: Any, go: Go, figures: Ints, floor: int, only_if: Sequence[Any]) -> None:
        """y is not below a figure of a go, where that says more than a floor it has anyhow."""
        if go.begun is not None:
            self._add(y >= at(figures, 0), only_if)
            return
        where, own = self._where(go), self._own(go)
        self.stairs.not_below(y, own, where, figures, floor=floor, only_if=only_if)

    def _where(self, go: Go) -> Ints:
        """Positions at which a go may begin at all."""
        key = (go.kind, go.step.not_before_us)
        if key not in self._places:
            self._places[key] = np.flatnonzero(self.layout.starts(go))
        return self._places[key]

    def _own(self, go: Go) -> Window:
        head, tail = self.bounds.heads[go.index], self.tails[go.index]
        return Window(self.start[go.index], head, tail)

    def _add(self, said: Any, only_if: Sequence[Any]) -> None:
        added = self.program.add(said)
        if only_if:
            added.only_enforce_if(*only_if)

    def _add_gate(self, link: Link) -> None:
        before, after = self.layout.goes[link.before], self.layout.goes[link.after]
        y, floor = self.start[after.index], self.bounds.heads[after.index]
        if link.opens:
            self.not_below(y, before, self.layout.opens(link), floor, ())
            if before.index in self.late:
                figures = self.layout.opens(link, late=True)
                self.not_below(y, before, figures, floor, [self.late[before.index]])
        if link.limits:
            self._add_limit(link, before, y)

    def _add_limit(self, link: Link, before: Go, y: Any) -> None:
        """The go after begins in time, or is late where it may be; late only where it is so."""
        late = self.late.get(before.index)
        self._limit(link, before, y, self.layout.closes(link), [])
        self._limit(link, before, y, self.layout.prompt(link), [] if late is None else [~late])
        if late is not None:
            self._limit(link, before, y, self.layout.prompt(link, late=True), [late])

    def _limit(
        self, link: Link, before: Go, y: Any, figures: Ints | None, only_if: Sequence[Any]
    ) -> None:
        if figures is None:
            return
        if link.gate.late_us is None:
            self._not_above(y, before, figures, only_if)
            return
        over = self.program.new_bool_var("")
        self._not_above(y, before, figures, [*only_if, ~over])
        self.not_below(y - 1, before, figures, -1, [*only_if, over])
        for one in (*only_if, self.late[link.after]):
            self.program.add_implication(over, one)
        self._over[link.after].append(over)

    def _not_above(self, y: Any, go: Go, figures: Ints, only_if: Sequence[Any]) -> None:
        if go.begun is not None:
            self._add(y <= at(figures, 0), only_if)
            return
        where, own = self._where(go), self._own(go)
        self.stairs.not_above(y, own, where, figures, only_if=only_if)

    def _explain_late(self) -> None:
        """Nothing is late unless some gate had closed."""
        for index, late in self.late.items():
            self.program.add_bool_or([*self._over[index], ~late])

    def _add_turn(self, turn: Turn) -> None:
        before, late = self.layout.goes[turn.before], self.late.get(turn.before)
        y, floor = self.start[turn.after], self.bounds.heads[turn.after]
        if turn.ends or before.begun is not None:
            self.not_below(y, before, turn.earliest(self.layout), floor, ())
            if late is not None:
                self.not_below(y, before, turn.earliest(self.layout, late=True), floor, [late])
            return
        slots = self._slots(before) if turn.hands else 0
        self.program.add(y >= self.start[turn.before] + slots)

    def _slots(self, go: Go) -> Any:
        """Hands of a go, in slots; more where it is late."""
        return go.slots + (go.late_slots - go.slots) * self._is_late(go)

    # Hands

    def _add_hands(self) -> None:
        theirs: dict[str, list[Any]] = defaultdict(list)
        for go in self.layout.goes:
            if go.begun is not None:
                self._busy(theirs, go)
            elif go.slots and self.layout.able(go):
                self._give(theirs, go)
        for spans in theirs.values():
            self.program.add_no_overlap(spans)

    def _busy(self, theirs: dict[str, list[Any]], go: Go) -> None:
        until = self.layout.frees_hands(go, 0)
        for name in go.begun.people if go.begun and until else ():
            theirs[name].append(self.program.new_fixed_size_interval_var(0, until, ""))

    def _give(self, theirs: dict[str, list[Any]], go: Go) -> None:
        able, start = self.layout.able(go), self.start[go.index]
        size = self._slots(go)
        if len(able) == 1:
            theirs[able[0]].append(self._interval(start, size, go, None))
            return
        chosen = self.hands[go.index] = {name: self.program.new_bool_var("") for name in able}
        self.program.add_exactly_one(chosen.values())
        for name, one in chosen.items():
            theirs[name].append(self._interval(start, size, go, one))
            self._add_hours(go, start, name, one)

    def _add_hours(self, go: Go, start: Any, name: str, one: Any) -> None:
        own = self.stairs.among(self.window(go, name=name))
        self.program.add_linear_expression_in_domain(start, own).only_enforce_if(one)
        if go.index in self.late:
            own = self.stairs.among(self.window(go, late=True, name=name))
            late = self.program.add_linear_expression_in_domain(start, own)
            late.only_enforce_if(one, self.late[go.index])

    def _interval(self, start: Any, size: Any, go: Go, one: Any) -> Any:
        if go.index not in self.late:
            if one is None:
                return self.program.new_fixed_size_interval_var(start, size, "")
            return self.program.new_optional_fixed_size_interval_var(start, size, one, "")
        end = self.program.new_int_var(0, self.layout.never, "")
        if one is None:
            return self.program.new_interval_var(start, size, end, "")
        return self.program.new_optional_interval_var(start, size, end, one, "")

    def _is_late(self, go: Go) -> Any:
        return self.late.get(go.index, 0)

    # Machines and things

    def _end(self, go: Go) -> Any:
        """The position from which a go's machine, or what it frees, is free; at the earliest."""
        if go.begun is not None:
            return at(self.layout.frees_machine(go), 0)
        if go.index not in self._ends:
            where = self.window(go)
            lasts = self.layout.frees_machine(go)[where] - where
            if go.index not in self.late and lasts.min() == lasts.max():
                self._ends[go.index] = self.start[go.index] + int(lasts[0])
            else:
                self._ends[go.index] = self._later_end(go)
        return self._ends[go.index]

    def _later_end(self, go: Go) -> Any:
        end = self.program.new_int_var(0, self.layout.never, "")
        self.not_below(end, go, self.layout.frees_machine(go), 0, ())
        if go.index in self.late:
            longer = self.layout.frees_machine(go, late=True)
            self.not_below(end, go, longer, 0, [self.late[go.index]])
        return end

    def _span(self, taker: Go, releaser: Go) -> Any:
        """From where one go begins to where another frees; None where that is over."""
        end = self._end(releaser)
        if taker.begun is not None and releaser.begun is not None:
            return self.program.new_fixed_size_interval_var(0, end, "") if end else None
        size = self.program.new_int_var(0, self.layout.never, "")
        return self.program.new_interval_var(self.start[taker.index], size, end, "")

    def _add_machines(self) -> None:
        on: dict[str, list[Any]] = defaultdict(list)
        for go in self.layout.goes:
            if go.step.machine:
                on[go.step.machine].append(self._span(go, go))
        for name, spans in on.items():
            self._share([(span, 1) for span in spans], self.layout.problem.machines.get(name, 0))

    def _share(self, taken: Sequence[tuple[Any, int]], owned: int) -> None:
        counted = [(span, count) for span, count in taken if span is not None]
        if sum(count for _, count in counted) <= owned:
            return
        if owned == 1:
            self.program.add_no_overlap([span for span, _ in counted])
        else:
            spans, counts = zip(*counted, strict=True)
            self.program.add_cumulative(spans, counts, owned)

    def _add_things(self) -> None:
        of: dict[str, list[Hold]] = defaultdict(list)
        for hold in self.layout.holds:
            of[hold.thing].append(hold)
        for name, holds in of.items():
            if only_taken_in_turn(self.layout, holds):
                continue
            spans = [
                (
                    self._span(self.layout.goes[hold.taker], self.layout.goes[hold.releaser]),
                    hold.count,
                )
                for hold in holds
            ]
            self._share(spans, self.layout.problem.things.get(name, 0))

    # Air

    def _add_air(self) -> None:
        places: dict[str, list[Go]] = defaultdict(list)
        for go in self.layout.goes:
            if go.step.place:
                places[go.step.place].append(go)
        for goes in places.values():
            wet = [go for go in goes if go.step.stays_wet]
            for dry in (go for go in goes if go.step.dusty or go.step.sparks):
                for other in wet:
                    if dry.index != other.index and spoils(dry, other):
                        self._keep_apart(dry, other)

    def _keep_apart(self, dry: Go, wet: Go) -> None:
        if dry.begun is not None and wet.begun is not None:
            return
        first = self.program.new_bool_var("")  # the dry one is over before the wet one begins
        self.program.add(self.start[wet.index] >= self._end(dry)).only_enforce_if(first)
        for figures, late in self._clear(dry, wet):
            only_if = [~first, self.late[wet.index]] if late else [~first]
            self.not_below(self.start[dry.index], wet, figures, 0, only_if)

    def _clear(self, dry: Go, wet: Go) -> list[tuple[Ints, bool]]:
        """Positions from which the wet go is in the dry one's way no more, in time and late."""
        tables = [
            table
            for harms, table in (
                (dry.step.dusty, wet.step.dust_free),
                (dry.step.sparks, wet.step.fumes),
            )
            if harms and table is not None
        ]
        lates = (False, True) if wet.index in self.late else (False,)
        return [(self.layout.clears(wet, table, late), late) for table in tables for late in lates]

    # Where a solver begins, and what it found

    def hint(self, placed: Placed) -> None:
        """Tell the solver a plan to begin with."""
        for go in self.layout.goes:
            if go.begun is None:
                self.program.add_hint(self.start[go.index], placed.start[go.index])
        for index, late in self.late.items():
            self.program.add_hint(late, placed.late[index])
        for index, chosen in self.hands.items():
            for name, one in chosen.items():
                self.program.add_hint(one, name in placed.people[index])

    def read(self, value: Any) -> Placed:
        """The goes as a solver placed them; `value` gives a variable's figure."""
        start, people = [], []
        for go in self.layout.goes:
            start.append(0 if go.begun is not None else int(value(self.start[go.index])))
            chosen = self.hands.get(go.index, {})
            given = tuple(name for name, one in chosen.items() if value(one))
            begun = go.begun.people if go.begun is not None else self.layout.able(go)
            people.append(given if chosen else begun)
        late = [i in self.late and bool(value(self.late[i])) for i in range(len(start))]
        return Placed(start, late, people, whole=True)
