"""Striking out: what was told before is as if it had never been, and its line stays."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.shop import own_hours
from cureclock.shop.doubting import RULING, restate_rulings, rulings_of
from cureclock.shop.models import (
    AirVersion,
    BelievedVersion,
    BrokerVersion,
    Coat,
    Event,
    GlueUp,
    LabelVersion,
    OffsetVersion,
    Piece,
    Place,
    Reading,
    Sensor,
    StockLot,
    ThingVersion,
    TopicVersion,
    Workshop,
    Zone,
)

VERSIONS = (AirVersion, OffsetVersion, BelievedVersion, BrokerVersion, TopicVersion)


@dataclass(frozen=True)
class Struck:
    """A happening that can be struck: an event of the log or a reading."""

    id: UUID
    arrived_at: datetime
    glue_up: GlueUp | None = None
    coat: Coat | None = None
    piece: Piece | None = None
    place: Place | None = None
    lot: StockLot | None = None
    event: Event | None = None
    reading: Reading | None = None


def restate(workshop: Workshop, target: UUID) -> None:
    """Mark the rows of a happening as struck, or let them stand again, by all that strikes it.

    Striking a strike lets what that struck stand again, as far as nothing else strikes it.
    """
    seen: set[UUID] = set()
    at: UUID | None = target
    while at is not None and at not in seen:
        seen.add(at)
        _mark(workshop, at, striker_of(at))
        at = Event.objects.filter(id=at).values_list("strikes", flat=True).first()


def striker_of(target: UUID) -> UUID | None:
    """What strikes a happening and stands itself; None where nothing does."""
    strikes = Event.objects.filter(strikes=target).order_by("happened_at", "id")
    idents = strikes.values_list("id", flat=True)
    return next((ident for ident in idents if striker_of(ident) is None), None)


def _mark(workshop: Workshop, target: UUID, striker: UUID | None) -> None:
    Reading.objects.filter(id=target, place__workshop=workshop).update(struck_by=striker)
    for versions in VERSIONS:
        versions._default_manager.filter(id=target).update(struck_by=striker)
    ThingVersion.objects.filter(id=target).update(struck_by=striker)
    Piece.objects.filter(made_by=target).update(struck_by=striker)
    Zone.objects.filter(made_by=target).update(struck_by=striker)
    told = Event.objects.filter(id=target, kind__in=(own_hours.SHOP, own_hours.PERSON)).first()
    if told is not None:
        own_hours.settle(told)
    ruling = Event.objects.filter(id=target, kind=RULING).values_list("body", flat=True).first()
    if ruling is not None:
        sensor = Sensor.objects.select_related("place").get(id=ruling["sensor"])
        restate_rulings(sensor, rulings_of(sensor))
    read = Event.objects.filter(id=target, kind="label_read").values_list("body", flat=True).first()
    if read is not None:
        LabelVersion.objects.filter(id=read["label"]).update(struck_by=striker)
