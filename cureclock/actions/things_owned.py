"""How many clamps, bands, columns, forms, hooks or points there are, and what they can do."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.joint.count import whole
from cureclock.core.materials.library import library
from cureclock.core.refusal import Refused, within
from cureclock.shop.happening import Happening
from cureclock.shop.making import make
from cureclock.shop.models import Thing, ThingVersion
from cureclock.shop.record import append

MOST = 10_000
REACH_MM = (1, 10_000)
FORCE_KN = (0.01, 1000)  # what the sum of clamps takes
TAKES = (1, 100)


@dataclass(frozen=True)
class ThingsOwned:
    """Which things, as what they are known, and how many; none: there are no more of them."""

    thing: UUID
    name: str
    kind: str
    count: int
    sort: str = ""
    reach_mm: float | None = None
    force_kn: float | None = None
    takes: int = 1
    place: UUID | None = None

    def __post_init__(self) -> None:
        kinds = ThingVersion.Kind.values
        if self.kind not in kinds:
            raise Refused("kind", self.kind, f"one of {', '.join(kinds)}")
        sorts = library().clamp_kinds
        if self.sort and self.sort not in sorts:
            raise Refused("sort", self.sort, f"one of {', '.join(sorted(sorts))}, or nothing")
        whole("count", self.count, 0, MOST)
        whole("pieces that one takes", self.takes, *TAKES)
        if self.reach_mm is not None:
            within("reach", self.reach_mm, *REACH_MM, "mm")
        if self.force_kn is not None:
            within("force", self.force_kn, *FORCE_KN, "kN")


@verb("things_owned", ThingsOwned)
def things_owned(happening: Happening, said: ThingsOwned) -> Done:
    """From now on so many are counted; what holds some of them goes on holding them."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        place = None if said.place is None else find.place(workshop, said.place)
        thing, _ = make(Thing, workshop, said.thing, made_at=happening.at)
        event, new = append(happening, "things_owned", plain(said), place=place)
        if new:
            ThingVersion.objects.create(
                id=event.id,
                thing=thing,
                since=happening.at,
                arrived_at=happening.arrived_at,
                name=said.name,
                kind=said.kind,
                sort=said.sort,
                count=said.count,
                reach_mm=said.reach_mm,
                force_kn=said.force_kn,
                takes=said.takes,
                place=place,
            )
    return Done(event.id, new)
