"""Conflicts: contradictions in what was told, kept until somebody settles them by name."""

from collections.abc import Sequence
from uuid import UUID, uuid5

from cureclock.shop.glue_history import Contradiction
from cureclock.shop.models import Conflict, Event, Workshop


def keep_conflicts(workshop: Workshop, about: UUID, found: Sequence[Contradiction]) -> None:
    """Bring the conflicts about one subject in step with its events; settled ones stay settled."""
    settled = {
        row.body["conflict"]: row.id
        for row in Event.objects.filter(workshop=workshop, kind="conflict_settled")
        if row.body.get("about") == str(about)
    }
    rows = []
    for one in found:
        ident = uuid5(about, f"{one.kind} {one.first} {one.second}")
        rows.append(
            Conflict(
                id=ident,
                workshop=workshop,
                kind=one.kind,
                about=about,
                first=one.first,
                second=one.second,
                settled_by=settled.get(str(ident)),
            )
        )
    Conflict.objects.filter(about=about).exclude(id__in=[row.id for row in rows]).delete()
    Conflict.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["id"], update_fields=["settled_by"]
    )
