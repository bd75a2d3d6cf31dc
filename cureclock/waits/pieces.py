"""Pieces as they are shown: their zones and coats, and the doubt that came up from their parts."""

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from uuid import UUID

from cureclock.shop.holds import PieceWords, said_of
from cureclock.shop.lineage import closure, parts_of, wholes_of
from cureclock.shop.models import Batch, Event, Piece, Workshop, Zone
from cureclock.shop.record import stand
from cureclock.shop.swaps import Swaps, swaps_of
from cureclock.waits.models import Suspicion, Wait


@dataclass(frozen=True)
class ZoneShown:
    """A zone, and how many coats are on it."""

    id: UUID
    name: str
    keep_bare: bool
    coats: int


@dataclass(frozen=True)
class PieceShown:
    """A piece.

    Attributes:
        suspect: the cause of the doubt that stands against it or any part of it; else none.
        joints_declared: somebody said "these are all its joints".
    """

    id: UUID
    tag: str
    what: str
    batch: UUID | None
    zones: tuple[ZoneShown, ...]
    suspect: str | None
    joints_declared: bool


@dataclass(frozen=True)
class HoldShown:
    """A temporary bond that is on."""

    id: UUID
    piece: UUID
    what: str
    off_before: str


@dataclass(frozen=True)
class PiecesShown:
    """The pieces that are there, and what is held on them."""

    pieces: tuple[PieceShown, ...]
    holds: tuple[HoldShown, ...]


def pieces_shown(workshop: Workshop) -> PiecesShown:
    """Every piece of a workshop that is not lost, in a few queries however many there are."""
    rows = list(Piece.objects.filter(workshop=workshop, struck_by=None).order_by("tag", "id"))
    words = said_of([row.id for row in rows])
    swaps = swaps_of(workshop)
    lost = lost_pieces(workshop, swaps)
    stripped = stand(Event.objects.filter(workshop=workshop, kind="coat_stripped"))
    zones = _zones(workshop, swaps.counted(stripped))
    doubts = suspect_causes(workshop)
    pieces = tuple(
        PieceShown(
            id=row.id,
            tag=row.tag,
            what=row.what,
            batch=row.batch_id,
            zones=tuple(zones.get(row.id, ())),
            suspect=doubts.get(row.id),
            joints_declared=row.id in words.declared,
        )
        for row in rows
        if row.id not in lost
    )
    return PiecesShown(pieces, tuple(_holds(words, lost)))


def standing_pieces(batch: Batch) -> list[Piece]:
    """The pieces of a batch that are there, by their numbers."""
    rows = Piece.objects.filter(batch=batch, struck_by=None).order_by("tag", "id")
    gone = lost_pieces(batch.workshop, swaps_of(batch.workshop))
    return [row for row in rows if row.id not in gone]


def lost_pieces(workshop: Workshop, swaps: Swaps) -> set[UUID]:
    """Pieces of which it stands that they are lost."""
    told = stand(Event.objects.filter(workshop=workshop, kind="piece_lost"))
    return {e.piece_id for e in swaps.counted(told) if e.piece_id is not None}


def suspect_causes(workshop: Workshop) -> dict[UUID, str]:
    """The earliest doubt that stands against each piece, its own or that of any part of it."""
    rows = Suspicion.objects.filter(workshop=workshop, cleared_by=None, wait__open=True)
    causes = list(rows.order_by("at").values_list("wait__piece_id", "cause"))
    if not causes:
        return {}
    made_into = wholes_of(parts_of(workshop))
    found: dict[UUID, str] = {}
    for piece, cause in causes:
        for whole in closure([piece], made_into):
            found.setdefault(whole, cause)
    return found


def _zones(workshop: Workshop, stripped: Collection[Event]) -> dict[UUID, list[ZoneShown]]:
    """The zones of each piece; a coat counts once it has begun, until it is stripped."""
    on = Counter(_coated(workshop, stripped))
    found: dict[UUID, list[ZoneShown]] = {}
    for zone in Zone.objects.filter(piece__workshop=workshop, struck_by=None).order_by("name"):
        shown = ZoneShown(zone.id, zone.name, zone.keep_bare, on[zone.id])
        found.setdefault(zone.piece_id, []).append(shown)
    return found


def _coated(workshop: Workshop, stripped: Collection[Event]) -> list[UUID]:
    gone = {event.coat_id: event.body.get("zones") for event in stripped}
    waits = Wait.objects.filter(workshop=workshop, zone__isnull=False, coat__isnull=False)
    return [
        zone
        for coat, zone in waits.values_list("coat_id", "zone_id")
        if zone is not None and not _stripped(gone, coat, zone)
    ]


def _stripped(gone: Mapping[UUID | None, list[str] | None], coat: UUID | None, zone: UUID) -> bool:
    if coat not in gone:
        return False
    zones = gone[coat]
    return zones is None or str(zone) in zones


def _holds(words: PieceWords, lost: Collection[UUID | None]) -> list[HoldShown]:
    return [
        HoldShown(hold.id, piece, hold.what, hold.off_before)
        for piece, holds in words.holds.items()
        if piece not in lost
        for hold in holds
    ]
