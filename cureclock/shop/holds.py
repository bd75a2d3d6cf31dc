"""What was said of pieces as wholes: all joints declared, holds on and off."""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from cureclock.core.materials.library import library
from cureclock.shop.models import Event, Hold, Piece
from cureclock.shop.record import STRIKES, Line, lines, standing
from cureclock.shop.swaps import swaps_of

KINDS = ("hold_on", "hold_off", "joints_declared", *STRIKES)


@dataclass(frozen=True)
class Held:
    """A hold that was put on: by which happening, when, and when it came off."""

    hold: Hold
    on_by: UUID
    on_at: datetime
    off_at: datetime | None

    def holds_at(self, at: datetime) -> bool:
        """Whether it was on at an instant."""
        return self.on_at <= at and (self.off_at is None or at < self.off_at)


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
    told, asked = _told(pieces), set(pieces)
    words = PieceWords()
    declared = {e.piece_id for e in told if e.kind == "joints_declared" and e.piece_id}
    words.declared = declared & asked
    for one in _held(told, asked):
        if one.off_at is None:
            words.holds.setdefault(one.hold.piece_id, []).append(one.hold)
    return words


def held_on(pieces: Collection[UUID]) -> list[Held]:
    """Every hold that was ever put on these pieces, by what stands."""
    return _held(_told(pieces), set(pieces))


def off_before(hold: Hold) -> tuple[str, ...]:
    """The steps a hold has to be off before: as said, else as its kind usually is."""
    if hold.off_before:
        return (hold.off_before,)
    known = library().families.get(hold.label.material.family) if hold.label else None
    return tuple(getattr(known, "remove_before", ()))


def _told(pieces: Collection[UUID]) -> list[Line]:
    """What stands of what was told of these pieces and of those they were taken for."""
    first = Piece.objects.filter(id__in=list(pieces)[:1]).values_list("workshop", flat=True)
    workshop = first.first()
    if workshop is None:
        return []
    swaps = swaps_of(workshop)
    rows = Event.objects.filter(piece__in=swaps.mixed(pieces), kind__in=KINDS)
    return swaps.counted(standing(lines(rows)))


def _held(told: Collection[Line], pieces: Collection[UUID]) -> list[Held]:
    off: dict[str, datetime] = {}
    for event in told:
        if event.kind == "hold_off":
            off.setdefault(event.body["hold"], event.happened_at)
    on: dict[UUID, Line] = {}
    for event in told:
        if event.kind == "hold_on" and event.piece_id in pieces:
            on.setdefault(UUID(event.body["hold"]), event)
    related = ("label__material", "zone", "place")
    rows = Hold.objects.filter(id__in=on).select_related(*related) if on else ()
    return [Held(row, on[row.id].id, on[row.id].happened_at, off.get(str(row.id))) for row in rows]
