"""Flags on what sensors say: set as readings come, moved as the next ones come, ruled by people."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from operator import attrgetter

import numpy as np
from django.db.models import Avg, Q, QuerySet
from numpy.typing import NDArray

from cureclock.core.doubt import Before, Doubt, doubts
from cureclock.core.units import instant_us
from cureclock.shop.air import Told
from cureclock.shop.models import Event, Reading, Sensor
from cureclock.shop.record import stand

AROUND = 6  # readings on either side that a flag may hang on
STUCK_LOOK_BACK = timedelta(days=4)
SIDES = {-1: Reading.Flag.LOW.value, 0: Reading.Flag.NONE.value, 1: Reading.Flag.HIGH.value}
DOUBTS = {one.value: one.name.lower() if one else "" for one in Doubt}
COLUMNS = Told._fields[:-1]
RULING = "reading_ruled"


@dataclass(frozen=True)
class Judged:
    """Readings with their flags: the new ones, and earlier ones as they were and as they are."""

    fresh: list[Told]
    were: list[Told]
    now: list[Told]


def judge(sensor: Sensor, fresh: Sequence[Told], more: bool) -> Judged:
    """Flag new readings of a sensor by those around them, and those around them by the new.

    Nothing is written. `more`: some are kept already among the new ones.
    """
    first, last = min(row.at for row in fresh), max(row.at for row in fresh)
    standing = _standing(sensor)
    ahead = list(_told(standing.filter(at__lt=first).order_by("-at")[:AROUND], sensor))[::-1]
    ruled = [number for number, row in enumerate(ahead) if row.ruled_right]
    ahead = ahead[ruled[-1] :] if ruled else ahead
    inside = _told(standing.filter(at__range=(first, last)), sensor) if more else []
    behind = _told(standing.filter(at__gt=last).order_by("at")[:AROUND], sensor)
    rows = sorted([*ahead, *inside, *fresh, *behind], key=attrgetter("at", "id"))
    why, side = _flags(rows, _before(standing, ahead, min(fresh, key=attrgetter("at"))))
    if not why.any() and not any(row.flag for row in rows):
        return Judged(list(fresh), [], [])
    new = {row.id for row in fresh}
    kept = {row.id for row in ahead[:1]}  # what it hangs on lies further back
    judged = Judged([], [], [])
    for row, code, at in zip(rows, why.tolist(), side.tolist(), strict=True):
        now = row._replace(doubt=DOUBTS[code], flag=SIDES[at]) if code or row.flag else row
        if row.id in new:
            judged.fresh.append(now)
        elif now != row and row.id not in kept:
            judged.were.append(row)
            judged.now.append(now)
    return judged


def none_doubted(ahead: Sequence[Told], fresh: Sequence[Told]) -> bool:
    """Whether new readings of a sensor, after its last few ones that nobody doubts, are such too;
    not where it says the very same all along: then it is asked for how long."""
    first = ahead[0]
    if len({(row.temp_c, row.rh_pct) for row in (*ahead, fresh[0])}) == 1:
        return False
    before = Before(level_at_us=instant_us(first.at), believed_c=first.temp_c)
    return not _flags([*ahead, *fresh], before)[0].any()


def keep_flags(rows: Sequence[Told]) -> None:
    """Write the flags of readings that are kept already."""
    for doubt, flag in {(row.doubt, row.flag) for row in rows}:
        ids = [row.id for row in rows if (row.doubt, row.flag) == (doubt, flag)]
        Reading.objects.filter(id__in=ids).update(doubt=doubt, flag=flag)


def restate_rulings(sensor: Sensor, rulings: Sequence[Event]) -> None:
    """What people ruled of a sensor's flagged readings, by all that stands of it, in order."""
    doubted = Reading.objects.filter(sensor=sensor).exclude(flag=Reading.Flag.NONE)
    doubted.filter(ruled_by__isnull=False).update(ruled_by=None, ruled_right=None)
    for event in rulings:
        span = Q(at__gte=event.body["since"], at__lte=event.body["until"])
        doubted.filter(span).update(ruled_by=event.id, ruled_right=event.body["right"])


def doubted_between(sensor: Sensor, since: datetime, until: datetime) -> list[Told]:
    """Flagged readings of a sensor within a span, as they count now."""
    doubted = Reading.objects.filter(sensor=sensor, struck_by=None, at__range=(since, until))
    return _told(doubted.exclude(flag=Reading.Flag.NONE), sensor)


def rulings_of(sensor: Sensor) -> list[Event]:
    """The rulings that stand on a sensor, in order."""
    told = Event.objects.filter(kind=RULING, workshop=sensor.place.workshop_id)
    return stand(told.filter(body__sensor=str(sensor.id)))


def _standing(sensor: Sensor) -> QuerySet[Reading]:
    rows = Reading.objects.filter(place=sensor.place_id, sensor=sensor, struck_by__isnull=True)
    return rows.exclude(ruled_right=False)


def _told(rows: QuerySet[Reading], sensor: Sensor) -> list[Told]:
    return [Told._make((*row, sensor.rhythm_s)) for row in rows.values_list(*COLUMNS)]


def _flags(rows: Sequence[Told], before: Before) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
    return doubts(
        np.array([instant_us(row.at) for row in rows], dtype=np.int64),
        np.array([row.temp_c for row in rows]),
        np.array([row.rh_pct for row in rows], dtype=float),
        before,
    )


def _before(standing: QuerySet[Reading], ahead: Sequence[Told], next_one: Told) -> Before:
    """What is known of a sensor before the first of the readings that are looked at."""
    if not ahead:
        return Before()
    first = ahead[0]
    since_us, level_c = _same_since(standing, [*ahead, next_one])
    known: tuple[datetime, float] | None = (first.at, first.temp_c)
    if not first.certain:
        earlier = standing.filter(Q(flag=Reading.Flag.NONE) | Q(ruled_right=True), at__lt=first.at)
        known = earlier.order_by("-at").values_list("at", "temp_c").first()
    doubt = Doubt[first.doubt.upper()] if first.doubt and not first.certain else Doubt.NONE
    if known is None:
        return Before(doubt, since_us, level_c)
    return Before(doubt, since_us, level_c, instant_us(known[0]), known[1])


def _same_since(
    standing: QuerySet[Reading], rows: Sequence[Told]
) -> tuple[int | None, float | None]:
    """Since when a sensor has said the very same, if it has for a while; and its mean before."""
    first = rows[0]
    if len({(row.temp_c, row.rh_pct) for row in rows}) > 1:
        return None, None
    same = Q(temp_c=first.temp_c) & Q(rh_pct=first.rh_pct)
    earlier = standing.filter(at__lt=first.at, at__gte=first.at - STUCK_LOOK_BACK)
    other = earlier.exclude(same).order_by("-at").values_list("at", flat=True).first()
    run = earlier.filter(at__gt=other) if other else earlier
    since = run.order_by("at").values_list("at", flat=True).first()
    if since is None:
        return None, None
    day = standing.filter(at__gte=since - timedelta(days=1), at__lt=since)
    return instant_us(since), day.aggregate(mean=Avg("temp_c"))["mean"]
