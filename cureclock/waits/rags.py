"""Rags that can catch fire by themselves: coats after which nobody has said where they are."""

from datetime import datetime, timedelta
from uuid import UUID

from cureclock.core.materials.library import library
from cureclock.shop.models import Coat, Event, Workshop
from cureclock.shop.record import standing

ASKED_FOR = timedelta(days=14)  # asked for so long; our choice
KINDS = ("coat_ended", "wiped", "rag_placed", "struck_out")


def rags_out(workshop: Workshop, at: datetime) -> dict[UUID, tuple[Coat, datetime]]:
    """Coats of drying oil whose rags are not answered for, each with when it was done with."""
    since = at - ASKED_FOR
    rows = Event.objects.filter(
        workshop=workshop, coat__isnull=False, kind__in=KINDS, happened_at__gte=since
    )
    told = standing(list(rows.select_related("coat__label__material", "coat__place")))
    placed = {event.coat_id for event in told if event.kind == "rag_placed"}
    found: dict[UUID, tuple[Coat, datetime]] = {}
    for event in told:
        coat = event.coat
        if coat is None or event.kind in ("rag_placed", "struck_out") or coat.id in placed:
            continue
        if _can_burn(coat.label.material.family):
            found[coat.id] = (coat, event.happened_at)
    return found


def _can_burn(family: str) -> bool:
    known = library().families.get(family)
    return known is not None and "rags" in known.cautions
