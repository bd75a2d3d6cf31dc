"""What has come due: clocks aged to now, the gates they passed, and when each is next due."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any
from uuid import UUID

import numpy as np
from django.db.models import Min

from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.airs import place_airs
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective, instants, set_next
from cureclock.waits.models import Clock, Gate, Wait

CLOCKS = 100  # at most so many in one transaction
KEPT = timedelta(seconds=1)  # how long what was built of a clock is used again
PENDING = (Gate.State.WAITING, Gate.State.WARNED)


class Figure(StrEnum):
    """Which figure of a gate was passed."""

    OPENS = "opens"
    SURE = "sure"
    WARNS = "warns"
    CLOSES = "closes"


@dataclass(frozen=True, slots=True)
class Passed:
    """A gate that passed one of its figures.

    Attributes:
        at: when it did, by what is known of the air.
        about: the glue-up, coat or hold; `subject` says which of these it is.
    """

    gate: UUID
    wait: UUID
    kind: str
    figure: Figure
    at: datetime
    workshop: UUID
    place: UUID
    about: UUID
    subject: str


@dataclass(frozen=True)
class Column:
    """A threshold that can fire on a clock: where it stands, for which gates, what it makes."""

    clock: str
    name: str
    only: dict[str, Any]
    figure: Figure


SURE = Column(
    "sure_clock", "sure_us", {"hurts": True, "state__in": (Gate.State.WAITING,)}, Figure.SURE
)
OPENS = Column(
    "act_clock", "act_us", {"hurts": False, "opens": True, "state__in": PENDING}, Figure.OPENS
)
CLOSES = Column(
    "act_clock", "act_us", {"hurts": False, "opens": False, "state__in": PENDING}, Figure.CLOSES
)
WARNS = Column(
    "act_clock", "warn_us", {"opens": False, "state__in": (Gate.State.WAITING,)}, Figure.WARNS
)
COLUMNS = {
    Stance.SLOW: (OPENS,),
    Stance.STRICT: (OPENS,),
    Stance.QUICK: (CLOSES, WARNS),
    Stance.SLOW_SURE: (SURE,),
    Stance.STRICT_SURE: (SURE,),
}


@dataclass(frozen=True)
class Kept:
    """What was built of a clock, and the row it was built from."""

    row: tuple[Any, ...]
    ages: Ages
    at: datetime


class DueClocks:
    """Takes what is due from the clocks. One for each dispatcher: it keeps what it built.

    A clock's line of air is used again for a second, as long as its row is as it was left: any
    reading, and anything said of its air, writes the row.

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
        self.next_at = Clock.objects.aggregate(next_at=Min("next_due_at"))["next_at"]
        if self.next_at is None or self.next_at > at:
            return False
        due = Clock.objects.filter(next_due_at__lte=at).select_related("place__workshop")
        rows = list(due.order_by("next_due_at")[:CLOCKS])
        fresh = [row for row in rows if not self._good(row, at)]
        airs = place_airs({row.place: row.read_at for row in fresh})
        for row in fresh:
            ages = Ages(row.read_at, max(at, row.read_at), {row.place_id: airs[row.place_id]})
            _age_at(row, ages, at)
            self._kept[row.pk] = Kept(_signature(row), ages, at)
        return bool(rows)

    def take(self, at: datetime, *, gates: int = 500, only: int | None = None) -> list[Passed]:
        """Gates that passed a figure by an instant, marked so; inside the caller's transaction.

        Clocks and gates that somebody else is writing are passed over: they stay due.

        Args:
            at: now.
            gates: at most so many of each clock.
            only: this clock alone, whatever its turn.
        """
        due = Clock.objects.filter(next_due_at__lte=at)
        if only is not None:
            due = due.filter(pk=only)
        rows = (
            due.order_by("next_due_at")
            .select_related("place__workshop")
            .select_for_update(skip_locked=True, of=("self",))[:CLOCKS]
        )
        found: list[Passed] = []
        self.full = len(rows) >= CLOCKS
        for row in rows:
            of_it = self._take(row, at, gates)
            self.full = self.full or len(of_it) >= gates
            found.extend(of_it)
        return found

    def _take(self, row: Clock, at: datetime, gates: int) -> list[Passed]:
        ages = self._ages(row, at)
        age_us = _age_at(row, ages, at)
        marked: list[tuple[Figure, dict[str, Any], int]] = []
        for column in COLUMNS.get(Stance(row.stance), ()):
            marked += _mark(row, column, age_us, at, gates)
        set_next(row, ages)
        Clock.objects.filter(pk=row.pk).update(
            next_threshold_us=row.next_threshold_us, next_due_at=row.next_due_at, rate=row.rate
        )
        self._kept[row.pk] = Kept(_signature(row), ages, self._built(row, at))
        return _passed(row, marked, ages, at)

    def _good(self, row: Clock, at: datetime) -> Kept | None:
        """What was built of a clock, if it is still as it was left, and new enough."""
        kept = self._kept.get(row.pk)
        same = kept is not None and kept.row == _signature(row)
        return kept if kept and same and timedelta() <= at - kept.at <= KEPT else None

    def _ages(self, row: Clock, at: datetime) -> Ages:
        kept = self._good(row, at)
        if kept:
            return kept.ages
        self._kept.pop(row.pk, None)
        return Ages(row.read_at, max(at, row.read_at))

    def _built(self, row: Clock, at: datetime) -> datetime:
        kept = self._kept.get(row.pk)
        return kept.at if kept else at


def _signature(row: Clock) -> tuple[Any, ...]:
    return (
        row.read_at,
        row.age_us,
        row.corrected,
        row.corrections,
        row.next_threshold_us,
        row.next_due_at,
    )


def _age_at(row: Clock, ages: Ages, at: datetime) -> int:
    clock = ages.of_row(row)
    gained = clock.age_at(instant_us(at)) - clock.age_at(instant_us(row.read_at))
    return row.age_us + int(gained)


def _mark(
    row: Clock, column: Column, age_us: int, at: datetime, most: int
) -> list[tuple[Figure, dict[str, Any], int]]:
    """Mark the gates whose threshold is passed; each with the figure and the threshold."""
    slack = sum(max(-constant, 0) for _, _, constant in row.corrections)
    near = {column.clock: row, f"{column.name}__lte": age_us + slack}
    gates = (
        Gate.objects.filter(**near, **column.only)
        .order_by(column.name)
        .select_for_update(skip_locked=True)
        .values("id", "wait_id", "kind", "placed", "stay_at", column.name)[:most]
    )
    found = []
    for gate in gates:
        threshold = effective(row, gate[column.name], gate["placed"], gate["stay_at"])
        if threshold <= age_us:
            found.append((column.figure, gate, threshold))
    marked = Gate.objects.filter(id__in=[gate["id"] for _, gate, _ in found])
    if column.figure == Figure.WARNS:
        marked.update(state=Gate.State.WARNED)
    elif found:
        marked.update(state=Gate.State.REACHED, reached_at=at)
    return found


def _passed(
    row: Clock, marked: Sequence[tuple[Figure, dict[str, Any], int]], ages: Ages, at: datetime
) -> list[Passed]:
    """What was marked, with its wait and the instant of its threshold."""
    if not marked:
        return []
    names = ("id", "workshop_id", "place_id", "glue_up_id", "coat_id", "hold_id")
    ids = {gate["wait_id"] for _, gate, _ in marked}
    waits = {wait["id"]: wait for wait in Wait.objects.filter(id__in=ids).values(*names)}
    when = _instants(row, marked, ages, at)
    found = []
    for (figure, gate, _), moment in zip(marked, when, strict=True):
        wait = waits[gate["wait_id"]]
        subject = next(name for name in ("glue_up", "coat", "hold") if wait[f"{name}_id"])
        found.append(
            Passed(
                gate=gate["id"],
                wait=gate["wait_id"],
                kind=gate["kind"],
                figure=figure,
                at=moment,
                workshop=wait["workshop_id"],
                place=wait["place_id"],
                about=wait[f"{subject}_id"],
                subject=subject,
            )
        )
    return found


def _instants(
    row: Clock, marked: Sequence[tuple[Figure, dict[str, Any], int]], ages: Ages, at: datetime
) -> list[datetime]:
    """When each threshold was passed; those from before the last reading need older air."""
    thresholds = np.array([threshold for _, _, threshold in marked], dtype=np.int64)
    if thresholds.min() < row.age_us:
        oldest = min(gate["stay_at"] for _, gate, _ in marked)
        ages = Ages(min(oldest, row.read_at), max(at, row.read_at))
    found = np.minimum(instants(row, thresholds, ages), instant_us(at))
    return [moment_of(us) for us in found.tolist()]
