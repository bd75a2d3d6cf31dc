"""Making nouns: once per id, whatever arrives how often; another workshop's id is refused."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Protocol, TypeVar
from uuid import UUID

from django.db.models import Model, Q

from cureclock.core.night import HalfGap
from cureclock.shop.models import (
    AirVersion,
    Batch,
    Coat,
    CoatedZone,
    Event,
    GlueUp,
    Joint,
    MadeFrom,
    Piece,
    Place,
    Workshop,
    Zone,
)
from cureclock.shop.refusals import OtherBody, Refusal

Noun = TypeVar("Noun", bound=Model)
LONGEST_GAP_H = 48.0  # half-gap time that expected air may have


class JointWords(Protocol):
    """What is said of a joint."""

    @property
    def id(self) -> UUID: ...
    @property
    def piece(self) -> UUID: ...
    @property
    def name(self) -> str: ...
    @property
    def thickness_mm(self) -> float | None: ...


class ZoneWords(Protocol):
    """What is said of a zone."""

    @property
    def id(self) -> UUID: ...
    @property
    def name(self) -> str: ...
    @property
    def keep_bare(self) -> bool: ...


class PieceWords(Protocol):
    """What is said of a piece."""

    @property
    def id(self) -> UUID: ...
    @property
    def tag(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def zones(self) -> Sequence[ZoneWords]: ...
    @property
    def made_from(self) -> Sequence[UUID]: ...
    @property
    def lot(self) -> UUID | None: ...


def make(kind: type[Noun], workshop: Workshop, ident: UUID, **what: Any) -> tuple[Noun, bool]:
    """The noun of this id and whether it is new; one of another workshop is no noun of ours."""
    noun, new = kind._default_manager.get_or_create(
        id=ident, defaults={"workshop": workshop, **what}
    )
    if not new and noun.workshop_id != workshop.id:  # type: ignore[attr-defined]
        raise OtherBody
    return noun, new


def add_joints(glue_up: GlueUp, pieces: Sequence[Piece], said: Sequence[JointWords]) -> None:
    """New joints of a glue-up, each on its piece."""
    _unused(Joint, [one.id for one in said], "joints")
    Joint.objects.bulk_create(
        Joint(
            id=one.id,
            glue_up=glue_up,
            piece=piece,
            name=one.name,
            thickness_mm=one.thickness_mm,
        )
        for piece, one in zip(pieces, said, strict=True)
    )


def add_zones(coat: Coat, zones: Sequence[Zone]) -> None:
    """Zones of a coat, in the order in which they are coated, after those it has."""
    known = set(coat.coated.values_list("zone_id", flat=True))
    fresh = [zone for zone in zones if zone.id not in known]
    CoatedZone.objects.bulk_create(
        CoatedZone(coat=coat, zone=zone, order=order)
        for order, zone in enumerate(fresh, len(known))
    )


def add_pieces(
    workshop: Workshop, batch: Batch | None, said: Sequence[PieceWords], event: Event
) -> None:
    """New pieces with their zones and what they were made from."""
    _unused(Piece, [one.id for one in said], "pieces")
    tags = [one.tag for one in said]
    taken = Piece.objects.filter(workshop=workshop, tag__in=tags).values_list("tag", flat=True)
    twice = sorted({*taken, *(tag for tag in tags if tags.count(tag) > 1)})
    if twice:
        raise Refusal("pieces", f"the number {twice[0]} is taken", "give it another number")
    Piece.objects.bulk_create(
        Piece(
            id=one.id,
            workshop=workshop,
            batch=batch,
            tag=one.tag,
            what=one.what,
            lot_id=one.lot,
            made_at=event.happened_at,
            made_by=event.id,
        )
        for one in said
    )
    Zone.objects.bulk_create(
        Zone(id=zone.id, piece_id=one.id, name=zone.name, keep_bare=zone.keep_bare)
        for one in said
        for zone in one.zones
    )
    for one in said:
        add_parts(one.id, one.made_from, event)


def add_zones_to(pieces: Sequence[Piece], said: Sequence[ZoneWords], event: Event) -> None:
    """Zones that pieces get later; one that was struck out may be told again."""
    for piece, one in zip(pieces, said, strict=True):
        what = {"piece": piece, "name": one.name, "keep_bare": one.keep_bare, "made_by": event.id}
        there = Zone.objects.filter(Q(id=one.id) | Q(piece=piece, name=one.name))
        there.exclude(struck_by=None).delete()
        found = there.first()
        if found is None:
            Zone.objects.create(id=one.id, **what)
        elif (found.id, found.piece_id) != (one.id, piece.id):
            wrong = f"{piece.tag} has a part called {one.name}, or its id is used already"
            raise Refusal("parts", wrong, "choose that part, or call this one something else")


def add_parts(whole: UUID, parts: Sequence[UUID], event: Event) -> None:
    """What a piece was made from, by one happening."""
    MadeFrom.objects.bulk_create(
        MadeFrom(whole_id=whole, part_id=part, event=event.id) for part in dict.fromkeys(parts)
    )


class DayWords(Protocol):
    """What is said of air at a time of day."""

    @property
    def clock(self) -> str: ...
    @property
    def temp_c(self) -> float: ...
    @property
    def rh_pct(self) -> float | None: ...


class AirWords(Protocol):
    """What is said of what air will do."""

    @property
    def day(self) -> Sequence[DayWords] | None: ...
    @property
    def outside_low_c(self) -> float | None: ...
    @property
    def half_gap_h(self) -> float | None: ...
    @property
    def heater_off(self) -> bool | None: ...
    @property
    def heater_on_at(self) -> datetime | None: ...


def say_air(
    place: Place, event: Event, said: AirWords, learned: HalfGap | None = None
) -> AirVersion:
    """Append what was said of a place's air; the same id as its event."""
    day = None if said.day is None else [[p.clock, p.temp_c, p.rh_pct] for p in said.day]
    return AirVersion.objects.create(
        id=event.id,
        place=place,
        since=event.happened_at,
        arrived_at=event.arrived_at,
        typed=day,
        outside_low_c=said.outside_low_c,
        half_gap_h=said.half_gap_h,
        heater_off=said.heater_off,
        heater_on_at=said.heater_on_at,
        learned_half_gap_h=min(learned.hours, LONGEST_GAP_H) if learned else None,
        learned_nights=learned.nights if learned else 0,
    )


def _unused(kind: type[Model], idents: Sequence[UUID], field: str) -> None:
    """Refuse ids that stand for something already, or twice in what was said."""
    if len(set(idents)) < len(idents) or kind._default_manager.filter(pk__in=idents).exists():
        raise Refusal(field, "an id here is used already", "make a new id for each")
