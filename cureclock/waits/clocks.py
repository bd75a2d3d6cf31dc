"""The clock rows: corrected thresholds, what is next on each, and when it is expected."""

from collections.abc import Mapping, Sequence
from datetime import datetime

import numpy as np
from django.db.models import F, Q, QuerySet
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.models import Clock, Gate
from cureclock.waits.standing import THRESHOLDS, lowest, standing

Ints = NDArray[np.int64]

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


def set_next(row: Clock, ages: Ages) -> None:
    """Find a clock's next threshold and when it is expected; the row is not saved."""
    row.next_threshold_us = next_thresholds([row])[row.pk]
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


def next_thresholds(rows: Sequence[Clock]) -> dict[int, int | None]:
    """The lowest effective threshold that can still fire on each clock, by its key."""
    found = lowest([row.pk for row in rows])
    corrected = [row for row in rows if row.corrections and found.get(row.pk)]
    return {
        **{row.pk: min(found.get(row.pk, ()), default=None) for row in rows},
        **_lowest_corrected(corrected, found),
    }


def _lowest_corrected(
    rows: Sequence[Clock], stored: Mapping[int, Sequence[int]]
) -> dict[int, int | None]:
    """The same of clocks with corrections.

    Gates are asked for that stand so near the lowest stored one of their clock that corrections
    may bring them below it; the others stand higher whatever is added to them.
    """
    known = {row.pk: row for row in rows}
    reach = [
        (row.pk, min(stored[row.pk]) + sum(abs(constant) for _, _, constant in row.corrections))
        for row in rows
    ]
    found: dict[int, list[int]] = {row.pk: [] for row in rows}
    for threshold in THRESHOLDS:
        for gate in standing(threshold, reach):
            row = known[gate.clock]
            found[row.pk].append(effective(row, gate.threshold, gate.placed, gate.stay_at))
    return {pk: min(thresholds, default=None) for pk, thresholds in found.items()}


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
