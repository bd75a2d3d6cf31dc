"""So many of a thing: what a glue-up or coat ties up, or lets go."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from cureclock.actions import find
from cureclock.core.joint.count import whole
from cureclock.core.refusal import Refused
from cureclock.shop.models import Workshop

MOST = 10_000


@dataclass(frozen=True)
class ThingCount:
    """Which thing, and how many of it."""

    thing: UUID
    count: int

    def __post_init__(self) -> None:
        whole("count", self.count, 1, MOST)


def known_things(workshop: Workshop, said: Sequence[ThingCount]) -> None:
    """Refuse things that this workshop does not count, and one named twice."""
    idents = [one.thing for one in said]
    if len(set(idents)) < len(idents):
        raise Refused("things", "named twice", "each thing once, with its whole count")
    if idents:
        find.things(workshop, idents)
