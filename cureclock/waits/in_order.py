"""Readings in order of many places at once: their clocks move, by as many questions as for one.

That is what nearly every reading does. Where one does more, it is left to the long way: waits
begun since the last one or that went elsewhere since, gates that are no longer reached, air below
the floor of a film, doubtful readings, wood that lags.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Exists, Max, OuterRef, QuerySet, Subquery

from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.air import Told, compose
from cureclock.shop.airs import Known, known_of
from cureclock.shop.models import Event, Place
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import expect
from cureclock.waits.models import Clock, Gate, Leg, Seen, Suspicion, Wait
from cureclock.waits.replace import age_now
from cureclock.waits.reread import Change
from cureclock.waits.rows import write

PRESSED = ("pressure_on", "clamps_off")
MOVED = ("age_us", "read_at", "rate", "next_due_at")


@dataclass(frozen=True)
class Shelf:
    """One place that was read again: its change, its clocks, and what stands there.

    Attributes:
        waiting: something does.
        since_early: something has since its last reading or earlier.
        left: something has left since, or a coat ended there since.
        floor_c: the highest floor of a film there.
    """

    change: Change
    clocks: Sequence[Clock]
    waiting: bool
    since_early: bool
    left: bool
    floor_c: float | None

    @property
    def cut(self) -> datetime:
        """Its last reading before the change, by its clocks."""
        return self.clocks[0].read_at


def move_in_order(changes: Sequence[Change], at: datetime) -> set[UUID]:
    """Move the clocks of every place that was only read on; the places for which that was all."""
    plain = {change.place.id: change for change in changes if _reads_on(change)}
    if not plain or len({change.place.id for change in changes}) < len(changes):
        return set()
    shelves = _shelves(plain)
    done = {place for place, one in shelves.items() if not one.waiting and not one.clocks}
    quiet = {place: one for place, one in shelves.items() if _is_quiet(one)}
    quiet = _unasked(quiet) if quiet else {}
    known = known_of({one.change.place: one.cut for one in quiet.values()})
    moved: list[Clock] = []
    for place, one in quiet.items():
        rows = _moved(one, known[place], at)
        done |= {place} if rows else set()
        moved.extend(rows)
    write(moved, MOVED)
    return done


def _reads_on(change: Change) -> bool:
    """Whether it only adds readings that nobody doubts."""
    more = change.removed or change.since or change.earlier is not None or change.sensing
    return not more and all(row.certain and not row.floating for row in change.added)


def _shelves(changes: Mapping[UUID, Change]) -> dict[UUID, Shelf]:
    clocks: dict[UUID, list[Clock]] = {}
    for row in _clocks(changes):
        row.place = changes[row.place_id].place
        clocks.setdefault(row.place_id, []).append(row)
    legs = Leg.objects.filter(place=OuterRef("pk"))
    open_legs = legs.filter(wait__open=True)
    left = legs.filter(ended_at__gt=OuterRef("cut"))
    films = Wait.objects.filter(place=OuterRef("pk"), open=True, floor_c__isnull=False)
    cut = Clock.objects.filter(place=OuterRef("pk")).values("read_at")[:1]
    places = Place.objects.filter(id__in=changes).annotate(
        cut=Subquery(cut),
        waiting=Exists(open_legs),
        since_early=Exists(open_legs.filter(began_at__lte=OuterRef("cut"))),
        gone=Exists(left.filter(wait__open=True)),
        coats=Exists(left.filter(wait__open=False, wait__coat__isnull=False)),
        floor_c=Subquery(films.order_by("-floor_c").values("floor_c")[:1]),
    )
    told = places.values_list("id", "waiting", "since_early", "gone", "coats", "floor_c")
    return {
        place: Shelf(changes[place], clocks.get(place, ()), waiting, early, gone or coats, floor_c)
        for place, waiting, early, gone, coats, floor_c in told
    }


def _clocks(places: Collection[UUID]) -> QuerySet[Clock]:
    """The clocks of these places, locked in one order, each with its newest stay and the highest
    thresholds that were reached on it."""
    acts = Gate.objects.filter(act_clock=OuterRef("pk"))
    reached = acts.filter(state=Gate.State.REACHED, hurts=False, act_us__isnull=False)
    sure = Gate.objects.filter(sure_clock=OuterRef("pk"), hurts=True, sure_us__isnull=False)
    sure = sure.filter(state=Gate.State.REACHED)
    rows = Clock.objects.filter(place__in=places).select_for_update(of=("self",)).order_by("pk")
    return rows.annotate(
        newest_stay=Subquery(acts.order_by("-stay_at").values("stay_at")[:1]),
        act_reached_us=Subquery(reached.order_by("-act_us").values("act_us")[:1]),
        sure_reached_us=Subquery(sure.order_by("-sure_us").values("sure_us")[:1]),
    )


def _is_quiet(one: Shelf) -> bool:
    """Whether nothing there but its clocks can be another after the change."""
    if not one.clocks or one.left or (one.waiting and not one.since_early):
        return False
    return all(_runs_on(row, one.cut) for row in one.clocks)


def _runs_on(row: Any, cut: datetime) -> bool:
    """Whether a clock only goes on: air alone moves it, and all of its stays began before."""
    newest = row.newest_stay
    plain = not row.lag_s and not row.way and row.read_at == cut
    return plain and (newest is None or newest <= cut)


def _unasked(shelves: Mapping[UUID, Shelf]) -> dict[UUID, Shelf]:
    """Those about which nothing has to be asked anew: no doubt, test, press or clamp since."""
    workshops = {one.change.place.workshop_id for one in shelves.values()}
    earliest = min(one.cut for one in shelves.values())
    doubts = Suspicion.objects.filter(workshop__in=workshops, wait__open=True, at__gte=earliest)
    seen = Seen.objects.filter(workshop__in=workshops, at__gt=earliest).order_by()
    newest: dict[UUID, datetime] = {}
    for rows in (doubts, seen):
        for workshop, last in (
            rows.values("workshop").annotate(last=Max("at")).values_list("workshop", "last")
        ):
            newest[workshop] = max(last, newest.get(workshop, last))
    acted = _acted(shelves, workshops, earliest)
    return {
        place: one
        for place, one in shelves.items()
        if place not in acted and not _after(newest.get(one.change.place.workshop_id), one.cut)
    }


def _after(newest: datetime | None, cut: datetime) -> bool:
    return newest is not None and newest >= cut


def _acted(
    shelves: Mapping[UUID, Shelf], workshops: Collection[UUID], earliest: datetime
) -> set[UUID]:
    """Places in which a joint was pressed or unclamped since an instant."""
    acts = Event.objects.filter(workshop__in=workshops, kind__in=PRESSED, glue_up__isnull=False)
    glue_ups = set(acts.filter(happened_at__gt=earliest).values_list("glue_up_id", flat=True))
    if not glue_ups:
        return set()
    legs = Leg.objects.filter(place__in=shelves, wait__open=True, wait__glue_up__in=glue_ups)
    return set(legs.order_by().values_list("place_id", flat=True).distinct())


def _moved(one: Shelf, known: Known, at: datetime) -> Sequence[Clock]:
    """The clocks of a place, moved on to its last reading; none where that is not all."""
    added = {row.id for row in one.change.added}
    if not _goes_on(known.rows, added, one.cut) or known.sensing.believed:
        return ()
    place = one.change.place
    air = compose(known.rows, known.versions, known.sensing)
    cut_us, last_us = instant_us(one.cut), int(air.readings.at_us[-1])
    lowest_c = float(air.cautious.temp_c[air.cautious.at_us >= cut_us].min())
    if one.floor_c is not None and one.floor_c > lowest_c:
        return ()
    ages = Ages(one.cut, at, {place.id: air})
    for row in one.clocks:
        began_us, ended_us = ages.of_row(row).age_at([cut_us, last_us])
        row.age_us += int(ended_us - began_us)
        row.read_at = moment_of(last_us)
        if _takes_back(row, ages, at):
            return ()
        expect(row, ages)
    return one.clocks


def _goes_on(rows: Sequence[Told], added: Collection[UUID], cut: datetime) -> bool:
    """Whether what was added is later than all that was read before, and none is doubtful."""
    last = max((row.at for row in rows if row.id not in added), default=None)
    later = all(row.at > cut for row in rows if row.id in added)
    return last == cut and later and all(row.certain and not row.floating for row in rows)


def _takes_back(row: Any, ages: Ages, at: datetime) -> bool:
    """Whether a gate that was reached on a clock may not be any more."""
    if row.stance == Stance.LIKELY:
        return False
    highest = row.sure_reached_us if Stance(row.stance).sure else row.act_reached_us
    slack = sum(max(constant, 0) for _, _, constant in row.corrections)
    return highest is not None and highest > age_now(row, ages, at) - slack
