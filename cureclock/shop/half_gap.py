"""The half-gap time of a place, learned from the nights of which is known that the heater was off."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from django.db.models import Q

from cureclock.core.night import HalfGap, learn_half_gap
from cureclock.core.refusal import Refused
from cureclock.shop.models import AirVersion, Place, Reading

BACK = timedelta(days=30)  # nights that are learned from; a shed gets draughty or is mended
LONGEST = timedelta(hours=14)  # of a night; then the sun helps


@dataclass(frozen=True)
class Night:
    """From when to when the heater was off, and the low outside."""

    began: datetime
    ended: datetime
    outside_c: float


def learned_half_gap(place: Place, at: datetime) -> HalfGap | None:
    """What the nights before an instant teach; None where none of them says anything."""
    which, hours, temps, outside = [], [], [], []
    for number, night in enumerate(_nights(place, at)):
        certain = Q(flag=Reading.Flag.NONE) | Q(ruled_right=True)
        rows = Reading.objects.filter(certain, place=place, struck_by=None, floating=False)
        span = (night.began, night.ended)
        for read_at, temp_c in rows.filter(at__range=span).values_list("at", "temp_c"):
            which.append(number)
            hours.append((read_at - night.began) / timedelta(hours=1))
            temps.append(temp_c)
            outside.append(night.outside_c)
    try:
        return learn_half_gap(np.array(which), np.array(hours), np.array(temps), np.array(outside))
    except Refused:
        return None


def _nights(place: Place, at: datetime) -> Iterator[Night]:
    """Nights that are over: the heater said to be off, the low outside known."""
    said = AirVersion.objects.filter(place=place, struck_by=None, since__gt=at - BACK, since__lt=at)
    began, outside_c = None, None
    for row in said.order_by("since", "id"):
        if began is not None and outside_c is not None and row.heater_off is not None:
            yield Night(began, min(row.since, began + LONGEST), outside_c)
        outside_c = row.outside_low_c if row.outside_low_c is not None else outside_c
        if row.heater_off is not None:
            began = row.since if row.heater_off else None
    if began is not None and outside_c is not None and began + LONGEST <= at:
        yield Night(began, began + LONGEST, outside_c)
