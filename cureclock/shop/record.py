"""Appending to the log: once per id, whatever arrives how often."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import QuerySet

from cureclock.shop.happening import Happening
from cureclock.shop.models import (
    Coat,
    Event,
    GlueUp,
    LabelVersion,
    Piece,
    Place,
    Reading,
    StockLot,
)
from cureclock.shop.refusals import OtherBody

STRIKES = ("struck_out", "conflict_settled")  # kinds that may set another happening aside


def append(
    happening: Happening,
    kind: str,
    body: dict[str, Any],
    *,
    glue_up: GlueUp | None = None,
    coat: Coat | None = None,
    piece: Piece | None = None,
    place: Place | None = None,
    lot: StockLot | None = None,
    strikes: UUID | None = None,
) -> tuple[Event, bool]:
    """Append a happening; the event, and whether it is new.

    A repeat of the same id with the same content is the same happening. With other content it
    is refused, so that nothing is overwritten. A viewer is refused, and so is the id of a reading:
    whoever struck out such a happening would strike out that reading too, whosever it is.
    """
    teller = happening.told_by
    teller.must_record()
    wanted: dict[str, Any] = {
        "workshop_id": teller.workshop.id,
        "kind": kind,
        "happened_at": happening.at,
        "glue_up_id": glue_up.id if glue_up else None,
        "coat_id": coat.id if coat else None,
        "piece_id": piece.id if piece else None,
        "place_id": place.id if place else None,
        "lot_id": lot.id if lot else None,
        "strikes": strikes,
        "body": body,
    }
    event, new = Event.objects.get_or_create(
        id=happening.id,
        defaults={
            **wanted,
            "arrived_at": happening.arrived_at,
            "said_at": happening.said_at,
            "person": teller.person,
            "phone": teller.phone,
            "number": happening.number,
        },
    )
    if not new and any(getattr(event, name) != value for name, value in wanted.items()):
        raise OtherBody
    if new and Reading.objects.filter(id=happening.id).exists():
        raise OtherBody
    return event, new


@dataclass(slots=True)
class Line:
    """A happening with no more than its standing hangs on, where many are looked at."""

    id: UUID
    kind: str
    happened_at: datetime
    piece_id: UUID | None
    strikes: UUID | None
    body: dict[str, Any]


Told = TypeVar("Told", Event, Line)


def lines(rows: QuerySet[Event]) -> list[Line]:
    """Happenings without all that they hang together with, in no order."""
    columns = ("id", "kind", "happened_at", "piece_id", "strikes", "body")
    return [Line(*row) for row in rows.order_by().values_list(*columns)]


def standing(events: Sequence[Told]) -> list[Told]:
    """The events that stand: not struck out by one that stands itself, in order of time."""
    strikers: dict[UUID, list[Told]] = {}
    for event in events:
        if event.strikes:
            strikers.setdefault(event.strikes, []).append(event)

    def stands(event: Told) -> bool:
        return not any(stands(striker) for striker in strikers.get(event.id, []))

    return sorted((e for e in events if stands(e)), key=lambda e: (e.happened_at, str(e.id)))


def stand(rows: QuerySet[Event]) -> list[Event]:
    """Those of some events that stand, in order of time, whatever strikes them."""
    known = {event.id: event for event in rows}
    asked = set(known)
    fresh = set(asked)
    while fresh:
        found = {event.id: event for event in Event.objects.filter(strikes__in=fresh)}
        fresh = found.keys() - known.keys()
        known = {**found, **known}
    return [event for event in standing(list(known.values())) if event.id in asked]


def label_of(subject: GlueUp | Coat, told: Sequence[Event]) -> LabelVersion:
    """The label version a glue-up or coat is timed by: its own, or the last it was retimed to."""
    retimed = [event.body["label"] for event in told if event.kind == "retimed"]
    return LabelVersion.objects.get(id=retimed[-1]) if retimed else subject.label
