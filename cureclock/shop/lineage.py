"""What is made of what: a piece carries every joint of every part it was made from."""

from collections.abc import Collection, Mapping
from uuid import UUID

from cureclock.shop.models import MadeFrom, Workshop


def parts_of(workshop: Workshop) -> dict[UUID, set[UUID]]:
    """The direct parts of every piece of a workshop that was made from others."""
    found: dict[UUID, set[UUID]] = {}
    rows = MadeFrom.objects.filter(whole__workshop=workshop)
    for whole, part in rows.values_list("whole_id", "part_id"):
        found.setdefault(whole, set()).add(part)
    return found


def closure(start: Collection[UUID], links: Mapping[UUID, Collection[UUID]]) -> set[UUID]:
    """Everything reached from a start along links, the start included; a circle does no harm."""
    reached, fresh = set(start), set(start)
    while fresh:
        fresh = {other for one in fresh for other in links.get(one, ())} - reached
        reached |= fresh
    return reached
