"""Whose records are whose, after pieces were taken for one another: rows follow what was told."""

from collections.abc import Collection, Iterable
from datetime import datetime
from uuid import UUID

from cureclock.shop.models import CoatedZone, Event, Hold, Joint, MadeFrom, Workshop
from cureclock.shop.swaps import Swaps, swaps_of

NAMES_JOINTS = ("spread_began", "added_late")
NAMES_ZONES = ("coat_began", "added_late")


def reattribute(workshop: Workshop, pieces: Collection[UUID]) -> None:
    """Bring joints, coats, holds and links of these pieces in step with the swaps that stand."""
    swaps = swaps_of(workshop)
    mixed = swaps.mixed(pieces)
    _joints(swaps, mixed)
    _coats(swaps, mixed)
    _holds(swaps, mixed)
    _links(swaps, mixed)


def keep_straight(workshop: Workshop, pieces: Collection[UUID]) -> None:
    """The same after new rows, where any of these pieces was ever taken for another."""
    if swaps_of(workshop).mixed(pieces) != set(pieces):
        reattribute(workshop, pieces)


def _joints(swaps: Swaps, pieces: Collection[UUID]) -> None:
    rows = {str(row.id): row for row in Joint.objects.filter(piece__in=pieces)}
    glue_ups = {row.glue_up_id for row in rows.values()}
    changed = []
    for event in _naming(Event.objects.filter(glue_up__in=glue_ups, kind__in=NAMES_JOINTS)):
        for one in event.body.get("joints", ()):
            row = rows.pop(one["id"], None)
            if row is None:
                continue
            meant = swaps.piece(UUID(one["piece"]), event.happened_at)
            if meant != row.piece_id:
                row.piece_id = meant
                changed.append(row)
    Joint.objects.bulk_update(changed, ["piece"])


def _coats(swaps: Swaps, pieces: Collection[UUID]) -> None:
    touched = CoatedZone.objects.filter(zone__piece__in=pieces).values_list("coat_id", flat=True)
    for coat in set(touched):
        meant: dict[UUID, None] = {}
        for event in _naming(Event.objects.filter(coat=coat, kind__in=NAMES_ZONES)):
            for zone in event.body.get("zones", ()):
                meant[swaps.zone(UUID(zone), event.happened_at)] = None
        kept = list(CoatedZone.objects.filter(coat=coat).values_list("zone_id", flat=True))
        if kept != list(meant):
            CoatedZone.objects.filter(coat=coat).delete()
            CoatedZone.objects.bulk_create(
                CoatedZone(coat_id=coat, zone_id=zone, order=order)
                for order, zone in enumerate(meant)
            )


def _holds(swaps: Swaps, pieces: Collection[UUID]) -> None:
    rows = {str(row.id): row for row in Hold.objects.filter(piece__in=pieces)}
    changed = []
    for event in _naming(Event.objects.filter(piece__in=pieces, kind="hold_on")):
        row = rows.pop(event.body["hold"], None)
        if row is not None and event.piece_id is not None:
            meant = swaps.piece(event.piece_id, event.happened_at)
            if meant != row.piece_id:
                row.piece_id = meant
                changed.append(row)
    Hold.objects.bulk_update(changed, ["piece"])


def _links(swaps: Swaps, pieces: Collection[UUID]) -> None:
    rows = MadeFrom.objects.filter(whole__in=pieces) | MadeFrom.objects.filter(part__in=pieces)
    for event in _naming(Event.objects.filter(id__in=rows.values("event"))):
        at = event.happened_at
        meant = {(swaps.piece(w, at), swaps.piece(p, at)) for w, p in links_told(event)}
        own = MadeFrom.objects.filter(event=event.id)
        if set(own.values_list("whole_id", "part_id")) != meant:
            own.delete()
            MadeFrom.objects.bulk_create(
                MadeFrom(whole_id=whole, part_id=part, event=event.id)
                for whole, part in sorted(meant, key=str)
            )


def links_told(event: Event) -> Iterable[tuple[UUID, UUID]]:
    """The links that a happening tells of, as (whole, part)."""
    told = event.body.get("pieces", ()) if event.kind == "pieces_made" else (event.body,)
    for one in told:
        whole = UUID(one["id"] if event.kind == "pieces_made" else one["piece"])
        for part in dict.fromkeys(one.get("made_from", ())):
            yield whole, UUID(part)


def _naming(rows: Iterable[Event]) -> list[Event]:
    def when(event: Event) -> tuple[datetime, str]:
        return event.happened_at, str(event.id)

    return sorted(rows, key=when)
