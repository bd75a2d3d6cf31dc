"""Appending to the log: once per id, whatever arrives how often."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from cureclock.shop.happening import Happening
from cureclock.shop.models import Coat, Event, GlueUp, LabelVersion, Piece, Place
from cureclock.shop.refusals import OtherBody


def append(
    happening: Happening,
    kind: str,
    body: dict[str, Any],
    *,
    glue_up: GlueUp | None = None,
    coat: Coat | None = None,
    piece: Piece | None = None,
    place: Place | None = None,
    strikes: UUID | None = None,
) -> tuple[Event, bool]:
    """Append a happening; the event, and whether it is new.

    A repeat of the same id with the same content is the same happening. With other content it
    is refused, so that nothing is overwritten. A viewer is refused.
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
        "strikes": strikes,
        "body": body,
    }
    event, new = Event.objects.get_or_create(
        id=happening.id,
        defaults={
            **wanted,
            "arrived_at": happening.arrived_at,
            "person": teller.person,
            "phone": teller.phone,
            "number": happening.number,
        },
    )
    if not new and any(getattr(event, name) != value for name, value in wanted.items()):
        raise OtherBody
    return event, new


def standing(events: Sequence[Event]) -> list[Event]:
    """The events that stand: not struck out by one that stands itself, in order of time."""
    strikers: dict[UUID, list[Event]] = {}
    for event in events:
        if event.strikes:
            strikers.setdefault(event.strikes, []).append(event)

    def stands(event: Event) -> bool:
        return not any(stands(striker) for striker in strikers.get(event.id, []))

    return sorted((e for e in events if stands(e)), key=lambda e: (e.happened_at, str(e.id)))


def label_of(subject: GlueUp | Coat, told: Sequence[Event]) -> LabelVersion:
    """The label version a glue-up or coat is timed by: its own, or the last it was retimed to."""
    retimed = [event.body["label"] for event in told if event.kind == "retimed"]
    return LabelVersion.objects.get(id=retimed[-1]) if retimed else subject.label
