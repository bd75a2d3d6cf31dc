"""A plan: which go of which step begins when and in whose hands, and what is wanted of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from cureclock.core.joint.count import whole
from cureclock.core.planning.problem import Problem
from cureclock.core.refusal import Refused
from cureclock.core.units import FURTHEST_US


class Aim(StrEnum):
    """What a plan tries for."""

    EARLIEST = "earliest"  # the last piece done as early as can be
    SLACK = "slack"  # the promise that is closest kept with the most time to spare
    MOST = "most"  # the most pieces done by a date, and then the rest as early as can be


@dataclass(frozen=True)
class Goal:
    """What is wanted.

    Args:
        aim: the kind of wish.
        by_us: the date of "most done by" [us]; None for the others.

    Raises:
        Refused: a date missing, or one that has no meaning.
    """

    aim: Aim = Aim.EARLIEST
    by_us: int | None = None

    def __post_init__(self) -> None:
        if (self.aim == Aim.MOST) != (self.by_us is not None):
            raise Refused("date of the wish", self.by_us, "given for 'most done by', and only then")
        if self.by_us is not None:
            whole("date of the wish", self.by_us, -FURTHEST_US, FURTHEST_US)

    def suits(self, problem: Problem) -> None:
        """Refuse a wish that this problem gives nothing to measure by."""
        promised = [b for b in problem.batches if b.promise_us is not None]
        if self.aim == Aim.SLACK and not promised:
            raise Refused("promise", "none", "a date for at least one batch, to have slack to it")


@dataclass(frozen=True)
class Act:
    """One go of a step.

    Attributes:
        batch, step: of what.
        first, pieces: which pieces, counted in the order in which they come to this step.
        start_us: when it begins [us].
        hands_end_us: when hands are free again [us].
        end_us: when it ends, machine and all [us].
        people: whose hands.
        late: a gate had closed before, and the extra hands are in it.
        pinned: over or under way; it stands where it is.
    """

    batch: str
    step: str
    first: int
    pieces: int
    start_us: int
    hands_end_us: int
    end_us: int
    people: tuple[str, ...] = ()
    late: bool = False
    pinned: bool = False

    @property
    def key(self) -> tuple[str, str, int]:
        """What tells this go from every other."""
        return (self.batch, self.step, self.first)


@dataclass(frozen=True)
class Plan:
    """Every go of every step, in the order in which they begin.

    Attributes:
        acts: the goes.
        done_us: when the last piece of each batch is done [us].
    """

    acts: tuple[Act, ...]
    done_us: Mapping[str, int] = field(default_factory=dict)

    def of(self, batch: str, step: str) -> tuple[Act, ...]:
        """The goes of one step, in the order of their pieces."""
        found = [act for act in self.acts if (act.batch, act.step) == (batch, step)]
        return tuple(sorted(found, key=lambda act: act.first))

    @property
    def all_done_us(self) -> int:
        """When the last piece of all is done [us]."""
        return max(self.done_us.values())
