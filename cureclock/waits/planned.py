"""A wait as it should be, read from the facts, before any row is written."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from cureclock.core.felt import REACH
from cureclock.core.gates import Gate
from cureclock.core.units import instant_us
from cureclock.shop.models import (
    Coat,
    GlueUp,
    Hold,
    Joint,
    LabelVersion,
    Piece,
    Place,
    Zone,
)
from cureclock.waits.wood import OWN_PARTS, Trail, end_us


@dataclass(frozen=True)
class Stay:
    """One stay in one place; the last has no end while the wait is open."""

    place: Place
    began: datetime
    ended: datetime | None


@dataclass(frozen=True)
class PlannedGate:
    """A gate, the happening it counts from, and whether its act is already over."""

    gate: Gate
    began: datetime
    over: bool


@dataclass(frozen=True)
class PlannedWait:
    """Everything a wait and its gates need."""

    id: UUID
    piece: Piece
    label: LabelVersion
    stays: Sequence[Stay]
    gates: Sequence[PlannedGate]
    floor_c: float | None
    open: bool
    between: bool = False
    lag_us: int = 0  # of its wood, binned
    before: Sequence[Stay] = ()  # where wood that lags was shortly before
    coat_number: int = 0
    glue_up: GlueUp | None = None
    joint: Joint | None = None
    coat: Coat | None = None
    zone: Zone | None = None
    hold: Hold | None = None

    @property
    def began(self) -> datetime:
        """The earliest happening any of its gates counts from."""
        return self.stays[0].began

    @property
    def trail(self) -> Trail:
        """Where its wood was, and how far that lags."""
        stood = [
            (stay.place, instant_us(stay.began), end_us(stay.ended))
            for stay in (*self.before, *self.stays)
        ]
        return Trail(stood, self.lag_us)


def begun_at(planned: Sequence[PlannedWait]) -> datetime | None:
    """When a subject began: the earliest happening that any of its waits counts from."""
    return min((wait.began for wait in planned), default=None)


def stays_before(
    began: datetime, moves: Sequence[tuple[datetime, Place]], lag_us: int
) -> tuple[Stay, ...]:
    """Where wood was before a start, where that still tells then how warm it is."""
    told = list(_changes([move for move in moves if move[0] <= began]))
    if len(told) < 2 or instant_us(began) - instant_us(told[-1][0]) >= OWN_PARTS * lag_us:
        return ()
    remembers_us = instant_us(told[-1][0]) - REACH * lag_us
    return tuple(
        Stay(place, since, left)
        for (since, place), (left, _) in pairwise(told)
        if instant_us(left) > remembers_us
    )


def _changes(
    moves: Sequence[tuple[datetime, Place]],
) -> Iterable[tuple[datetime, Place]]:
    """Moves without those to where it was already."""
    here = None
    for moved_at, place in moves:
        if place.id != here:
            yield moved_at, place
        here = place.id


def stays_of(
    first: Place,
    began: datetime,
    moves: Sequence[tuple[datetime, Place]],
    over_at: datetime | None = None,
) -> tuple[Stay, ...]:
    """Stays from a start and the moves told, to the end of the wait if it has one; moves before
    the start only say where it was."""
    where, since = first, began
    stays: list[Stay] = []
    for moved_at, place in moves:
        if over_at is not None and moved_at >= over_at:
            break
        if moved_at > since and place.id != where.id:
            stays.append(Stay(where, since, moved_at))
            since = moved_at
        where = place
    return (*stays, Stay(where, since, None if over_at is None else max(over_at, since)))
