"""Where a joint or coat went with the pieces that carry it, once its own was made into others.

One joint may stand in several places at once: a billet's, when its stems are parted. Each course
that differs is a wait of its own, on the air of its own places.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.shop.lineage import closure, wholes_of
from cureclock.shop.models import Event

Moves = tuple[tuple[datetime, UUID], ...]


@dataclass(frozen=True)
class Course:
    """Where a joint or coat went.

    Attributes:
        carrier: the piece it went with; None for all that went nowhere by themselves.
        moves: (when, to which place), in order.
        over_at: when it ended, None while it stands.
    """

    carrier: UUID | None
    moves: Moves
    over_at: datetime | None


def courses(
    own: UUID, base: Course, wholes: Mapping[UUID, Collection[UUID]], told: Sequence[Event]
) -> list[Course]:
    """Every course of what is on a piece, that of the pieces which stayed together first.

    Args:
        own: the piece it was made on.
        base: where it went by what was told of it and of that piece.
        wholes: what each piece was made into, from that piece upwards.
        told: what was told of those pieces, as it stands, in order of time.
    """
    up = closure([own], wholes)
    last = sorted((piece for piece in up if not wholes.get(piece)), key=str)
    events = [event for event in told if event.piece_id in up and event.piece_id != own]
    if not events or not last:
        return [base]
    parts = wholes_of({piece: wholes.get(piece, ()) for piece in up})
    gone = [_course(base, piece, closure([piece], parts), events) for piece in last]
    if all((one.moves, one.over_at) == (gone[0].moves, gone[0].over_at) for one in gone):
        return [Course(None, gone[0].moves, gone[0].over_at)]
    apart = [one for one in gone if (one.moves, one.over_at) != (base.moves, base.over_at)]
    return [base, *apart] if len(apart) < len(gone) else apart


def _course(base: Course, carrier: UUID, way: Collection[UUID], events: Sequence[Event]) -> Course:
    """The course of one last carrier: its own, and that of all on the way to it."""
    along = [event for event in events if event.piece_id in way]
    moved = [(e.happened_at, e.place_id) for e in along if e.kind == "moved_place" and e.place_id]
    moves = sorted({*base.moves, *moved}, key=lambda move: (move[0], str(move[1])))
    ends = [e.happened_at for e in along if e.kind == "piece_lost"]
    over = [end for end in (base.over_at, *ends) if end is not None]
    return Course(carrier, tuple(moves), min(over, default=None))
