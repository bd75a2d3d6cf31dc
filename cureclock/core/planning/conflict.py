"""Why there can be no plan as things are asked: the constraint in conflict, in the maker's words."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from cureclock.core.planning.layout import Go, Hold, Layout, Link
from cureclock.core.planning.problem import Problem
from cureclock.core.units import HOUR_US, MINUTE_US, moment_of
from cureclock.core.wording.say import say


class Clash(StrEnum):
    """What stands in the way."""

    MACHINE = "machine"  # nobody owns it
    THINGS = "things"  # one go takes more than there are
    HELD = "held"  # they are freed only when more are tied up than there are
    HANDS = "hands"  # nobody who can do it is ever here
    HOURS = "hours"  # nobody is there long enough at a time
    WINDOW = "window"  # whenever it is begun, nobody is there for what must follow
    CROWDED = "crowded"  # hands are elsewhere when a gate closes
    HORIZON = "horizon"  # not all of it fits before the plan ends
    STUCK = "stuck"  # each waits for what the other holds


@dataclass(frozen=True)
class Conflict:
    """A constraint that cannot be kept.

    Attributes:
        clash: what kind it is.
        batch, step: where it bites; empty where it is no single step.
        name: the machine, thing, person or gate; of a horizon the instant, as ISO 8601 has it.
        needs, has: what is asked and what there is, in words; may be empty.
        proven: there is no plan that keeps it; else none was found in the time given.
    """

    clash: Clash
    batch: str = ""
    step: str = ""
    name: str = ""
    needs: str = ""
    has: str = ""
    proven: bool = True

    @property
    def says(self) -> str:
        """The conflict as one sentence."""
        own = {"batch": self.batch, "step": self.step, "name": self.name}
        return say(f"plan.conflict.{self.clash}", needs=self.needs, has=self.has, **own)


def conflicts_in(layout: Layout) -> tuple[Conflict, ...]:
    """Every conflict that can be seen without solving.

    Args:
        layout: the goes of a problem.

    Returns:
        The conflicts; none where there may be a plan.

    Raises:
        Nothing.

    Valid for:
        Any layout.
    Assumes:
        Nothing.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> batch = Batch("trays", 2, (Step("rout the rim", machine="router"),))
        >>> conflicts_in(lay_out(Problem(0, 10**10, (), (batch,))))[0].says
        'rout the rim (trays) needs a router, and the shop has none.'
    """
    one_of_each = {go.kind: go for go in layout.goes if go.begun is None}
    found = [clash for go in one_of_each.values() for clash in _clashes(layout, go)]
    return (*found, *_held_together(layout))


def _clashes(layout: Layout, go: Go) -> Iterator[Conflict]:
    step, problem = go.step, layout.problem
    if step.machine and not problem.machines.get(step.machine, 0):
        yield Conflict(Clash.MACHINE, go.batch, step.key, step.machine)
    for take in step.takes:
        owned, taken = problem.things.get(take.thing, 0), take.of(go.pieces)
        if taken > owned:
            yield Conflict(
                Clash.THINGS, go.batch, step.key, take.thing, needs=str(taken), has=str(owned)
            )
    nobody_ever = not len(layout.calendar)
    if nobody_ever or (go.slots and problem.people and not _long_enough(layout, go)):
        there = _longest_us(layout, go)
        clash = Clash.HOURS if there else Clash.HANDS
        needs = step.hands_of(go.pieces)
        yield Conflict(clash, go.batch, step.key, needs=_said(needs), has=_said(there))


def _long_enough(layout: Layout, go: Go) -> bool:
    return any(layout.calendar.unbroken(go.slots, name).any() for name in layout.able(go))


def _longest_us(layout: Layout, go: Go) -> int:
    """The longest stretch of anybody who can do a go [us]."""
    longest = 0
    for name in layout.able(go):
        here = layout.calendar.slots[layout.calendar.there[name]]
        breaks = np.flatnonzero(np.diff(here) > 1)
        ends = np.concatenate([[-1], breaks, [len(here) - 1]])
        longest = max(longest, int(np.diff(ends).max()))
    return longest * layout.calendar.slot_us


def _said(time_us: int) -> str:
    hours, minutes = divmod(time_us // MINUTE_US, HOUR_US // MINUTE_US)
    if hours:
        return say("time.hours", hours=hours, minutes=f"{minutes:02d}")
    return say("time.minutes", count=minutes)


def _held_together(layout: Layout) -> Iterator[Conflict]:
    """Things that one go frees, tied up by more goes of one step than there are things for."""
    together: dict[tuple[str, int, str], list[Hold]] = defaultdict(list)
    for hold in layout.holds:
        if hold.releaser != hold.taker and layout.goes[hold.releaser].begun is None:
            together[hold.thing, hold.releaser, layout.goes[hold.taker].step.key].append(hold)
    told = set()
    for (thing, releaser, step), holds in together.items():
        owned, batch = layout.problem.things.get(thing, 0), layout.goes[releaser].batch
        counts = [hold.count for hold in holds]
        to_come = any(layout.goes[hold.taker].begun is None for hold in holds)
        crowded = to_come and sum(counts) > owned >= max(counts)
        if crowded and (thing, step, batch) not in told:
            told.add((thing, step, batch))
            needs, has = str(sum(counts)), str(owned)
            yield Conflict(Clash.HELD, batch, step, thing, needs=needs, has=has)


def hopeless(layout: Layout) -> list[Link]:
    """Gates that close, or will not wait, with nobody there however their step is begun.

    Args:
        layout: the goes of a problem.

    Returns:
        One link for each such gate.

    Raises:
        Nothing.

    Valid for:
        Any layout.
    Assumes:
        Hands, machines and things are free.
    Source:
        Every start is looked at.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> hopeless(lay_out(Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))))
        []
    """
    found: dict[object, Link] = {}
    for link in layout.links:
        before, after = layout.goes[link.before], layout.goes[link.after]
        strict = link.limits and link.gate.late_us is None and after.begun is None
        if strict and not _can_follow(layout, link, before, after):
            found.setdefault((before.batch, link.gate.step, after.step.key), link)
    return list(found.values())


def _can_follow(layout: Layout, link: Link, before: Go, after: Go) -> bool:
    limits = [f for f in (layout.closes(link), layout.prompt(link)) if f is not None]
    limit, opens = np.minimum.reduce(limits), layout.opens(link)
    last = np.where(limit >= 0, layout.last_start(after)[np.maximum(limit, 0)], -1)
    begins = np.ones(1, dtype=bool) if before.begun is not None else layout.starts(before)
    return bool(np.any(begins & (last >= opens) & (opens < layout.never)))


def forgiving(problem: Problem, links: Sequence[Link], layout: Layout) -> Problem:
    """The same problem with some gates that may be late at no price.

    Args:
        problem: what is to be planned.
        links: whose gates.
        layout: the goes they stand between.

    Returns:
        A Problem in which those gates, for every piece, may be come to late.

    Raises:
        Nothing.

    Valid for:
        Links of this problem's layout.
    Assumes:
        Nothing.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.layout import lay_out
        >>> from cureclock.core.planning.problem import Batch
        >>> from cureclock.core.planning.route import Step
        >>> problem = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"),)),))
        >>> forgiving(problem, [], lay_out(problem)) == problem
        True
    """
    gates = {
        (layout.goes[link.after].batch, layout.goes[link.after].step.key, link.gate.step)
        for link in links
    }
    batches = tuple(
        replace(
            batch,
            steps=tuple(
                replace(
                    step,
                    after=tuple(
                        replace(gate, late_us=gate.late_us or 0)
                        if (batch.name, step.key, gate.step) in gates
                        else gate
                        for gate in step.after
                    ),
                )
                for step in batch.steps
            ),
        )
        for batch in problem.batches
    )
    return replace(problem, batches=batches)


def window_conflict(layout: Layout, link: Link, clash: Clash, proven: bool) -> Conflict:
    """The conflict of a gate that cannot be come to in time.

    Args:
        layout: the goes.
        link: the gate, between two of them.
        clash: whether nobody is there, or hands are elsewhere.
        proven: whether it is certain.

    Returns:
        A Conflict that names the gate.

    Raises:
        Nothing.

    Valid for:
        Links of this layout.
    Assumes:
        Nothing.
    Source:
        Our own.

    Example:
        >>> Conflict(Clash.WINDOW, "stems", "coat 2", "coat 1").says
        'Whenever coat 1 before coat 2 (stems) is begun, nobody is there in time for coat 2.'
    """
    after = layout.goes[link.after]
    name = link.gate.step if clash == Clash.WINDOW else link.gate.name or link.gate.step
    return Conflict(clash, after.batch, after.step.key, name, proven=proven)


def horizon_conflict(problem: Problem, in_time: int, proven: bool) -> Conflict:
    """The conflict of more pieces than fit before the plan ends.

    Args:
        problem: what was to be planned.
        in_time: pieces that are done by its end [-].
        proven: whether no plan has all of them done by then.

    Returns:
        A Conflict that says how many are.

    Raises:
        Nothing.

    Valid for:
        Any problem.
    Assumes:
        Nothing.
    Source:
        Our own.

    Example:
        >>> Conflict(Clash.HORIZON, name="Friday", needs="24", has="16").says
        'Only 16 of 24 pieces fit in by Friday.'
    """
    count = sum(batch.count for batch in problem.batches)
    until = moment_of(problem.until_us).isoformat()
    has, needs = str(in_time), str(count)
    return Conflict(Clash.HORIZON, name=until, needs=needs, has=has, proven=proven)
