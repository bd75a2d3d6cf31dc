"""Somebody says what a place's air will do: its day, the low outside, the heater."""

import re
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import Refused, within
from cureclock.shop.air import versions_of
from cureclock.shop.half_gap import learned_half_gap
from cureclock.shop.happening import Happening
from cureclock.shop.making import say_air
from cureclock.shop.record import append
from cureclock.waits.reread import Change

CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


@dataclass(frozen=True)
class DayPoint:
    """Air at a time of the local day, "HH:MM"."""

    clock: str
    temp_c: float
    rh_pct: float | None = None

    def __post_init__(self) -> None:
        if not CLOCK.fullmatch(self.clock):
            raise Refused("clock", self.clock, "a time of day like 07:30")
        within("expected temperature", self.temp_c, -40, 60, "degC")
        if self.rh_pct is not None:
            within("expected humidity", self.rh_pct, 0, 100, "%")


@dataclass(frozen=True)
class AirExpected:
    """What is said of a place's air; what is left out still holds as before."""

    place: UUID
    day: tuple[DayPoint, ...] | None = None  # an empty one: typed air holds no more
    outside_low_c: float | None = None
    half_gap_h: float | None = None
    heater_off: bool | None = None
    heater_on_at: datetime | None = None

    def __post_init__(self) -> None:
        for point in self.day or ():
            if [other.clock for other in self.day or ()].count(point.clock) > 1:
                raise Refused("day", point.clock, "each time of the day once")
        if self.outside_low_c is not None:
            within("outside low", self.outside_low_c, -40, 50, "degC")
        if self.half_gap_h is not None:
            within("half-gap time", self.half_gap_h, 1 / 6, 48, "h")


@verb("air_expected", AirExpected)
def air_expected(happening: Happening, said: AirExpected) -> Done:
    """Waits begun since the last reading, and all that is foretold, follow what is expected."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        place = find.place(workshop, said.place)
        earlier = versions_of(place)
        event, new = append(happening, "air_expected", plain(said), place=place)
        if new:
            goes_off = said.heater_off and said.half_gap_h is None
            say_air(place, event, said, learned_half_gap(place, happening.at) if goes_off else None)
            change = Change(place, earlier=earlier, since=happening.at)
            follow(workshop, happening.arrived_at, changes=[change])
    return Done(event.id, new)
