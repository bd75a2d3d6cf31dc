"""One piece: every joint it carries, what is on its zones, and all that was told of it."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Q

from cureclock.shop.holds import said_of
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Event, Joint, Photo, Piece, Workshop
from cureclock.shop.record import standing
from cureclock.waits.current import Current, load
from cureclock.waits.group_gates import gates_shown
from cureclock.waits.models import Wait
from cureclock.waits.pieces import HoldShown
from cureclock.waits.shown import GateShown, PieceTag, Thing

BACK = timedelta(days=8)
MOST_LINES = 300  # of history, the newest first


@dataclass(frozen=True)
class JointShown:
    """A joint it carries, its own or one of a part.

    Attributes:
        piece: the part it was made on.
        gone: opened, split or lost.
        suspect: the cause of the doubt that stands, if any.
        spin: its gate for the lathe, none before it was pressed or where it is not offered.
    """

    id: UUID
    name: str
    piece: PieceTag
    glue_up: Thing
    began_at: datetime | None
    gone: bool
    suspect: str | None
    spin: GateShown | None


@dataclass(frozen=True)
class CoatOn:
    """A coat on a zone; `open` while no later one lies on it."""

    coat: Thing
    material: str
    began_at: datetime
    open: bool


@dataclass(frozen=True)
class ZoneCoats:
    """A zone with its coats, the first one first."""

    id: UUID
    name: str
    keep_bare: bool
    coats: tuple[CoatOn, ...]


@dataclass(frozen=True)
class HistoryLine:
    """One happening; a struck one keeps its line."""

    id: UUID
    kind: str
    at: datetime
    arrived_at: datetime
    person: str
    phone: str
    about: str
    said: dict[str, Any]
    struck: bool
    pictures: tuple[UUID, ...] = ()


@dataclass(frozen=True)
class OnePiece:
    """A piece in full."""

    id: UUID
    tag: str
    what: str
    batch: Thing | None
    joints_declared: bool
    made_from: tuple[PieceTag, ...]
    joints: tuple[JointShown, ...]
    zones: tuple[ZoneCoats, ...]
    holds: tuple[HoldShown, ...]
    history: tuple[HistoryLine, ...]


def one_piece(workshop: Workshop, piece: Piece, at: datetime) -> OnePiece:
    """Everything about one piece."""
    parts = closure([piece.id], parts_of(workshop))
    own = Q(joint__piece__in=parts) | Q(zone__piece=piece)
    found = load(workshop, Wait.objects.filter(own, workshop=workshop), at, BACK)
    words = said_of(parts)
    rows = Piece.objects.filter(id__in=parts - {piece.id}).order_by("tag")
    return OnePiece(
        id=piece.id,
        tag=piece.tag,
        what=piece.what,
        batch=Thing(piece.batch.id, piece.batch.name) if piece.batch else None,
        joints_declared=piece.id in words.declared,
        made_from=tuple(PieceTag(row.id, row.tag) for row in rows),
        joints=_joints(found, parts),
        zones=_zones(found, piece),
        holds=tuple(
            HoldShown(hold.id, on, hold.what, hold.off_before)
            for on, holds in words.holds.items()
            for hold in holds
        ),
        history=_history(workshop, piece, parts),
    )


def _joints(found: Current, parts: Collection[UUID]) -> tuple[JointShown, ...]:
    waits = {wait.joint_id: wait for wait in found.waits if wait.joint_id}
    rows = Joint.objects.filter(piece__in=parts).select_related("piece", "glue_up")
    shown = []
    for joint in rows.order_by("piece__tag", "name", "id"):
        wait = waits.get(joint.id)
        rungs = found.rungs.get(wait.id, []) if wait else []
        spin = gates_shown(found, [rung for rung in rungs if rung.gate.kind == "spin"])
        doubts = found.doubts.get(wait.id, []) if wait else []
        standing_ = [doubt.cause for doubt in doubts if doubt.cleared_by is None]
        shown.append(
            JointShown(
                id=joint.id,
                name=joint.name,
                piece=PieceTag(joint.piece_id, joint.piece.tag),
                glue_up=Thing(joint.glue_up_id, joint.glue_up.name),
                began_at=wait.began_at if wait else None,
                gone=wait is not None and not wait.open,
                suspect=standing_[0] if standing_ else None,
                spin=spin[0] if spin else None,
            )
        )
    return tuple(shown)


def _zones(found: Current, piece: Piece) -> tuple[ZoneCoats, ...]:
    coats: dict[UUID, list[CoatOn]] = {}
    for wait in found.waits:
        if wait.zone_id is not None and wait.coat is not None:
            coat = Thing(wait.coat.id, wait.coat.name)
            on = CoatOn(coat, wait.label.material.name, wait.began_at, wait.open)
            coats.setdefault(wait.zone_id, []).append(on)
    return tuple(
        ZoneCoats(zone.id, zone.name, zone.keep_bare, tuple(coats.get(zone.id, ())))
        for zone in piece.zones.order_by("name")
    )


def _history(workshop: Workshop, piece: Piece, parts: Collection[UUID]) -> tuple[HistoryLine, ...]:
    """What was told of it, of what it is made of, and of the coats on it."""
    glue_ups = Joint.objects.filter(piece__in=parts).values("glue_up")
    coats = Wait.objects.filter(zone__piece=piece).values("coat")
    concerns = Q(piece__in=parts) | Q(glue_up__in=glue_ups) | Q(coat__in=coats)
    related = ("person", "phone", "glue_up", "coat", "piece")
    told = list(Event.objects.filter(concerns, workshop=workshop).select_related(*related))
    stands = {event.id for event in standing(told)}
    newest = sorted(told, key=lambda event: (event.happened_at, str(event.id)), reverse=True)
    pictures: dict[UUID, list[UUID]] = {}
    rows = Photo.objects.filter(event__in=[event.id for event in newest[:MOST_LINES]])
    for ident, event_id in rows.order_by("arrived_at", "id").values_list("id", "event"):
        pictures.setdefault(event_id, []).append(ident)
    return tuple(
        _line(event, event.id not in stands, pictures.get(event.id, ()))
        for event in newest[:MOST_LINES]
    )


def _line(event: Event, struck: bool, pictures: Collection[UUID]) -> HistoryLine:
    subject = event.glue_up or event.coat or event.piece
    return HistoryLine(
        id=event.id,
        kind=event.kind,
        at=event.happened_at,
        arrived_at=event.arrived_at,
        person=event.person.name if event.person else "",
        phone=event.phone.name if event.phone else "",
        about=str(subject) if subject else "",
        said=event.body,
        struck=struck,
        pictures=tuple(pictures),
    )
