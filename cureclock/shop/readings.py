"""Keeping readings: every good one once, every bad one reported by itself."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from hashlib import sha256
from operator import attrgetter
from typing import Any, cast
from uuid import UUID

from django.db import connection
from django.db.models import DateTimeField, ForeignKey, UUIDField

from cureclock.core.units import instant_us
from cureclock.shop.air import Told
from cureclock.shop.doubting import judge, keep_flags, restate_rulings, rulings_of
from cureclock.shop.happening import AHEAD
from cureclock.shop.models import Phone, Place, Reading, Sensor
from cureclock.shop.refusals import OtherBody, Refusal

COLDEST_C, HOTTEST_C = -40.0, 80.0  # what a shop thermometer can say; our choice
CLOSEST = timedelta(seconds=10)  # two readings of one sensor that are both kept; our choice
CLOSEST_S = 10
AT_ONCE = 900  # ids in one question
WRITTEN = (
    "id",
    "at",
    "temp_c",
    "rh_pct",
    "mark",
    "flag",
    "doubt",
    "floating",
    "told_at",
    "sensor",
)


@dataclass(frozen=True)
class ReadingSaid:
    """One reading as told: its id, when, how warm, how damp."""

    id: UUID
    at: datetime
    temp_c: float
    rh_pct: float | None = None


def id_of(sensor: UUID, at: datetime) -> UUID:
    """The id of a sensor's reading that came without one: an instant, told twice, is one reading.

    It begins with the time (RFC 9562, version 8), so that rows in order of time are near each
    other in the index of ids: with ids that scatter, half of an import goes into that index.
    """
    ms, rest_us = divmod(instant_us(at), 1000)
    return UUID(int=ms << 80 | 8 << 76 | rest_us << 64 | 2 << 62 | _own_bits(sensor))


@lru_cache(maxsize=1024)
def _own_bits(sensor: UUID) -> int:
    """62 bits that are a sensor's own."""
    return int.from_bytes(sha256(sensor.bytes).digest()[:8]) >> 2


@dataclass(frozen=True)
class RefusedRow:
    """A row that was not kept: its number in the batch, and why."""

    row: int
    why: Refusal


@dataclass(frozen=True)
class Kept:
    """What became of a batch: rows kept now, how many were known, which were refused.

    Attributes:
        were, now: readings kept before that the new ones threw doubt on, or freed of it.
    """

    rows: list[Told]
    known: int
    refused: list[RefusedRow]
    were: list[Told] = field(default_factory=list)
    now: list[Told] = field(default_factory=list)

    @property
    def new(self) -> int:
        """How many were kept now."""
        return len(self.rows)


def keep_readings(
    place: Place,
    said: Sequence[ReadingSaid],
    arrived_at: datetime,
    *,
    mark: Reading.Mark,
    sensor: Sensor | None = None,
    phone: Phone | None = None,
    told_at: datetime | None = None,
    ids_of_instants: bool = False,
) -> Kept:
    """Append readings: the good ones at once, the others reported row by row."""
    near = _near(sensor, said) if sensor else {}
    others = [] if ids_of_instants else [one.id for one in said if one.id not in near]
    before = {**_known(others), **near}
    full = {_slot(body[1]) for body in near.values()}
    rows: dict[UUID, Told] = {}
    known, refused = 0, []
    latest, value, floats = arrived_at + AHEAD, mark.value, told_at is not None
    own = (floats, told_at, *((sensor.id, sensor.rhythm_s) if sensor else (None, None)))
    for number, one in enumerate(said):
        try:
            possible(one, latest)
            body = (place.id, one.at, one.temp_c, one.rh_pct)
            if one.id in before:
                _same(before[one.id], body)
                known += 1
                continue
            if sensor:
                take_slot(full, one.at)
            before[one.id] = body
            rows[one.id] = Told(one.id, *body[1:], value, "", "", None, *own)
        except Refusal as why:
            refused.append(RefusedRow(number, why))
    fresh = list(rows.values())
    if not fresh or sensor is None:
        write_rows({place.id: fresh}, arrived_at, phone)
        return Kept(fresh, known, refused)
    judged = judge(sensor, fresh, bool(near))
    write_rows({place.id: judged.fresh}, arrived_at, phone)
    keep_flags(judged.now)
    if any(row.flag for row in (*judged.fresh, *judged.now)):
        restate_rulings(sensor, rulings_of(sensor))
    return Kept(judged.fresh, known, refused, judged.were, judged.now)


Body = tuple[UUID, datetime, float, float | None]
BODY = ("id", "place_id", "at", "temp_c", "rh_pct")


def _known(ids: Sequence[UUID]) -> dict[UUID, Body]:
    """Readings of these ids that are kept already."""
    found: dict[UUID, Body] = {}
    for start in range(0, len(ids), AT_ONCE):
        rows = Reading.objects.filter(id__in=ids[start : start + AT_ONCE])
        found.update((row[0], row[1:]) for row in rows.values_list(*BODY))
    return found


def _near(sensor: Sensor, said: Sequence[ReadingSaid]) -> dict[UUID, Body]:
    """What is kept of a sensor among what it says now, and so near to it as matters."""
    times = [one.at for one in said if one.at.tzinfo is not None]
    if not times:
        return {}
    span = (min(times) - CLOSEST, max(times) + CLOSEST)
    rows = Reading.objects.filter(place=sensor.place_id, sensor=sensor, at__range=span)
    return {row[0]: row[1:] for row in rows.values_list(*BODY)}


def _slot(at: datetime) -> int:
    return int(at.timestamp()) // CLOSEST_S


def take_slot(full: set[int], at: datetime) -> None:
    """A broken sensor floods: one reading in ten seconds is kept, whatever it sends."""
    slot = _slot(at)
    if slot in full:
        wrong = "another reading of this sensor within ten seconds is kept"
        raise Refusal("at", wrong, "send one in ten seconds or fewer", "flood")
    full.add(slot)


def write_rows(
    rows: Mapping[UUID, Sequence[Told]], arrived_at: datetime, phone: Phone | None = None
) -> None:
    """Readings by place. One statement for any number: ten times quicker than a model for each."""
    told_once = {"phone": phone.id if phone else None, "arrived_at": arrived_at}
    columns = (*WRITTEN, "place", *told_once)
    written = {name: cast(Any, Reading._meta.get_field(name)) for name in columns}
    ready = [_ready(written[name]) for name in WRITTEN]
    same = [_ready(written[name])(value) for name, value in told_once.items()]
    as_place = _ready(written["place"])
    values = [
        [*(make(value) for make, value in zip(ready, _values(row), strict=True)), here, *same]
        for place, own in rows.items()
        for here in [as_place(place)]
        for row in own
    ]
    names = ", ".join(connection.ops.quote_name(one.column) for one in written.values())
    marks = ", ".join(["%s"] * len(written))
    table = connection.ops.quote_name(Reading._meta.db_table)
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {table} ({names}) VALUES ({marks})", values)


_values = attrgetter(*("sensor_id" if name == "sensor" else name for name in WRITTEN))


def _ready(field: Any) -> Callable[[Any], Any]:
    """What makes a value of this field fit for the records."""
    if isinstance(field, DateTimeField):
        return _as_is if connection.vendor == "postgresql" else _plain_utc
    if isinstance(field, UUIDField | ForeignKey) and not connection.features.has_native_uuid_field:
        return _hex
    return _as_is


def _plain_utc(value: datetime | None) -> str | None:
    """As these records keep an instant."""
    return None if value is None else str(value.astimezone(UTC).replace(tzinfo=None))


def _hex(value: UUID | None) -> str | None:
    return None if value is None else value.hex


def _as_is(value: Any) -> Any:
    return value


def possible(one: ReadingSaid, latest: datetime) -> None:
    """Refuse what no thermometer says, and what is not yet."""
    if one.at.tzinfo is None:
        raise Refusal("at", "the time has no zone", "send it with its offset from UTC")
    if one.at > latest:
        wrong = f"{one.at.isoformat()} is in the future"
        raise Refusal("at", wrong, "correct the time", "future")
    if not COLDEST_C <= one.temp_c <= HOTTEST_C:
        mend = f"give a temperature from {COLDEST_C:g} to {HOTTEST_C:g} °C"
        raise Refusal("temp_c", f"{one.temp_c:g} °C cannot be", mend)
    if one.rh_pct is not None and not 0 <= one.rh_pct <= 100:
        raise Refusal("rh_pct", f"{one.rh_pct:g} % cannot be", "give a humidity from 0 to 100 %")


def _same(earlier: Body, told: Body) -> None:
    if earlier != told:
        raise OtherBody
