"""A place's readings and expectations as the core reads them: facts in, arrays out."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, NamedTuple
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np

from cureclock.core.expected import DAYS_BACK, Expected, coldest_us
from cureclock.core.timeline import Air, Readings, build_air, level_air
from cureclock.core.units import DAY_US, HOUR_US, SECOND_US, hours_us, instant_us, moment_of
from cureclock.shop.models import AirVersion, Place, Reading
from cureclock.shop.sensing import Sensing, sensing_of

LOOK_BACK = timedelta(days=4)  # readings before a span that its legs may depend on


@dataclass(frozen=True)
class PlaceAir:
    """What is known of one place's air over a span, ready for the core.

    Attributes:
        readings: those that count for ordinary figures.
        cautious: the same with flagged low ones, which count for gates that can hurt.
        versions: what was expected, oldest first, at least one.
    """

    readings: Readings
    cautious: Readings
    versions: tuple[Expected, ...]

    @property
    def last_us(self) -> int | None:
        """The newest ordinary reading [us], None before any."""
        return int(self.readings.at_us[-1]) if len(self.readings) else None

    def line(
        self,
        from_us: int,
        until_us: int,
        label_temp_c: float,
        *,
        cautious: bool = False,
        colder_gaps: bool = False,
    ) -> Air:
        """The line of air over a span; with no reading at all the label temperature, assumed."""
        chosen = self.cautious if cautious else self.readings
        if not len(chosen):
            return level_air(label_temp_c, from_us, until_us)
        return build_air(chosen, self.versions, from_us, until_us, colder_gaps=colder_gaps)


def place_air(place: Place, since: datetime | None) -> PlaceAir:
    """Everything known of a place's air from a little before `since` (all of it, for None).

    In a place that fell silent before, what is expected since is drawn from the days before its
    last reading: then it reaches a little before that.
    """
    versions, sensing = versions_of(place), sensing_of(place)
    (air,) = drawn(place, since, lambda rows: (compose(rows, versions, sensing),))
    return air


def drawn(
    place: Place,
    since: datetime | None,
    made: Callable[[Sequence["Told"]], tuple[PlaceAir, ...]],
) -> tuple[PlaceAir, ...]:
    """What is made of a place's readings from a little before `since`, or from as long before as
    the air at that instant is drawn from."""
    rows = rows_since(place, since)
    airs = made(rows)
    while since is not None and rows and rows[0].at < since - LOOK_BACK:  # there may be older ones
        wanted = (_drawn_from(air, since, rows[0].at) for air in airs)
        earlier = min((one for one in wanted if one is not None), default=None)
        if earlier is None:
            break
        more = rows_since(place, earlier)
        if len(more) == len(rows):
            break
        rows, since = more, earlier
        airs = made(rows)
    return airs


def _drawn_from(air: PlaceAir, since: datetime, first: datetime) -> datetime | None:
    """From when on readings are wanted as well, that the air at an instant may be drawn from;
    None if all of them are there."""
    wanted = []
    for read in (air.readings, air.cautious):
        before = read.before(instant_us(since))
        if not len(before):
            wanted.append(first)
        elif before.at_us[-1] - before.at_us[0] < DAYS_BACK * DAY_US:
            wanted.append(moment_of(int(before.at_us[-1])))
    return min(wanted, default=None)


class Told(NamedTuple):
    """One reading as it is counted; of thousands of rows no model is made."""

    id: UUID
    at: datetime
    temp_c: float
    rh_pct: float | None
    mark: int
    flag: str
    doubt: str
    ruled_right: bool | None
    floating: bool
    told_at: datetime | None
    sensor_id: UUID | None
    rhythm_s: int | None

    @property
    def certain(self) -> bool:
        """It was never doubted, or a person ruled that it is right."""
        return not self.flag or self.ruled_right is True

    @property
    def cautious(self) -> bool:
        """It counts for what can hurt: certain, or low and not ruled upon."""
        return self.certain or (self.flag == Reading.Flag.LOW and self.ruled_right is None)

    @classmethod
    def of(cls, reading: Reading) -> "Told":
        """A reading that is at hand as a model."""
        rhythm_s = reading.sensor.rhythm_s if reading.sensor else None
        own = (getattr(reading, name) for name in cls._fields[:-1])
        return cls._make([*own, rhythm_s])


def rows_since(place: Place, since: datetime | None) -> list[Told]:
    """The readings that stand, from a little before `since`, and one before those, in order."""
    rows = Reading.objects.filter(place=place, struck_by__isnull=True)
    if since is not None:
        reach = since - LOOK_BACK
        before = rows.filter(at__lt=reach).order_by("-at").values_list("at", flat=True).first()
        rows = rows.filter(at__gte=before or reach)
    columns = (*Told._fields[:-1], "sensor__rhythm_s")
    return [Told._make(row) for row in rows.order_by("at").values_list(*columns)]


def reaching(place: Place, since: datetime, back_us: int) -> datetime:
    """From when on air has to be known so that wood is, which remembers so long [us]: the last
    reading before that, since a gap it may lie in is filled from where it began."""
    reach = since - timedelta(microseconds=back_us)
    rows = Reading.objects.filter(place=place, struck_by__isnull=True, at__lte=reach)
    return rows.order_by("-at").values_list("at", flat=True).first() or reach


def versions_of(place: Place, without: Collection[UUID] = ()) -> tuple[Expected, ...]:
    """What was expected of a place's air, each version with what earlier ones still say."""
    said = AirVersion.objects.filter(place=place, struck_by__isnull=True).exclude(id__in=without)
    return versions_told(said.order_by("since", "id"), place.workshop.tz)


def versions_told(said: Iterable[AirVersion], zone: ZoneInfo) -> tuple[Expected, ...]:
    """What rows say of the air, the oldest first, each with what earlier ones still say."""
    expected = Expected()
    versions = [expected]
    typed = False  # a half-gap time that somebody typed stands above any that was learned
    for row in said:
        expected = _with(expected, row, zone)
        typed = typed or row.half_gap_h is not None
        if row.learned_half_gap_h is not None and not typed:
            expected = replace(expected, half_gap_us=hours_us(row.learned_half_gap_h))
        versions.append(expected)
    return tuple(versions)


def _with(expected: Expected, row: AirVersion, zone: ZoneInfo) -> Expected:
    said: dict[str, Any] = {"since_us": instant_us(row.since)}
    if row.half_gap_h is not None:
        said["half_gap_us"] = hours_us(row.half_gap_h)
    if row.typed is not None:
        said["typed"] = _utc_points(row.typed, row.since, zone)
    if row.outside_low_c is not None:
        said["outside_low_c"] = row.outside_low_c
    if row.heater_off is not None:
        said["heater_off"] = row.heater_off
        said["heater_on_us"] = None if row.heater_on_at is None else instant_us(row.heater_on_at)
    return replace(expected, **said)


def _utc_points(
    typed: list[list[Any]], since: datetime, zone: ZoneInfo
) -> tuple[tuple[float, float, float], ...]:
    """Points of a local day as minutes of the UTC day, by the zone's offset then."""
    offset = since.astimezone(zone).utcoffset() or timedelta()
    points = []
    for clock, temp_c, rh_pct in typed:
        hour, minute = (int(part) for part in clock.split(":"))
        utc = (hour * 60 + minute - offset.total_seconds() / 60) % (24 * 60)
        points.append((utc, float(temp_c), float("nan") if rh_pct is None else float(rh_pct)))
    return tuple(sorted(points))


def compose(
    rows: Sequence[Told],
    versions: tuple[Expected, ...],
    sensing: Sensing,
) -> PlaceAir:
    """Readings and versions as arrays; flagged high ones left out until somebody rules."""
    if sensing.believed:
        rows = [row for row in rows if sensing.believes(row.sensor_id, instant_us(row.at))]
    usable = [row for row in rows if row.cautious]
    certain = [row for row in usable if row.certain]
    fixed = _settle([row for row in certain if not row.floating], sensing, {})
    stands = {row.id: _stands_at(row, fixed, versions) for row in usable if row.floating}
    ordinary = _settle(certain, sensing, stands) if stands else fixed
    flagged = len(usable) > len(certain)
    cautious = _settle(usable, sensing, stands) if flagged else ordinary
    return PlaceAir(ordinary, cautious, versions)


def _settle(
    rows: Sequence[Told],
    sensing: Sensing,
    stands: dict[UUID, int],
) -> Readings:
    at = [stands.get(row.id) or instant_us(row.at) for row in rows]
    temp, rh = [], []
    for row, us in zip(rows, at, strict=True):
        warmer, damper = sensing.added(row.sensor_id, us) if sensing.offsets else (0.0, 0.0)
        temp.append(row.temp_c + warmer)
        rh.append(float("nan") if row.rh_pct is None else row.rh_pct + damper)
    return Readings.settle(
        at,
        temp,
        rh_pct=np.clip(np.array(rh, dtype=float), 0, 100),
        mark=[row.mark for row in rows],
        rhythm_us=[(row.rhythm_s or 0) * SECOND_US for row in rows],
        ident=[str(row.id) for row in rows] if len(set(at)) < len(at) else None,
    )


def _stands_at(row: Told, ordinary: Readings, versions: tuple[Expected, ...]) -> int:
    """Where a bare lowest stands: the coldest hour expected between the readings around it.

    The span ends at the latest when the entry was made, so that readings taken after it do
    not move it; with nothing to tell the hour it is 05:00 local of its morning.
    """
    nominal = instant_us(row.at)
    made = min(instant_us(row.told_at or row.at), nominal + 12 * HOUR_US)
    known = ordinary.before(nominal)
    if not len(known) or nominal - int(known.at_us[-1]) > DAY_US:
        return nominal
    later = ordinary.at_us[len(known) :]
    until = min(int(later[0]), made) if len(later) else made
    said = [version for version in versions if version.since_us <= made]
    line = build_air(known, said or versions[:1], int(known.at_us[-1]), until)
    inside = (line.at_us > known.at_us[-1]) & (line.at_us < until)
    return coldest_us(line.at_us[inside], line.temp_c[inside], nominal)


def nights_measured(air: PlaceAir, at: datetime, zone: ZoneInfo) -> int:
    """How many nights (20:00 to 08:00 local) before `at` are measured through, without a gap.

    Looks back at most 14 nights.
    """
    if len(air.cautious) < 2:
        return 0
    gap_us = np.concatenate([[0], np.cumsum(np.diff(air.cautious.at_us) * air.cautious.gaps())])
    evening = at.astimezone(zone).replace(hour=20, minute=0, second=0, microsecond=0)
    starts = [instant_us(evening - timedelta(days=back)) for back in range(1, 15)]
    begun = np.array(starts, dtype=np.int64)
    ended = begun + 12 * HOUR_US
    covered = (begun >= air.cautious.at_us[0]) & (
        ended <= min(air.cautious.at_us[-1], instant_us(at))
    )
    unread = np.interp(ended, air.cautious.at_us, gap_us) - np.interp(
        begun, air.cautious.at_us, gap_us
    )
    return int(np.count_nonzero(covered & (unread == 0)))


def morning_of(at: datetime, zone: ZoneInfo) -> datetime:
    """05:00 local of the day on which a "lowest last night" is told, or its telling if earlier."""
    return min(at, at.astimezone(zone).replace(hour=5, minute=0, second=0, microsecond=0))
