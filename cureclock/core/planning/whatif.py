"""What if: the same problem with one thing changed, solved again, and what that changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cureclock.core.coat.shop_hours import ReadyTable, ShopHours
from cureclock.core.joint.count import whole
from cureclock.core.planning.answer import Answer
from cureclock.core.planning.plan import Goal
from cureclock.core.planning.problem import Batch, Person, Problem
from cureclock.core.planning.route import After
from cureclock.core.planning.solve import Effort, solve
from cureclock.core.planning.verify import verify
from cureclock.core.refusal import Refused


@dataclass(frozen=True)
class Change:
    """A problem that differs from the present one.

    Attributes:
        name: what is changed, in the maker's words.
        problem: the problem it makes.
    """

    name: str
    problem: Problem


@dataclass(frozen=True)
class Outcome:
    """What a change would do.

    Attributes:
        name: what is changed.
        answer: the answer to the changed problem.
        gained_us: how much sooner the worst batch is done [us]; below 0 later; None where one
            of the two has no plan.
        gained_pieces: how many more pieces are done by the date of "most done by" [-].
    """

    name: str
    answer: Answer
    gained_us: int | None
    gained_pieces: int


def what_if(
    present: Answer, changes: Sequence[Change], *, effort: Effort | None = None
) -> tuple[Outcome, ...]:
    """Solve each changed problem, and hold it against the present answer.

    Args:
        present: the answer as things are.
        changes: what might be changed.
        effort: how hard to look at each.

    Returns:
        Outcomes, those that gain most first.

    Raises:
        Refused: as `solve`.

    Valid for:
        Changes of the same batches.
    Assumes:
        Each change comes alone. Where the present plan still holds, an outcome is no worse.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> hour = 3_600_000_000
        >>> saw = Step("saw", machine="saw", alone_us=hour)
        >>> now = Problem(0, 99 * hour, (), (Batch("box", 2, (saw,)),), {"saw": 1})
        >>> (more,) = what_if(solve(now), [another_machine(now, "saw")])
        >>> more.name, more.gained_us // hour
        ('one more saw', 1)
    """
    found = [_outcome(present, change, present.goal, effort) for change in changes]
    return tuple(sorted(found, key=lambda o: (-o.gained_pieces, -(o.gained_us or 0))))


def _outcome(present: Answer, change: Change, goal: Goal, effort: Effort | None) -> Outcome:
    answer = _no_worse(present, solve(change.problem, goal, effort=effort))
    gained = None
    if answer.reached_us is not None and present.reached_us is not None:
        gained = present.reached_us - answer.reached_us
    return Outcome(change.name, answer, gained, present.late - answer.late)


def _no_worse(present: Answer, found: Answer) -> Answer:
    """The answer found, or the present plan where that still holds and does better."""
    if present.plan is None or present.reached_us is None or found.reached_us is None:
        return found
    better = (present.late, present.reached_us) < (found.late, found.reached_us)
    if not better or verify(found.problem, present.plan):
        return found
    return replace(
        found, plan=present.plan, reached_us=present.reached_us, late=present.late, proven=False
    )


def more_things(problem: Problem, thing: str, more: int = 1) -> Change:
    """More of a kind of thing: clamps, hooks, forms.

    Args:
        problem: the present one.
        thing: the kind.
        more: how many [-], whole, 1 to 1000.

    Returns:
        A Change.

    Raises:
        Refused: naming the argument.

    Valid for:
        Any problem.
    Assumes:
        Nothing.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> batch = Batch("tray", 1, (Step("glue"),))
        >>> more_things(Problem(0, 10**10, (), (batch,)), "clamp", 4).problem.things
        {'clamp': 4}
    """
    count = int(whole(f"more of {thing}", more, 1, 1000))
    things = {**problem.things, thing: problem.things.get(thing, 0) + count}
    return Change(f"{_number(count)} more {thing}", replace(problem, things=things))


def another_machine(problem: Problem, machine: str) -> Change:
    """One more of a machine.

    Args:
        problem: the present one.
        machine: which.

    Returns:
        A Change.

    Raises:
        Nothing.

    Valid for:
        Any problem.
    Assumes:
        Nothing.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> batch = Batch("tray", 1, (Step("glue"),))
        >>> another_machine(Problem(0, 10**10, (), (batch,)), "lathe").problem.machines
        {'lathe': 1}
    """
    machines = {**problem.machines, machine: problem.machines.get(machine, 0) + 1}
    return Change(f"one more {machine}", replace(problem, machines=machines))


def somebody_there(problem: Problem, name: str, hours: ShopHours) -> Change:
    """Somebody in the shop at these hours besides: a helper on Saturday.

    Args:
        problem: the present one.
        name: who; of somebody who works here already these are more hours.
        hours: when.

    Returns:
        A Change.

    Raises:
        Refused: hours that overlap those of the same person.

    Valid for:
        Any problem.
    Assumes:
        Who is new can do every step that names nobody.
    Source:
        Plain counting.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> hour = 3_600_000_000
        >>> batch = Batch("tray", 1, (Step("glue"),))
        >>> now = Problem(0, 99 * hour, (Person("Maker", ShopHours([0], [hour])),), (batch,))
        >>> saturday = somebody_there(now, "Maker", ShopHours([9 * hour], [12 * hour]))
        >>> saturday.problem.people[0].hours.open_us.tolist()
        [0, 32400000000]
    """
    known = {person.name: person for person in problem.people}
    spells = _spells(known[name].hours if name in known else None) + _spells(hours)
    opens, closes = zip(*sorted(spells), strict=True)
    known[name] = Person(name, ShopHours(opens, closes))
    return Change(f"{name} there besides", replace(problem, people=tuple(known.values())))


def _spells(hours: ShopHours | None) -> list[tuple[int, int]]:
    if hours is None:
        return []
    opens, closes = hours.open_us, hours.close_us
    return [(int(a), int(b)) for a, b in zip(opens, closes, strict=True)]  # type: ignore[arg-type]


def other_waits(
    problem: Problem, name: str, tables: Mapping[tuple[str, str, str], ReadyTable]
) -> Change:
    """Other waits: a box at 24 degC, the cupboard for the coats, a quicker glue.

    Args:
        problem: the present one.
        name: what is changed.
        tables: by batch, step before and step after ("" for a gate of being done), when that
            gate opens.

    Returns:
        A Change.

    Raises:
        Refused: a gate that the problem does not have.

    Valid for:
        Gates that open.
    Assumes:
        What closes stays as it is.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> step = Step("turn", after=(After("glue", ReadyTable([0], [90])),))
        >>> now = Problem(0, 10**10, (), (Batch("tray", 1, (Step("glue"), step)),))
        >>> warm = other_waits(now, "box at 24", {("tray", "glue", "turn"): ReadyTable([0], [60])})
        >>> warm.problem.batches[0].step("turn").after[0].opens.ready(0)
        60
    """
    left = set(tables)

    def swapped(batch: Batch, gate: After, after: str) -> After:
        key = (batch.name, gate.step, after)
        left.discard(key)
        return replace(gate, opens=tables[key]) if key in tables else gate

    batches = []
    for batch in problem.batches:
        steps = tuple(
            replace(step, after=tuple(swapped(batch, gate, step.key) for gate in step.after))
            for step in batch.steps
        )
        done = tuple(swapped(batch, gate, "") for gate in batch.done)
        batches.append(replace(batch, steps=steps, done=done))
    if left:
        raise Refused("gate", " of ".join(reversed(sorted(left)[0])), "one of the routes")
    return Change(name, replace(problem, batches=tuple(batches)))


def without_step(problem: Problem, batch: str, key: str) -> Change:
    """A step less: one coat less. What followed it follows the steps before it.

    Args:
        problem: the present one.
        batch: whose route.
        key: the step.

    Returns:
        A Change.

    Raises:
        Refused: a step that is not there, that is begun, that frees things or is the only one.

    Valid for:
        Steps whose wait follows the step before just as well, as that of a coat does.
    Assumes:
        The wait that followed it is as long after the step before.
    Source:
        Our own.

    Example:
        >>> from cureclock.core.planning.route import Step
        >>> film = ReadyTable([0], [60])
        >>> steps = (Step("coat 1"), Step("coat 2", after=(After("coat 1", film),)))
        >>> now = Problem(0, 10**10, (), (Batch("box", 1, steps, (After("coat 2", film),)),))
        >>> [gate.step for gate in without_step(now, "box", "coat 2").problem.batches[0].done]
        ['coat 1']
    """
    own = problem.batch(batch)
    gone = own.step(key)
    if problem.pieces_begun(batch, key):
        raise Refused(f"step to leave out of {batch}", key, "one that is not begun")

    def bridged(gates: tuple[After, ...]) -> tuple[After, ...]:
        kept = {gate.step: gate for gate in gates if gate.step != key}
        for gate in gates:
            for before in gone.after if gate.step == key else ():
                kept.setdefault(before.step, replace(gate, step=before.step))
        return tuple(kept.values())

    steps = tuple(replace(s, after=bridged(s.after)) for s in own.steps if s.key != key)
    changed = replace(own, steps=steps, done=bridged(own.done))
    batches = tuple(changed if one.name == batch else one for one in problem.batches)
    return Change(f"{batch} without {key}", replace(problem, batches=batches))


def _number(count: int) -> str:
    words = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return words[count - 1] if count <= len(words) else str(count)
