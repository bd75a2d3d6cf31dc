"""Finding the nouns a verb speaks of: in this workshop, or not at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar
from uuid import UUID

from django.db.models import Model, QuerySet

from cureclock.shop.models import (
    Batch,
    Coat,
    Conflict,
    Container,
    Event,
    GlueUp,
    Hold,
    Joint,
    LabelVersion,
    Material,
    Membership,
    Piece,
    Place,
    Reading,
    Sensor,
    StockLot,
    Thing,
    Workshop,
    Zone,
)
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.shop.striking import Struck

Row = TypeVar("Row", bound=Model)


@dataclass(frozen=True)
class Subject:
    """What a conflict is about: one of these."""

    glue_up: GlueUp | None
    coat: Coat | None
    piece: Piece | None


def place(workshop: Workshop, ident: UUID, field: str = "place") -> Place:
    """A place of this workshop."""
    return _one(Place.objects.select_related("workshop").filter(workshop=workshop), ident, field)


def label(workshop: Workshop, ident: UUID, field: str = "label") -> LabelVersion:
    """A label version of a material of this workshop."""
    rows = LabelVersion.objects.select_related("material").filter(material__workshop=workshop)
    return _one(rows, ident, field)


def glue_up(workshop: Workshop, ident: UUID) -> GlueUp:
    """A glue-up of this workshop."""
    rows = GlueUp.objects.select_related("workshop", "place__workshop", "label")
    return _one(rows.filter(workshop=workshop), ident, "glue_up")


def coat(workshop: Workshop, ident: UUID) -> Coat:
    """A coat of this workshop."""
    rows = Coat.objects.select_related("workshop", "place__workshop", "label")
    return _one(rows.filter(workshop=workshop), ident, "coat")


def piece(workshop: Workshop, ident: UUID, field: str = "piece") -> Piece:
    """A piece of this workshop."""
    return _one(Piece.objects.filter(workshop=workshop), ident, field)


def pieces(workshop: Workshop, idents: Sequence[UUID], field: str = "pieces") -> list[Piece]:
    """Pieces of this workshop, in the order asked."""
    return _all(Piece.objects.filter(workshop=workshop), idents, field)


def batch(workshop: Workshop, ident: UUID, field: str = "batch") -> Batch:
    """A batch of this workshop."""
    return _one(Batch.objects.filter(workshop=workshop), ident, field)


def zones(workshop: Workshop, idents: Sequence[UUID]) -> list[Zone]:
    """Zones of pieces of this workshop, in the order asked."""
    rows = Zone.objects.select_related("piece").filter(piece__workshop=workshop)
    return _all(rows, idents, "zones")


def joints(of: GlueUp, idents: Sequence[UUID]) -> list[Joint]:
    """Joints of one glue-up, in the order asked."""
    return _all(Joint.objects.filter(glue_up=of), idents, "joints")


def hold(workshop: Workshop, ident: UUID) -> Hold:
    """A hold on a piece of this workshop."""
    related = ("piece__workshop", "label__material", "place__workshop")
    rows = Hold.objects.select_related(*related).filter(piece__workshop=workshop)
    return _one(rows, ident, "hold")


def conflict(workshop: Workshop, ident: UUID) -> Conflict:
    """A conflict of this workshop."""
    return _one(Conflict.objects.filter(workshop=workshop), ident, "conflict")


class SomeOfGroup(Protocol):
    """Some joints of a glue-up, or some zones of a coat."""

    @property
    def glue_up(self) -> UUID | None: ...
    @property
    def coat(self) -> UUID | None: ...
    @property
    def joints(self) -> Sequence[object]: ...
    @property
    def zones(self) -> Sequence[UUID]: ...


def group(workshop: Workshop, said: SomeOfGroup) -> tuple[GlueUp | None, Coat | None]:
    """The one glue-up or the one coat that is named with some of its own."""
    if bool(said.glue_up and said.joints) == bool(said.coat and said.zones):
        mend = "name a glue-up with joints, or a coat with zones"
        raise Refusal("joints", "say neither who nor where", mend)
    return (
        glue_up(workshop, said.glue_up) if said.glue_up else None,
        coat(workshop, said.coat) if said.coat else None,
    )


def holder(workshop: Workshop, about: UUID) -> Subject:
    """The glue-up or coat that ties things up."""
    by = subject(workshop, about)
    if by.glue_up is None and by.coat is None:
        raise NotHere("about")
    return by


def subject(workshop: Workshop, about: UUID) -> Subject:
    """The glue-up, coat or piece that a conflict is about."""
    related = ("workshop", "label", "place__workshop")
    mine = {"workshop": workshop, "id": about}
    return Subject(
        glue_up=GlueUp.objects.filter(**mine).select_related(*related).first(),
        coat=Coat.objects.filter(**mine).select_related(*related).first(),
        piece=Piece.objects.filter(**mine).first(),
    )


def lot(workshop: Workshop, ident: UUID, field: str = "lot") -> StockLot:
    """A lot of wood of this workshop."""
    return _one(StockLot.objects.filter(workshop=workshop), ident, field)


def material(workshop: Workshop, ident: UUID) -> Material:
    """A material of this workshop."""
    rows = Material.objects.select_related("workshop").filter(workshop=workshop)
    return _one(rows, ident, "material")


def container(workshop: Workshop, ident: UUID, field: str = "container") -> Container:
    """A container of this workshop."""
    rows = Container.objects.select_related("material").filter(workshop=workshop)
    return _one(rows, ident, field)


def things(workshop: Workshop, idents: Sequence[UUID], field: str = "things") -> list[Thing]:
    """Things that this workshop counts, in the order asked."""
    return _all(Thing.objects.filter(workshop=workshop), idents, field)


def member(workshop: Workshop, ident: UUID) -> Membership:
    """What a person is in this workshop."""
    rows = Membership.objects.select_related("person")
    found = rows.filter(workshop=workshop, person=ident).first()
    if found is None:
        raise NotHere("person")
    return found


def sensor(workshop: Workshop, ident: UUID) -> Sensor:
    """A sensor in a place of this workshop."""
    rows = Sensor.objects.select_related("place__workshop").filter(place__workshop=workshop)
    return _one(rows, ident, "sensor")


def happening(workshop: Workshop, ident: UUID) -> Struck:
    """A happening of this workshop that can be struck out: an event or a reading."""
    rows = Event.objects.select_related(
        "piece",
        "place__workshop",
        "lot",
        *(f"glue_up__{name}" for name in ("workshop", "label", "place__workshop")),
        *(f"coat__{name}" for name in ("workshop", "label", "place__workshop")),
    )
    event = rows.filter(workshop=workshop, pk=ident).first()
    if event is not None:
        subjects = {
            name: getattr(event, name) for name in ("glue_up", "coat", "piece", "place", "lot")
        }
        return Struck(event.id, event.arrived_at, event=event, **subjects)
    readings = Reading.objects.select_related("place__workshop")
    reading = _one(readings.filter(place__workshop=workshop), ident, "target")
    return Struck(reading.id, reading.arrived_at, place=reading.place, reading=reading)


def _one(rows: QuerySet[Row], ident: UUID, field: str) -> Row:
    found = rows.filter(pk=ident).first()
    if found is None:
        raise NotHere(field)
    return found


def _all(rows: QuerySet[Row], idents: Sequence[UUID], field: str) -> list[Row]:
    found = rows.in_bulk(list(idents))
    for at, ident in enumerate(idents):
        if ident not in found:
            raise NotHere(f"{field}[{at}]")
    return [found[ident] for ident in idents]
