"""Moments at which a number gets lost: each asks one thing, "number moved?", until it is answered."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.shop.lineage import parts_of
from cureclock.shop.models import Event, MadeFrom, Piece, Workshop, Zone
from cureclock.shop.record import stand
from cureclock.shop.swaps import swaps_of
from cureclock.waits.pieces import lost_pieces
from cureclock.waits.shown import PieceTag

ASKED_FOR = timedelta(days=7)  # later the answer is on the piece, or it is lost; our choice
KINDS = ("pieces_made", "made_from", "hold_off", "coat_began", "number_moved")
SAWN, GLUED, PARTED, HUNG = "sawn", "glued", "parted_off", "hung"


@dataclass(frozen=True)
class Handover:
    """One moment, and the pieces whose number has not been spoken for since.

    moment: sawn, glued, parted_off or hung.
    """

    moment: str
    at: datetime
    pieces: tuple[PieceTag, ...]


def handovers(workshop: Workshop, at: datetime) -> tuple[Handover, ...]:
    """The moments of the last week that nobody has answered yet, the newest first."""
    rows = Event.objects.filter(
        workshop=workshop, kind__in=KINDS, happened_at__gte=at - ASKED_FOR, happened_at__lte=at
    )
    told = swaps_of(workshop).counted(stand(rows))
    answered: dict[UUID, datetime] = {}
    for event in told:
        if event.kind == "number_moved":
            answered |= {UUID(one): event.happened_at for one in event.body["pieces"]}
    gone = lost_pieces(workshop, swaps_of(workshop))
    gone |= {part for own in parts_of(workshop).values() for part in own}  # it is the whole's now
    tags = dict(Piece.objects.filter(workshop=workshop, struck_by=None).values_list("id", "tag"))
    asked: set[UUID] = set()
    found = []
    for event in sorted(told, key=lambda one: one.happened_at, reverse=True):
        moment, pieces = _moment(event)
        open_ = [
            one
            for one in pieces
            if one in tags
            and one not in asked | gone
            and not (one in answered and answered[one] >= event.happened_at)
        ]
        asked.update(open_)  # a later moment of the same piece asks for the earlier ones too
        if open_:
            shown = sorted((PieceTag(one, tags[one]) for one in open_), key=lambda tag: tag.tag)
            found.append(Handover(moment, event.happened_at, tuple(shown)))
    return tuple(found)


def _moment(event: Event) -> tuple[str, Sequence[UUID]]:
    """Which hand-over a happening is, and of which pieces; of none where it is no hand-over."""
    if event.kind in ("pieces_made", "made_from"):
        return _made(event)
    if event.kind == "hold_off":
        return PARTED, [event.piece_id] if event.piece_id else []
    if event.kind == "coat_began":
        zones = Zone.objects.filter(id__in=event.body.get("zones", ()))
        return HUNG, list(zones.values_list("piece_id", flat=True))
    return "", ()


def _made(event: Event) -> tuple[str, Sequence[UUID]]:
    """Glued together of several, or sawn from one."""
    links = MadeFrom.objects.filter(event=event.id, counts=True)
    parts: dict[UUID, set[UUID]] = {}
    for whole, part in links.values_list("whole_id", "part_id"):
        parts.setdefault(whole, set()).add(part)
    several = any(len(own) > 1 for own in parts.values())
    return GLUED if several else SAWN, sorted(parts, key=str)
