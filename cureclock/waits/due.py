"""What has come due: clocks aged to now, the gates they passed, and when each is next due."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from django.db.models import Min, OuterRef, QuerySet, Subquery

from cureclock.core.clock import NEVER
from cureclock.core.clock import Clock as CoreClock
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.airs import place_airs
from cureclock.shop.models import AirVersion
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import instants, next_thresholds
from cureclock.waits.models import Clock
from cureclock.waits.passing import Marked, Passed, mark
from cureclock.waits.rows import write

CLOCKS = 100  # at most so many in one transaction
KEPT = timedelta(seconds=2)  # how long what was built of a clock is used again
RENEWED = KEPT / 2  # what is older is built anew when there is time to
WRITTEN = ("next_threshold_us", "next_due_at", "rate")
SIGNED = (
    *("read_at", "age_us", "corrected", "corrections", "next_threshold_us", "next_due_at"),
    "air_told",
)


@dataclass(frozen=True)
class Kept:
    """A clock's row, and what was built from it.

    Attributes:
        row: as it was left.
        clock: the row's clock in its line of air.
        offset_us: what that clock's ages are above the row's.
        at: when it was built.
    """

    row: Clock
    clock: CoreClock
    offset_us: int
    at: datetime

    @classmethod
    def of(cls, row: Clock, ages: Ages, at: datetime) -> "Kept":
        """Build what a row needs to be aged."""
        clock = ages.of_row(row)
        read_us = instant_us(row.read_at)
        row.rate = clock.rate_at(read_us)
        return cls(row, clock, int(clock.age_at(read_us)) - row.age_us, at)

    def age_us(self, at: datetime) -> int:
        """The row's age at an instant [us]."""
        return int(self.clock.age_at(instant_us(at))) - self.offset_us

    def is_as(self, signed: Sequence[Any], at: datetime) -> bool:
        """Whether the row is as it was left, and what was built of it new enough."""
        same = all(getattr(self.row, name) == value for name, value in zip(SIGNED, signed))  # noqa: B905
        return same and timedelta() <= at - self.at <= KEPT


class DueClocks:
    """Takes what is due from the clocks. One for each dispatcher: it keeps what it built.

    A clock's line of air is used again for two seconds, as long as its row is as it was left and
    nothing else is said of its air: any reading writes the row.

    Attributes:
        full: the last `take` stopped at as many as it takes at once; there may be more.
        next_at: when the first clock was due, as `build` last saw it.
    """

    def __init__(self) -> None:
        self.full = False
        self.next_at: datetime | None = None
        self._kept: dict[int, Kept] = {}

    def build(self, at: datetime) -> bool:
        """Build what `take` will need, outside any transaction; whether anything is due."""
        signed = list(_signed(_due(at))[:CLOCKS])
        if not signed:
            self.next_at = Clock.objects.aggregate(next_at=Min("next_due_at"))["next_at"]
            return False
        self.next_at = signed[0][-1]
        self._kept = {pk: one for pk, one in self._kept.items() if at - one.at <= KEPT}
        self._know(signed, at)
        return True

    def renew(self, at: datetime) -> None:
        """Build anew, between two turns, what is about to get too old and is due before long."""
        old = {pk for pk, one in self._kept.items() if at - one.at > RENEWED}
        if old:
            self._kept = {pk: one for pk, one in self._kept.items() if pk not in old}
            soon = _clocks().filter(pk__in=old, next_due_at__lte=at + KEPT)
            self._kept.update(_built(soon.select_related("place__workshop").in_bulk(), at))

    def take(self, at: datetime, *, gates: int = 500, only: int | None = None) -> list[Passed]:
        """Gates that passed a figure by an instant, marked so; inside the caller's transaction.

        As many questions for one clock as for a hundred. Clocks and gates that somebody else is
        writing are passed over: they stay due.

        Args:
            at: now.
            gates: at most so many of each figure.
            only: this clock alone, whatever its turn.
        """
        due = _due(at) if only is None else _due(at).filter(pk=only)
        signed = list(_signed(due).select_for_update(skip_locked=True)[:CLOCKS])
        taken = self._know(signed, at)
        marked = mark([(one.row, one.age_us(at)) for one in taken], at, gates)
        nexts = next_thresholds([one.row for one in taken])
        found: list[Passed] = []
        for one in taken:
            of_it = marked.get(one.row.pk, ())
            found.extend(_moved_on(one, nexts[one.row.pk], of_it, at))
        write([one.row for one in taken], WRITTEN)
        self.full = len(signed) >= CLOCKS or len(found) >= gates
        return found

    def _know(self, signed: Collection[tuple[Any, ...]], at: datetime) -> list[Kept]:
        """What is kept of clocks, built anew where the row is another or it was long ago."""
        good = {}
        for pk, *row in signed:
            kept = self._kept.get(pk)
            if kept is not None and kept.is_as(row, at):
                good[pk] = kept
        fresh = [pk for pk, *_ in signed if pk not in good]
        if fresh:
            rows = _clocks().select_related("place__workshop").in_bulk(fresh)
            self._kept.update(_built(rows, at))
        return [self._kept[pk] for pk, *_ in signed if pk in self._kept]


def _due(at: datetime) -> QuerySet[Clock]:
    return _clocks().filter(next_due_at__lte=at).order_by("next_due_at")


def _clocks() -> QuerySet[Clock]:
    """Clocks, each with what was told last of the air in its place."""
    told = AirVersion.objects.filter(place=OuterRef("place"), struck_by=None)
    last = told.order_by("-arrived_at", "id").values("id")[:1]
    return Clock.objects.annotate(air_told=Subquery(last))


def _signed(due: QuerySet[Clock]) -> QuerySet[Clock, tuple[Any, ...]]:
    return due.values_list("pk", *SIGNED)


def _built(rows: Mapping[int, Clock], at: datetime) -> Iterable[tuple[int, Kept]]:
    """What is needed of each, the air of all their places read at once."""
    airs = place_airs({row.place: row.read_at for row in rows.values()})
    for pk, row in rows.items():
        ages = Ages(row.read_at, max(at, row.read_at), {row.place_id: airs[row.place_id]})
        yield pk, Kept.of(row, ages, at)


def _moved_on(
    one: Kept, next_us: int | None, marked: Sequence[Marked], at: datetime
) -> list[Passed]:
    """When each gate of a clock passed; its row is told what is next on it and when."""
    heights = [gate.threshold_us for gate in marked]
    asked = np.array([*heights, *(() if next_us is None else (next_us,))], dtype=np.int64)
    found = one.clock.earliest(asked + one.offset_us).tolist() if len(asked) else []
    row = one.row
    due_us = NEVER if next_us is None else found.pop()
    row.next_threshold_us = next_us
    row.next_due_at = None if due_us == NEVER else moment_of(due_us)
    if heights and min(heights) < row.age_us:  # from before the last reading: by older air
        oldest = min(gate.gate.stay_at for gate in marked)
        ages = Ages(min(oldest, row.read_at), max(at, row.read_at))
        found = instants(row, np.array(heights, dtype=np.int64), ages).tolist()
    at_us = instant_us(at)
    return [gate.passed(moment_of(min(us, at_us))) for gate, us in zip(marked, found, strict=True)]
