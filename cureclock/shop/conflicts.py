"""Conflicts: contradictions in what was told, kept until somebody settles them by name."""

from collections.abc import Mapping, Sequence
from uuid import UUID, uuid5

from cureclock.shop.glue_history import Contradiction
from cureclock.shop.models import Conflict, Event, Workshop
from cureclock.shop.record import stand


def keep_conflicts(workshop: Workshop, found: Mapping[UUID, Sequence[Contradiction]]) -> None:
    """Bring the conflicts about some subjects in step with their events.

    What was settled stays settled while its settling stands.

    Args:
        workshop: whose they are.
        found: what contradicts, by what it is about; of every subject asked for, also where
            nothing does.
    """
    kept = set(Conflict.objects.filter(about__in=found).values_list("id", flat=True))
    wanted = {
        uuid5(about, f"{one.kind} {one.first} {one.second}"): (about, one)
        for about, own in found.items()
        for one in own
    }
    Conflict.objects.filter(id__in=kept - wanted.keys()).delete()
    if not wanted:
        return
    settled = _settled(workshop, found)
    rows = [
        Conflict(
            id=ident,
            workshop=workshop,
            kind=one.kind,
            about=about,
            first=one.first,
            second=one.second,
            settled_by=settled.get(str(ident)),
        )
        for ident, (about, one) in wanted.items()
    ]
    Conflict.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["id"], update_fields=["settled_by"]
    )


def _settled(workshop: Workshop, about: Mapping[UUID, object]) -> dict[str, UUID]:
    """Which happening settled which conflict, of those that stand."""
    told = stand(Event.objects.filter(workshop=workshop, kind="conflict_settled"))
    subjects = {str(ident) for ident in about}
    return {e.body["conflict"]: e.id for e in told if e.body.get("about") in subjects}
