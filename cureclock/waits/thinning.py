"""Readings of long ago are thinned where nothing waits on them any more: no due time changes by it.

What is left out is decided by where waits stood and when their last figure was passed; then every
estimate is made anew from what is left, and unless all that still counts is the same, to the
microsecond, nothing is left out at all.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from cureclock.shop.models import Event, Place, Reading, Workshop
from cureclock.waits.ages import Ages
from cureclock.waits.figures import Instants, figures_of
from cureclock.waits.models import Clock, Gate, Leg, Seen, Wait
from cureclock.waits.rebuild import Row, estimates, rebuild

# Around all that waited. Thick wood remembers 16 days, the line of air is drawn from 4 before, a
# lathe's answer looks back 14, and wood in store 28; our choice of more than all of them.
MARGIN = timedelta(days=45)
LEAST = timedelta(days=80)  # younger readings are never left out; our choice
AT_ONCE = 5000
Span = tuple[datetime, datetime | None]


class NotTheSame(Exception):
    """Something that still counts would have changed; nothing was left out."""


def thin(workshop: Workshop, before: datetime, at: datetime) -> int:
    """Leave out readings older than `before` that nothing waits on; how many.

    Of plain ones one an hour stays, and each day's lowest and highest; what was typed, doubted,
    ruled upon or struck out stays whole.

    Raises:
        NotTheSame: what still counts would not have been the same; all is as it was.
    """
    with transaction.atomic():
        list(Clock.objects.filter(workshop=workshop).select_for_update().order_by("pk"))
        told = set(_standing(workshop))
        spans = _spans(workshop, at)
        before = min(before, at - LEAST)
        taken = sum(
            _thin_place(place, spans.get(place.id, ()), before)
            for place in Place.objects.filter(workshop=workshop)
        )
        if not taken:
            return 0
        marks = list(
            Gate.objects.filter(workshop=workshop).values_list("id", "state", "reached_at")
        )
        rebuild(workshop, at)
        _mark_again(marks)
        other = told ^ set(_standing(workshop))
        if other:
            raise NotTheSame(sorted(map(str, other))[0])
    return taken


def _standing(workshop: Workshop) -> Iterator[Row]:
    """Every estimate; of a figure that was passed only that it was."""
    for row in estimates(workshop):
        passed = row[0] == "threshold" and row[-1] <= 0
        yield (*row[:-1], "passed") if passed else row


def _spans(workshop: Workshop, at: datetime) -> dict[UUID, list[Span]]:
    """From when to when each place's air is read by something; an open end is None."""
    ends, checked = _ends(workshop, at), _checked(workshop)
    legs = Leg.objects.filter(wait__workshop=workshop).select_related("wait")
    spans: dict[UUID, list[Span]] = {}
    for leg in legs:
        end = leg.ended_at or ends.get(leg.wait_id)
        seen_at = checked.get(leg.wait.glue_up_id or leg.wait.coat_id)
        if end is not None and leg.ended_at is None and seen_at is not None:
            end = max(end, seen_at)
        spans.setdefault(leg.place_id, []).append(_wide(leg.began_at, end))
    moves = Event.objects.filter(workshop=workshop, kind="moved_place", place__isnull=False)
    been = {*spans, *moves.values_list("place_id", flat=True)}
    began = list(Wait.objects.filter(workshop=workshop).values_list("began_at", flat=True))
    for place in been:  # wood may have come from there to where it waits
        spans.setdefault(place, []).extend(_wide(one, one) for one in began)
    return {place: _joined(own) for place, own in spans.items()}


def _wide(began: datetime, ended: datetime | None) -> Span:
    return (began - MARGIN, None if ended is None else ended + MARGIN)


def _checked(workshop: Workshop) -> dict[UUID | None, datetime]:
    """When each glue-up and coat was looked at last: what was seen counts from its start to then."""
    found: dict[UUID | None, datetime] = {}
    for one in Seen.objects.filter(workshop=workshop):
        about = one.glue_up_id or one.coat_id
        found[about] = max(one.at, found.get(about, one.at))
    return found


def _ends(workshop: Workshop, at: datetime) -> dict[UUID, datetime]:
    """When the last figure of each open wait was passed; those that still wait are not in it."""
    gates = list(Gate.objects.with_clocks().filter(workshop=workshop, wait__open=True))
    if not gates:
        return {}
    times = figures_of(gates, Ages(min(gate.stay_at for gate in gates), at))
    ends: dict[UUID, datetime] = {}
    for gate in gates:
        last = _last(times[gate.id], gate)
        known = ends.get(gate.wait_id, gate.began_at)
        ends[gate.wait_id] = (
            datetime.max.replace(tzinfo=at.tzinfo) if last is None else max(last, known)
        )
    return {wait: end for wait, end in ends.items() if end <= at}


def _last(times: Instants, gate: Gate) -> datetime | None:
    """The last of a gate's figures; None while one of them is out of reach."""
    wanted = (
        (gate.bare_us, times.bare),
        (gate.act_us, times.act),
        (gate.warn_us, times.warn),
        (gate.sure_us, times.sure),
    )
    found = [time for threshold, time in wanted if threshold is not None]
    return None if None in found else max((one for one in found if one), default=gate.began_at)


def _joined(spans: Iterable[Span]) -> list[Span]:
    """The same in order, those that touch made one."""
    joined: list[Span] = []
    for began, ended in sorted(spans, key=lambda span: span[0]):
        if joined and (joined[-1][1] is None or began <= joined[-1][1]):
            last = joined[-1][1]
            open_end = last is None or ended is None
            joined[-1] = (joined[-1][0], None if open_end else max(last, ended))  # type: ignore[type-var]
        else:
            joined.append((began, ended))
    return joined


def _thin_place(place: Place, spans: Sequence[Span], before: datetime) -> int:
    """Leave out what may be of one place's readings; how many."""
    rows = Reading.objects.filter(place=place, at__lt=before, mark=Reading.Mark.MEASURED)
    rows = rows.filter(floating=False, flag="", doubt="", struck_by=None, ruled_by=None)
    newest = (
        Reading.objects.filter(place=place).order_by("-at").values_list("pk", flat=True).first()
    )
    gone: list[UUID] = []
    day: list[tuple[UUID, datetime, float]] = []
    starts = [began for began, _ in spans]
    for ident, at, temp_c in rows.order_by("at", "id").values_list("id", "at", "temp_c").iterator():
        if ident == newest or _inside(at, spans, starts):
            continue
        if day and day[-1][1].date() != at.date():
            gone += _spare(day)
            day = []
        day.append((ident, at, temp_c))
    gone += _spare(day)
    for start in range(0, len(gone), AT_ONCE):
        Reading.objects.filter(pk__in=gone[start : start + AT_ONCE]).delete()
    return len(gone)


def _inside(at: datetime, spans: Sequence[Span], starts: Sequence[datetime]) -> bool:
    number = bisect_right(starts, at) - 1
    if number < 0:
        return False
    end = spans[number][1]
    return end is None or at <= end


def _spare(day: Sequence[tuple[UUID, datetime, float]]) -> list[UUID]:
    """Which of a day's readings may go: all but the first of each hour, the lowest, the highest.

    >>> from datetime import UTC
    >>> at = [datetime(2026, 2, 2, 6, minute, tzinfo=UTC) for minute in (0, 20, 40)]
    >>> [one.int for one in _spare([(UUID(int=n), at[n], 4.0 - n) for n in range(3)])]
    [1]
    """
    if not day:
        return []
    hours: dict[int, UUID] = {}
    for ident, at, _ in day:
        hours.setdefault(at.hour, ident)
    lowest, highest = (pick(day, key=lambda one: one[2])[0] for pick in (min, max))
    kept = {*hours.values(), lowest, highest}
    return [ident for ident, _, _ in day if ident not in kept]


def _mark_again(marks: Sequence[tuple[UUID, str, datetime | None]]) -> None:
    """What was seen to be reached stays so: nobody is told twice."""
    known = {ident: (state, reached) for ident, state, reached in marks}
    rows = list(Gate.objects.filter(pk__in=known))
    for row in rows:
        row.state, row.reached_at = known[row.pk]
    Gate.objects.bulk_update(rows, ["state", "reached_at"], batch_size=AT_ONCE)
