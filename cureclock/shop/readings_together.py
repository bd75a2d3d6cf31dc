"""What many sensors say at once, kept by as many questions as for one, where each only goes on."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.shop.air import Told
from cureclock.shop.doubting import AROUND, none_doubted
from cureclock.shop.happening import AHEAD
from cureclock.shop.models import Reading, Sensor
from cureclock.shop.readings import (
    CLOSEST,
    ReadingSaid,
    possible,
    take_slot,
    write_rows,
)
from cureclock.shop.refusals import Refusal

RHYTHMS = 2 * AROUND  # of a sensor, that hold the readings a flag may hang on; our choice


def keep_together(
    said: Mapping[Sensor, Sequence[ReadingSaid]], arrived_at: datetime
) -> dict[Sensor, list[Told]]:
    """Append what sensors say that only goes on from what is kept of them: later than all of it,
    possible, and not doubted. Each id is made of the instant, as `id_of` does.

    Of a sensor that is not in the answer nothing is kept: `keep_readings` has more to ask.
    """
    fresh = {
        sensor: rows for sensor, own in said.items() if (rows := _fresh(sensor, own, arrived_at))
    }
    if not fresh:
        return {}
    before = _before(fresh)
    kept = {
        sensor: rows for sensor, rows in fresh.items() if _goes_on(before.get(sensor.id, []), rows)
    }
    by_place: dict[UUID, list[Told]] = {}
    for sensor, rows in kept.items():
        by_place.setdefault(sensor.place_id, []).extend(rows)
    write_rows(by_place, arrived_at)
    return kept


def _fresh(sensor: Sensor, said: Sequence[ReadingSaid], arrived_at: datetime) -> list[Told]:
    """The readings in order of time; none where one of them is to be refused."""
    full: set[int] = set()
    try:
        for one in said:
            possible(one, arrived_at + AHEAD)
            take_slot(full, one.at)
    except Refusal:
        return []
    mark, own = Reading.Mark.MEASURED.value, (sensor.id, sensor.rhythm_s)
    rows = [
        Told(one.id, one.at, one.temp_c, one.rh_pct, mark, "", "", None, False, None, *own)
        for one in said
    ]
    return sorted(rows, key=lambda row: row.at)


def _before(fresh: Mapping[Sensor, Sequence[Told]]) -> dict[UUID, list[tuple[Told, bool]]]:
    """The last readings kept of each sensor and any later ones, in order of time, each with
    whether it stands and nobody ruled on it."""
    back = RHYTHMS * timedelta(seconds=max(sensor.rhythm_s for sensor in fresh))
    since = min(rows[0].at for rows in fresh.values()) - back
    places = {sensor.place_id for sensor in fresh}
    rows = Reading.objects.filter(place__in=places, sensor__in=fresh, at__gte=since)
    found: dict[UUID, list[tuple[Told, bool]]] = {}
    columns = (*Told._fields[:-1], "sensor__rhythm_s", "struck_by")
    for *row, struck in rows.order_by("at", "id").values_list(*columns):
        told = Told._make(row)
        plain = struck is None and not told.flag and told.ruled_right is None
        assert told.sensor_id is not None
        found.setdefault(told.sensor_id, []).append((told, plain))
    return found


def _goes_on(before: Sequence[tuple[Told, bool]], fresh: Sequence[Told]) -> bool:
    """Whether readings follow enough others of their sensor, none of them in doubt."""
    ahead = [told for told, _ in before[-AROUND:]]
    if len(ahead) < AROUND or not all(plain for _, plain in before):
        return False
    return ahead[-1].at < fresh[0].at - CLOSEST and none_doubted(ahead, fresh)
