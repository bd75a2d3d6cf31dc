"""Keeping readings: every good one once, every bad one reported by itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.shop.happening import AHEAD
from cureclock.shop.models import Phone, Place, Reading, Sensor
from cureclock.shop.refusals import OtherBody, Refusal

COLDEST_C, HOTTEST_C = -40.0, 80.0  # what a shop thermometer can say; our choice


@dataclass(frozen=True)
class ReadingSaid:
    """One reading as told: its id, when, how warm, how damp."""

    id: UUID
    at: datetime
    temp_c: float
    rh_pct: float | None = None


@dataclass(frozen=True)
class RefusedRow:
    """A row that was not kept: its number in the batch, and why."""

    row: int
    why: Refusal


@dataclass(frozen=True)
class Kept:
    """What became of a batch: rows kept now, how many were known, which were refused."""

    rows: list[Reading]
    known: int
    refused: list[RefusedRow]

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
) -> Kept:
    """Append readings: the good ones at once, the others reported row by row."""
    before = Reading.objects.in_bulk([one.id for one in said])
    rows: dict[UUID, Reading] = {}
    known, refused = 0, []
    for number, one in enumerate(said):
        try:
            _possible(one, arrived_at)
            earlier = before.get(one.id) or rows.get(one.id)
            if earlier is None:
                rows[one.id] = Reading(
                    id=one.id,
                    place=place,
                    sensor=sensor,
                    phone=phone,
                    at=one.at,
                    arrived_at=arrived_at,
                    told_at=told_at,
                    temp_c=one.temp_c,
                    rh_pct=one.rh_pct,
                    mark=mark,
                    floating=told_at is not None,
                )
            else:
                _same(earlier, one, place)
                known += 1
        except Refusal as why:
            refused.append(RefusedRow(number, why))
    Reading.objects.bulk_create(rows.values())
    return Kept(list(rows.values()), known, refused)


def _possible(one: ReadingSaid, arrived_at: datetime) -> None:
    if one.at.tzinfo is None:
        raise Refusal("at", "the time has no zone", "send it with its offset from UTC")
    if one.at > arrived_at + AHEAD:
        raise Refusal("at", f"{one.at.isoformat()} is in the future", "correct the time")
    if not COLDEST_C <= one.temp_c <= HOTTEST_C:
        mend = f"give a temperature from {COLDEST_C:g} to {HOTTEST_C:g} °C"
        raise Refusal("temp_c", f"{one.temp_c:g} °C cannot be", mend)
    if one.rh_pct is not None and not 0 <= one.rh_pct <= 100:
        raise Refusal("rh_pct", f"{one.rh_pct:g} % cannot be", "give a humidity from 0 to 100 %")


def _same(earlier: Reading, one: ReadingSaid, place: Place) -> None:
    told = (earlier.place_id, earlier.at, earlier.temp_c, earlier.rh_pct)
    if told != (place.id, one.at, one.temp_c, one.rh_pct):
        raise OtherBody
