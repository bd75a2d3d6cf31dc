"""What a workshop owns of what is tied up while something waits, by what stands."""

from dataclasses import dataclass
from uuid import UUID

from cureclock.shop.models import ThingVersion, Workshop


@dataclass(frozen=True)
class Owned:
    """Things of one kind and reach.

    Attributes:
        kind: clamp, band, column, form, hook, point or box.
        sort: its kind of clamp in the library; empty where nobody said.
        count: how many; of a box, its litres.
        force_kn: force of one; None where nobody measured it or trusts a figure.
        takes: pieces that one presses on each other.
        place: where it is; None for what is carried about.
    """

    id: UUID
    name: str
    kind: str
    sort: str
    count: int
    reach_mm: float | None
    force_kn: float | None
    takes: int
    place: UUID | None


def owned(workshop: Workshop) -> list[Owned]:
    """What there is as last told, by kind and name; what there are none of any more is left out."""
    rows = ThingVersion.objects.filter(thing__workshop=workshop, struck_by__isnull=True)
    last = {row.thing_id: row for row in rows.order_by("since", "id")}
    found = [
        Owned(
            id=row.thing_id,
            name=row.name,
            kind=row.kind,
            sort=row.sort,
            count=row.count,
            reach_mm=row.reach_mm,
            force_kn=row.force_kn,
            takes=row.takes,
            place=row.place_id,
        )
        for row in last.values()
        if row.count
    ]
    return sorted(found, key=lambda one: (one.kind, one.name, str(one.id)))
