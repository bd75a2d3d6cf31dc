"""What was said of pieces as wholes: all joints declared, holds on and off."""

from collections.abc import Collection
from dataclasses import dataclass, field
from uuid import UUID

from cureclock.shop.models import Event, Hold
from cureclock.shop.record import standing

KINDS = ("hold_on", "hold_off", "joints_declared", "struck_out")


@dataclass
class PieceWords:
    """What stands of what was said of pieces.

    Attributes:
        declared: pieces of which somebody said "these are all its joints".
        holds: holds that are on, by piece.
    """

    declared: set[UUID] = field(default_factory=set)
    holds: dict[UUID, list[Hold]] = field(default_factory=dict)


def said_of(pieces: Collection[UUID]) -> PieceWords:
    """What stands of what was said of these pieces, whatever the order of arrival."""
    told = standing(list(Event.objects.filter(piece__in=pieces, kind__in=KINDS)))
    words = PieceWords()
    words.declared = {e.piece_id for e in told if e.kind == "joints_declared" and e.piece_id}
    off = {event.body["hold"] for event in told if event.kind == "hold_off"}
    on = {event.body["hold"] for event in told if event.kind == "hold_on"} - off
    for hold in Hold.objects.filter(id__in=on):
        words.holds.setdefault(hold.piece_id, []).append(hold)
    return words
