"""A place's air is known better: its clocks move, and hardly any wait does.

A wait begun before the last reading is a threshold on the clock already and is not touched.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

import numpy as np
from django.db.models import Q, QuerySet
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.expected import Expected
from cureclock.core.felt import REACH
from cureclock.core.timeline import Readings
from cureclock.core.units import SECOND_US, moment_of
from cureclock.shop.air import PlaceAir, Told, compose, drawn, reaching, versions_of
from cureclock.shop.models import Place, Reading
from cureclock.shop.sensing import Sensing, sensing_of
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import MANY_CORRECTIONS, expect, fold, locked, set_next
from cureclock.waits.models import Clock, Gate, Leg, Suspicion
from cureclock.waits.replace import (
    chilled,
    displaced,
    place_again,
    reassess,
    rested,
    undo_reached,
)

Ints = NDArray[np.int64]
MANY_ADDED = 200  # then they are counted, not looked at one by one


@dataclass(frozen=True)
class Change:
    """What is new about a place's air.

    Attributes:
        added, removed: readings taken, and readings struck out; one that is doubted, or no more,
            is both: removed as it was, added as it is.
        earlier: what was expected of the air before, where that changed; else None.
        sensing: what was made of its sensors before, where that changed; else None.
        since: from when on what is expected, or made of sensors, is another.
    """

    place: Place
    added: Sequence[Told] = ()
    removed: Sequence[Told] = ()
    earlier: tuple[Expected, ...] | None = None
    sensing: Sensing | None = None
    since: datetime | None = None


@dataclass
class Reread:
    """What a change of a place's air did to its waits."""

    replaced: list[Gate] = field(default_factory=list)
    undone: list[Gate] = field(default_factory=list)
    suspected: list[Suspicion] = field(default_factory=list)
    withdrawn: list[Suspicion] = field(default_factory=list)
    turned: list[UUID] = field(default_factory=list)  # glue-ups that go on on other clocks


@dataclass(frozen=True)
class Shift:
    """One clock before and after: its new age, and the legs whose ages changed.

    Attributes:
        anchor: the last reading now.
        age_us: age then.
        legs_us: change of each leg between the nodes.
        slower: the clock is younger now than it was thought to be.
    """

    row: Clock
    anchor: datetime
    age_us: int
    legs_us: Ints
    slower: bool


@dataclass(frozen=True)
class Run:
    """A run of neighbouring legs that changed: their numbers, and from when to when."""

    first: int
    last: int
    from_us: int
    to_us: int


def reread(change: Change, at: datetime) -> Reread:
    """Move the clocks of a place inside the transaction that took the readings.

    Steps: find where the line of air changed; move each clock; place again the waits begun
    inside changed legs or since the last reading; note one constant for those begun later;
    take back what was reached and is not; say what is next; walk the waits that were too cold.
    """
    rows = list(locked(change.place).select_related("place__workshop"))
    lag_us = max((row.lag_s * SECOND_US for row in rows), default=0)
    stays = Leg.objects.filter(place=change.place, wait__open=True)
    if not rows and not stays.exists():
        return Reread()
    since = _since(change, stays)
    before, after = _airs(change, since, lag_us)
    old, new = (Ages(since, at, {change.place.id: air}, lag_us) for air in (before, after))
    lasts = [ages.last_us(change.place) for ages in (old, new)]
    moved = _moved(rows, old, new, change.place)
    _move(moved.shifts, moved.runs)
    spans = [(run.from_us, run.to_us) for run in moved.runs]
    gates = displaced(change.place, rows, spans, moved.cut_us, since)
    place_again(gates, new, at)
    undone = undo_reached([s.row for s in moved.shifts if s.slower or gates], new, at)
    look = set_next if gates or moved.runs or undone else expect  # what waits again is next again
    for row in rows:
        look(row, new)
    _save(rows)
    undone += _follow_elsewhere(gates, rows, at)
    suspected, withdrawn = reassess(chilled(change.place, rows, new, moved.from_us), at)
    turned = rested(change.place, lag_us, lasts) if lag_us else []
    return Reread(gates, undone, suspected, withdrawn, turned)


@dataclass(frozen=True)
class Moved:
    """How a place's clocks move: each shift, the runs that changed, and the cut after which
    every wait stands on air that is still assumed."""

    shifts: Sequence[Shift]
    runs: Sequence[Run]
    cut_us: int

    @property
    def from_us(self) -> int:
        """First instant at which the air is another."""
        return self.runs[0].from_us if self.runs else self.cut_us


def _moved(rows: Sequence[Clock], old: Ages, new: Ages, place: Place) -> Moved:
    """How each clock moves. Where the place had no reading, has none left, has no clock (all have
    moved on), or none since the oldest open stay, every wait that ever stood there is placed
    anew."""
    before, after = old.air(place), new.air(place)
    lasts = (before.last_us, after.last_us)
    if None in lasts or not rows or min(filter(None, lasts)) < new.from_us:
        return Moved(_from_nothing(rows, new, place), (), -NEVER)
    cut_us = min(filter(None, lasts))
    nodes = _nodes(before, after, new.from_us, cut_us)
    shifts = [_shift(row, old, new, nodes) for row in rows]
    return Moved(shifts, _runs(nodes, shifts), cut_us)


def _since(change: Change, stays: QuerySet[Leg]) -> datetime:
    """Where the working span has to begin: the last reading before what is new, if nothing
    later is touched; else the start of the oldest open stay. What was read before that moves
    nothing, however much of it comes."""
    standing = Reading.objects.filter(place=change.place, struck_by__isnull=True)
    news = [*change.added, *change.removed]
    told = [row.at for row in news] + ([change.since] if change.since else [])
    first_new = min(told)
    last = _last_before(change, standing, first_new)
    floats = any(row.floating for row in news)
    same = change.sensing is None and not change.removed and not floats
    in_order = last is not None and first_new > last and same
    # Any one stay will do here: finding the oldest of very many costs more than the reading.
    if last and in_order and (stays.filter(began_at__lte=first_new).exists() or not stays.exists()):
        return last
    oldest = stays.order_by("began_at").values_list("began_at", flat=True).first()
    known = [moment for moment in (first_new, last, oldest) if moment]
    earliest = max(min(known), oldest) if oldest else min(known)
    before = standing.filter(at__lt=earliest).order_by("-at").values_list("at", flat=True).first()
    return before or earliest


def _last_before(
    change: Change, standing: QuerySet[Reading], first_new: datetime
) -> datetime | None:
    """The last reading that counted before the change, whatever of it was added since."""
    fixed = standing.filter(Q(flag=Reading.Flag.NONE) | Q(ruled_right=True), floating=False)
    times = fixed.order_by("-at").values_list("id", "at")
    added = {row.id for row in change.added}
    later = times.filter(at__gte=first_new)
    many = len(added) > MANY_ADDED and not change.removed
    if not many or later.count() > sum(row.certain for row in change.added):
        others = (at for ident, at in later.iterator() if ident not in added)
        newest = next(others, None)
        if newest is not None:
            return newest
    found = times.filter(at__lt=first_new).first()
    return found[1] if found else None


def _airs(change: Change, since: datetime, lag_us: int) -> tuple[PlaceAir, PlaceAir]:
    """The place's air as it was known before the change, and as it is now."""
    place = change.place
    reach = reaching(place, since, REACH * lag_us) if lag_us else since
    sensing, versions = sensing_of(place), versions_of(place)
    added = {row.id for row in change.added}
    earlier = versions if change.earlier is None else change.earlier

    def made(rows: Sequence[Told]) -> tuple[PlaceAir, PlaceAir]:
        kept = [row for row in rows if row.id not in added]
        was = compose([*kept, *change.removed], earlier, change.sensing or sensing)
        return was, compose(rows, versions, sensing)

    was, now = drawn(place, reach, made)
    return was, now


def _nodes(before: PlaceAir, after: PlaceAir, since_us: int, cut_us: int) -> Ints:
    """Every instant up to the cut at which either line has a reading."""
    lines: tuple[Readings, ...] = (before.readings, before.cautious, after.readings, after.cautious)
    every = np.unique(np.concatenate([np.array([since_us, cut_us]), *(r.at_us for r in lines)]))
    return every[(every >= since_us) & (every <= cut_us)]


def _shift(row: Clock, old: Ages, new: Ages, nodes: Ints) -> Shift:
    """How one clock moves, counted from the first node, before which nothing changed."""
    was, now = old.of_row(row), new.of_row(row)
    old_last, new_last = old.air(row.place).last_us, new.air(row.place).last_us
    asked = np.array([nodes[0], old_last, new_last, new.until_us], dtype=np.int64)
    gone, come = (clock.age_at(asked) - clock.age_at(asked[0]) for clock in (was, now))
    legs = np.diff(now.age_at(nodes)) - np.diff(was.age_at(nodes))
    anchor = moment_of(int(asked[2]))
    return Shift(row, anchor, row.age_us - int(gone[1]) + int(come[2]), legs, come[3] < gone[3])


def _from_nothing(rows: Sequence[Clock], new: Ages, place: Place) -> list[Shift]:
    """Clocks of a place that had no reading, or has none left: every wait is placed anew."""
    last_us = new.air(place).last_us
    anchor = place.made_at if last_us is None else moment_of(last_us)
    return [Shift(row, anchor, 0, np.zeros(0, np.int64), True) for row in rows]


def _runs(nodes: Ints, shifts: Sequence[Shift]) -> list[Run]:
    """Runs of neighbouring legs that changed on any clock."""
    changed = np.any([shift.legs_us != 0 for shift in shifts], axis=0)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], changed, [False]]).astype(np.int8)))
    return [
        Run(int(first), int(last), int(nodes[first]), int(nodes[last]))
        for first, last in edges.reshape(-1, 2)
    ]


def _move(shifts: Sequence[Shift], runs: Sequence[Run]) -> None:
    """Set each clock's age at its new anchor; note the constant of each changed run."""
    number = max((shift.row.corrected for shift in shifts), default=0) + 1
    for shift in shifts:
        row = shift.row
        row.age_us, row.read_at = shift.age_us, shift.anchor
        if runs:
            row.corrected = number
            constants = [(run, int(shift.legs_us[run.first : run.last].sum())) for run in runs]
            row.corrections += [[number, run.to_us, us] for run, us in constants if us]
    if any(len(shift.row.corrections) > MANY_CORRECTIONS for shift in shifts):
        fold([shift.row for shift in shifts])


def _follow_elsewhere(gates: Sequence[Gate], rows: Sequence[Clock], at: datetime) -> list[Gate]:
    """Say what is next on clocks of other places, whose gates were placed again since they stood
    here once; what they take back. A clock that a reading of its own place holds is left to that."""
    pks = set().union(*(gate.clock_ids for gate in gates)) - {row.pk for row in rows}
    if not pks:
        return []
    free = Clock.objects.filter(pk__in=pks).select_for_update(of=("self",), skip_locked=True)
    others = list(free.select_related("place__workshop").order_by("pk"))
    if not others:
        return []
    ages = Ages(min(row.read_at for row in others), at)
    undone = undo_reached(others, ages, at)
    for row in others:
        set_next(row, ages)
    Clock.objects.bulk_update(others, ["next_threshold_us", "next_due_at", "rate"])
    return undone


def _save(rows: Sequence[Clock]) -> None:
    """Write the clocks: the only rows a reading in order writes."""
    changed = ["age_us", "read_at", "rate", "corrected", "corrections"]
    Clock.objects.bulk_update(rows, [*changed, "next_threshold_us", "next_due_at"])
