"""The clock rows: corrected thresholds, what is next on each, and when it is expected."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from django.db.models import F, Min, Q, QuerySet
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.models import Clock, Gate

Ints = NDArray[np.int64]

PENDING = (Gate.State.WAITING, Gate.State.WARNED)
MANY_CORRECTIONS = 8  # then they are folded into the gates


def locked(place: Place) -> QuerySet[Clock]:
    """The clocks of a place, for nobody else to move meanwhile.

    In one order, and they alone: two readings at once wait for one another and never in a circle.
    """
    return Clock.objects.filter(place=place).select_for_update(of=("self",)).order_by("pk")


def effective(row: Clock, threshold_us: int, placed: int, stay: datetime) -> int:
    """A stored threshold with the constants of the corrections made since it was placed."""
    if not row.corrections:
        return threshold_us
    stay_us = instant_us(stay)
    return threshold_us + sum(
        int(constant)
        for number, from_us, constant in row.corrections
        if number > placed and from_us <= stay_us
    )


def acting(row: Clock) -> QuerySet[Gate]:
    """Gates that can still fire on the act threshold of this clock."""
    return Gate.objects.filter(act_clock=row, hurts=False, state__in=PENDING)


def warning(row: Clock) -> QuerySet[Gate]:
    """Closing gates that have not been warned of on this clock."""
    return Gate.objects.filter(act_clock=row, opens=False, state=Gate.State.WAITING)


def assuring(row: Clock) -> QuerySet[Gate]:
    """Gates that can hurt and are not yet sure on this clock."""
    return Gate.objects.filter(sure_clock=row, hurts=True, state=Gate.State.WAITING)


def due(row: Clock, age_us: int) -> list[tuple[Gate, str]]:
    """Gates whose threshold the clock has passed at an age, with the figure that fires."""
    slack = sum(max(-constant, 0) for _, _, constant in row.corrections)
    found: list[tuple[Gate, str]] = []
    for gates, column in _columns(row):
        near = gates.filter(**{f"{column}__lte": age_us + slack}).select_related("wait")
        for gate in near.order_by(column):
            if effective(row, getattr(gate, column), gate.placed, gate.stay_at) <= age_us:
                found.append((gate, column))
    return found


def set_next(row: Clock, ages: Ages) -> None:
    """Find a clock's next threshold and when it is expected; the row is not saved."""
    row.next_threshold_us = _next_threshold(row)
    expect(row, ages)


def expect(row: Clock, ages: Ages) -> None:
    """The clock's rate now, and when its next threshold is expected; the row is not saved."""
    clock = ages.of_row(row)
    row.rate = clock.rate_at(instant_us(row.read_at))
    row.next_due_at = None
    if row.next_threshold_us is not None:
        found = int(instants(row, np.array([row.next_threshold_us]), ages)[0])
        row.next_due_at = None if found == NEVER else moment_of(found)


def instants(row: Clock, thresholds_us: Ints, ages: Ages) -> Ints:
    """When a clock passes thresholds [us], by the facts and then by the expected air."""
    clock = ages.of_row(row)
    offset = int(clock.age_at(instant_us(row.read_at))) - row.age_us
    return clock.earliest(thresholds_us + offset)


def _columns(row: Clock) -> Sequence[tuple[QuerySet[Gate], str]]:
    """The gates that can fire on a clock, with the threshold that counts for each."""
    if Stance(row.stance).sure:
        return ((assuring(row), "sure_us"),)
    if row.stance == Stance.QUICK:
        return ((warning(row), "warn_us"), (acting(row), "act_us"))
    return ((acting(row), "act_us"),)


def _next_threshold(row: Clock) -> int | None:
    """The lowest effective threshold that can still fire on a clock."""
    lowest: list[int] = []
    spread = sum(abs(constant) for _, _, constant in row.corrections)
    for gates, column in _columns(row):
        least = gates.aggregate(least=Min(column))["least"]
        if least is None:
            continue
        if not row.corrections:
            lowest.append(least)
            continue
        near = gates.filter(**{f"{column}__lte": least + spread})
        lowest.extend(
            effective(row, threshold, placed, stay)
            for threshold, placed, stay in near.values_list(column, "placed", "stay_at")
        )
    return min(lowest, default=None)


def fold(rows: Sequence[Clock]) -> None:
    """Write a place's corrections into its gates, and empty the lists of its clocks."""
    for row in rows:
        for number, from_us, constant in row.corrections:
            since = Q(placed__lt=number, stay_at__gte=moment_of(from_us))
            Gate.objects.filter(since, bare_clock=row).update(bare_us=F("bare_us") + constant)
            Gate.objects.filter(since, act_clock=row).update(
                act_us=F("act_us") + constant, warn_us=F("warn_us") + constant
            )
            Gate.objects.filter(since, sure_clock=row).update(sure_us=F("sure_us") + constant)
        row.corrections = []
    newest = max((row.corrected for row in rows), default=0)
    Gate.objects.filter(act_clock__in=rows).update(placed=newest)
