"""What was told or learned of a place's air: whom it believes, how it cools, its heater."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.units import HOUR_US, instant_us, moment_of
from cureclock.shop.air import versions_of
from cureclock.shop.models import AirVersion, Place, Sensor, Workshop
from cureclock.shop.sensing import sensing_in
from cureclock.waits.shown import Thing


@dataclass(frozen=True)
class PlaceToldShown:
    """A place and what is in force of it.

    Attributes:
        believed: the one sensor it believes; none: all of them.
        half_gap_from: `typed`, `learned` from so many `nights`, or `assumed`.
    """

    id: UUID
    name: str
    believed: Thing | None
    half_gap_h: float
    half_gap_from: str
    nights: int
    outside_low_c: float | None
    heater_off: bool
    heater_on_at: datetime | None


def places_told(workshop: Workshop, at: datetime) -> tuple[PlaceToldShown, ...]:
    """Every place."""
    rows = Place.objects.select_related("workshop").filter(workshop=workshop)
    places = list(rows.order_by("made_at", "id"))
    alone = {place: said.alone(instant_us(at)) for place, said in sensing_in(places).items()}
    sensors = Sensor.objects.in_bulk({one for one in alone.values() if one is not None})
    believed = {place: sensors.get(one) for place, one in alone.items() if one is not None}
    return tuple(_told(one, believed.get(one.id)) for one in places)


def _told(place: Place, believed: Sensor | None) -> PlaceToldShown:
    expected = versions_of(place)[-1]
    rows = AirVersion.objects.filter(place=place, struck_by=None)
    typed = rows.filter(half_gap_h__isnull=False).exists()
    learned = rows.filter(learned_half_gap_h__isnull=False).order_by("since", "id").last()
    source = "typed" if typed else "learned" if learned else "assumed"
    on_us = expected.heater_on_us
    return PlaceToldShown(
        id=place.id,
        name=place.name,
        believed=Thing(believed.id, believed.name) if believed else None,
        half_gap_h=round(expected.half_gap_us / HOUR_US, 2),
        half_gap_from=source,
        nights=learned.learned_nights if learned and source == "learned" else 0,
        outside_low_c=expected.outside_low_c,
        heater_off=expected.heater_off,
        heater_on_at=None if on_us is None else moment_of(on_us),
    )
