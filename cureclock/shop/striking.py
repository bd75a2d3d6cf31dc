"""Striking out: what was told before is as if it had never been, and its line stays."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.shop.models import AirVersion, Coat, Event, GlueUp, Piece, Place, Reading


@dataclass(frozen=True)
class Struck:
    """A happening that can be struck: an event of the log or a reading."""

    id: UUID
    arrived_at: datetime
    glue_up: GlueUp | None = None
    coat: Coat | None = None
    piece: Piece | None = None
    place: Place | None = None
    event: Event | None = None
    reading: Reading | None = None


def strike(target: UUID, by: Event) -> None:
    """Mark the rows of a struck happening; striking a strike lets what it struck stand again."""
    Reading.objects.filter(id=target).update(struck_by=by.id)
    AirVersion.objects.filter(id=target).update(struck_by=by.id)
    Reading.objects.filter(struck_by=target).update(struck_by=None)
    AirVersion.objects.filter(struck_by=target).update(struck_by=None)
