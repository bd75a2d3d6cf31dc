"""Two pieces taken for one another: from a time on what was told of the one counts for the other.

The happenings stay as they were told, under both names; only what they count for follows.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from cureclock.shop.models import Event, Workshop, Zone
from cureclock.shop.record import Line, Told, stand


@dataclass(frozen=True)
class Swap:
    """Two pieces, from when their records were mixed up, and when that was put right."""

    first: UUID
    second: UUID
    since: datetime
    until: datetime

    def other(self, piece: UUID, at: datetime) -> UUID:
        """Which piece was meant by what was told of this one then."""
        if not self.since <= at < self.until:
            return piece
        return {self.first: self.second, self.second: self.first}.get(piece, piece)


@dataclass(frozen=True)
class Swaps:
    """Every swap of a workshop that stands, in the order in which they were told.

    Attributes:
        zones: (piece, name) of each zone of the pieces concerned.
    """

    swaps: tuple[Swap, ...] = ()
    zones: Mapping[UUID, tuple[UUID, str]] = field(default_factory=dict)

    def piece(self, told: UUID, at: datetime) -> UUID:
        """Which piece was really meant by what was told of this one at an instant."""
        for swap in self.swaps:
            told = swap.other(told, at)
        return told

    def zone(self, told: UUID, at: datetime) -> UUID:
        """Which zone was really meant: that of the same name, where the other piece has one."""
        if told not in self.zones:
            return told
        piece, name = self.zones[told]
        meant = (self.piece(piece, at), name)
        return next((zone for zone, own in self.zones.items() if own == meant), told)

    def mixed(self, pieces: Collection[UUID]) -> set[UUID]:
        """These pieces and every one they were ever taken for."""
        known = set(pieces)
        while True:
            more = {end for swap in self.swaps for end in _ends(swap) if _ends(swap) & known}
            if more <= known:
                return known
            known |= more

    def counted(self, events: Sequence[Told]) -> list[Told]:
        """Events, each for the piece and zones it really concerns; the rows are not written."""
        if self.swaps:
            for event in events:
                self._count(event)
        return list(events)

    def _count(self, event: Event | Line) -> None:
        at = event.happened_at
        if event.piece_id is not None and event.kind != "records_swapped":
            event.piece_id = self.piece(event.piece_id, at)
        if "zones" in event.body:
            zones = [str(self.zone(UUID(zone), at)) for zone in event.body["zones"]]
            event.body = {**event.body, "zones": zones}


def swaps_of(workshop: Workshop | UUID) -> Swaps:
    """The swaps of a workshop that stand."""
    rows = Event.objects.filter(workshop=workshop, kind="records_swapped")
    told = stand(rows.order_by("happened_at", "id"))
    if not told:
        return Swaps()
    swaps = tuple(_swap(event.body, event.happened_at) for event in told)
    pieces = {end for swap in swaps for end in _ends(swap)}
    zones = Zone.objects.filter(piece__in=pieces).values_list("id", "piece_id", "name")
    return Swaps(swaps, {zone: (piece, name) for zone, piece, name in zones})


def _swap(body: Mapping[str, Any], until: datetime) -> Swap:
    since = datetime.fromisoformat(body["since"])
    return Swap(UUID(body["first"]), UUID(body["second"]), since, until)


def _ends(swap: Swap) -> set[UUID]:
    return {swap.first, swap.second}
