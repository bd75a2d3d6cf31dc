"""Routes as data: the steps of a batch, what each asks for, and the waits between them."""

from collections.abc import Sequence
from dataclasses import dataclass

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.joint.count import whole
from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, HOUR_US

MOST_PIECES = 1000
MOST_STEPS = 100
LONGEST_HANDS_US = 16 * HOUR_US
LONGEST_ALONE_US = 60 * DAY_US
LONGEST_SAID_US = 400 * DAY_US
WIDEST_SPREAD = 3.0
UNTRIED = 0.20  # nine in ten are over by this much more, for a material never checked here


@dataclass(frozen=True)
class After:
    """What has to be past before a step may begin: another step, and the gate of its wait.

    Args:
        step: key of the step before.
        opens: when the gate is open, by the end of the step before (its last piece); None where
            one may follow at once.
        closes: by when this step has to begin, by the beginning of the step before (its first
            piece); None where nothing closes.
        prompt_us: how long after the gate opens this step may wait at most [us], 0 to 400 days;
            None where waiting is harmless.
        late_us: hands this step takes longer once the gate has closed, scuffing for example
            [us], 0 to 16 h; None where it may not come later at all.
        spread: by how much more than its figure nine waits in ten are over [-], 0 to 3.
        name: what the gate is called.

    Raises:
        Refused: a figure outside its range, or no name for the step before.
    """

    step: str
    opens: ReadyTable | None = None
    closes: ReadyTable | None = None
    prompt_us: int | None = None
    late_us: int | None = None
    spread: float = UNTRIED
    name: str = ""

    def __post_init__(self) -> None:
        _named("step before", self.step)
        within("spread", self.spread, 0, WIDEST_SPREAD)
        if self.prompt_us is not None:
            whole("time a step may wait", self.prompt_us, 0, LONGEST_SAID_US)
        if self.late_us is not None:
            whole("extra hands once closed", self.late_us, 0, LONGEST_HANDS_US)

    @property
    def has_limit(self) -> bool:
        """Whether there is a moment by which the next step must have begun."""
        return self.closes is not None or self.prompt_us is not None


@dataclass(frozen=True)
class Take:
    """Things a step ties up: clamps of a kind, a column, a form, hooks, points.

    Args:
        thing: kind of thing.
        count: how many one go takes [-], whole, 1 to 10000.
        until: key of the step at whose end they are free again; empty: at the end of this one.
        each: the count is for each piece of the go.

    Raises:
        Refused: a figure outside its range, or no name.
    """

    thing: str
    count: int = 1
    until: str = ""
    each: bool = False

    def __post_init__(self) -> None:
        _named("thing", self.thing)
        whole(f"{self.thing} taken", self.count, 1, 10_000)

    def of(self, pieces: int) -> int:
        """How many a go of so many pieces takes."""
        return self.count * pieces if self.each else self.count


@dataclass(frozen=True)
class Step:
    """One hands-on step of a route.

    Args:
        key: what it is called.
        hands_us: hands for one go [us], 0 to 16 h.
        each_us: hands more for each piece of the go [us], 0 to 16 h.
        machine: what it is done on, tied up from its beginning; empty for none.
        alone_us: how long that runs alone after loading [us], 0 to 60 days; 0: attended.
        who: people who can do it; empty: anyone.
        place: where it is done; empty where that does not matter.
        takes: things it ties up.
        after: steps and gates before it.
        at_once: pieces of one go [-], whole, 1 to 1000.
        dusty: makes dust, so not where anything is not dust-free.
        sparks: can ignite, so not where solvent is in the air.
        dust_free: when dust does no more harm to what it leaves wet, by its end; None: dry.
        fumes: when its solvent is out of the air, by its end; None: no solvent.
        not_before_us: first moment it may begin [us]; None: at once.

    Raises:
        Refused: a figure outside its range.
    """

    key: str
    hands_us: int = 0
    each_us: int = 0
    machine: str = ""
    alone_us: int = 0
    who: tuple[str, ...] = ()
    place: str = ""
    takes: tuple[Take, ...] = ()
    after: tuple[After, ...] = ()
    at_once: int = 1
    dusty: bool = False
    sparks: bool = False
    dust_free: ReadyTable | None = None
    fumes: ReadyTable | None = None
    not_before_us: int | None = None

    def __post_init__(self) -> None:
        _named("step", self.key)
        whole(f"hands for {self.key}", self.hands_us, 0, LONGEST_HANDS_US)
        whole(f"hands for each piece of {self.key}", self.each_us, 0, LONGEST_HANDS_US)
        whole(f"{self.key} running alone", self.alone_us, 0, LONGEST_ALONE_US)
        whole(f"pieces of one go of {self.key}", self.at_once, 1, MOST_PIECES)
        if self.alone_us and not self.machine:
            raise Refused(f"machine of {self.key}", "none", "named, since it runs alone")
        if len({before.step for before in self.after}) < len(self.after):
            raise Refused(f"steps before {self.key}", len(self.after), "each named once")

    def hands_of(self, pieces: int, late_us: int = 0) -> int:
        """Hands for a go of so many pieces [us]."""
        return self.hands_us + self.each_us * pieces + late_us

    @property
    def late_us(self) -> int:
        """The most hands it can take longer because a gate has closed [us]."""
        return max((before.late_us or 0 for before in self.after), default=0)

    @property
    def stays_wet(self) -> bool:
        """Whether what it leaves stands in the way of dust or sparks."""
        return self.dust_free is not None or self.fumes is not None


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps of a route, each behind all that have to be done before it.

    Args:
        steps: the steps, in any order; at least one.

    Returns:
        The same steps; those that may stand as they are do.

    Raises:
        Refused: no step, two of one name, a step before that is not there, or a circle, named.

    Valid for:
        Routes of at most 100 steps.
    Assumes:
        Nothing.
    Source:
        Plain ordering.

    Example:
        >>> [s.key for s in in_order([Step("turn", after=(After("glue"),)), Step("glue")])]
        ['glue', 'turn']
        >>> in_order([Step("a", after=(After("b"),)), Step("b", after=(After("a"),))])
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: route a -> b -> a is outside the valid range: \
no step that waits for itself
    """
    within("steps of a route", len(steps), 1, MOST_STEPS)
    known = {step.key: step for step in steps}
    if len(known) < len(steps):
        raise Refused("steps of a route", len(steps), "each of its own name")
    placed: dict[str, Step] = {}
    for step in steps:
        _place(step, known, placed, ())
    ordered = tuple(placed.values())
    _releases_follow(ordered)
    return ordered


def _place(
    step: Step, known: dict[str, Step], placed: dict[str, Step], on: tuple[str, ...]
) -> None:
    if step.key in placed:
        return
    if step.key in on:
        circle = " -> ".join((*on[on.index(step.key) :], step.key))
        raise Refused("route", circle, "no step that waits for itself")
    for before in step.after:
        if before.step not in known:
            raise Refused(f"step before {step.key}", before.step, f"one of {', '.join(known)}")
        _place(known[before.step], known, placed, (*on, step.key))
    placed[step.key] = step


def steps_before(steps: Sequence[Step]) -> dict[str, frozenset[str]]:
    """Every step that has to be done before each, near or far.

    Args:
        steps: the steps of a route, each behind all that come before it.

    Returns:
        By key of a step, the keys of those before it.

    Raises:
        Refused: a step that stands in front of one that comes before it.

    Valid for:
        Routes as `in_order` gives them.
    Assumes:
        Nothing.
    Source:
        Plain ordering.

    Example:
        >>> chain = [Step("a"), Step("b", after=(After("a"),)), Step("c", after=(After("b"),))]
        >>> sorted(steps_before(chain)["c"])
        ['a', 'b']
    """
    found: dict[str, frozenset[str]] = {}
    for step in steps:
        direct = {before.step for before in step.after}
        if not direct <= found.keys():
            raise Refused("route", step.key, "behind the steps before it")
        found[step.key] = frozenset(direct.union(*(found[key] for key in direct)))
    return found


def _releases_follow(steps: Sequence[Step]) -> None:
    """What a step ties up can only be freed by a step that comes after it."""
    before = steps_before(steps)
    for step in steps:
        for take in step.takes:
            if take.until and step.key not in before.get(take.until, ()):
                wanted = f"a step after {step.key}"
                raise Refused(f"step that frees {take.thing}", take.until, wanted)


def _named(quantity: str, name: str) -> None:
    if not isinstance(name, str) or not name:
        raise Refused(quantity, repr(name), "a name")
