"""Readings of a place's air arrive: one by hand, or many from a sensor."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, verb
from cureclock.shop.air import Told
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Place, Reading, Sensor
from cureclock.shop.readings import Kept, ReadingSaid, keep_readings
from cureclock.shop.readings_together import keep_together
from cureclock.shop.sensor_faults import note_refused
from cureclock.waits.reread import Change


@dataclass(frozen=True)
class ReadingTaken:
    """What the thermometer says, and the hygrometer if there is one."""

    place: UUID
    temp_c: float
    rh_pct: float | None = None


@verb("reading_taken", ReadingTaken)
def reading_taken(happening: Happening, said: ReadingTaken) -> Done:
    """One reading by hand, now or a while ago."""
    place = find.place(happening.told_by.workshop, said.place)
    row = ReadingSaid(happening.id, happening.at, said.temp_c, said.rh_pct)
    kept = readings_taken(happening.told_by, place, [row], happening.arrived_at)
    if kept.refused:
        raise kept.refused[0].why
    return Done(happening.id, kept.new > 0)


def readings_together(
    teller: Teller, said: Mapping[Sensor, Sequence[ReadingSaid]], arrived_at: datetime
) -> set[Sensor]:
    """Keep what many sensors of one workshop say where each only goes on from what it said, and
    move the clocks of all their places at once; the sensors of which that was so.

    By as many questions as for one of them. Each id is made of the sensor's own and the instant.
    """
    teller.must_record()
    with transaction.atomic():
        kept = keep_together(said, arrived_at)
        places = {sensor.place_id: sensor.place for sensor in kept}
        added: dict[UUID, list[Told]] = {}
        for sensor, rows in kept.items():
            added.setdefault(sensor.place_id, []).extend(rows)
        changes = [Change(places[place], added=rows) for place, rows in added.items()]
        if changes:
            follow(teller.workshop, arrived_at, changes=changes, why="colder")
    return set(kept)


def readings_taken(
    teller: Teller,
    place: Place,
    rows: Sequence[ReadingSaid],
    arrived_at: datetime,
    sensor: Sensor | None = None,
    *,
    ids_of_instants: bool = False,
) -> Kept:
    """Keep every good reading, report every bad one, and move the place's clocks once.

    `ids_of_instants`: each id is made of the sensor's own and the instant, as `id_of` does.
    """
    teller.must_record()
    with transaction.atomic():
        mark = Reading.Mark.MEASURED if sensor else Reading.Mark.TYPED
        kept = keep_readings(
            place,
            rows,
            arrived_at,
            mark=mark,
            sensor=sensor,
            phone=teller.phone,
            ids_of_instants=ids_of_instants,
        )
        if sensor:
            note_refused(sensor, [one.why for one in kept.refused], arrived_at)
        if kept.rows:
            change = Change(place, added=[*kept.rows, *kept.now], removed=kept.were)
            follow(place.workshop, arrived_at, changes=[change], why="colder")
    return kept
