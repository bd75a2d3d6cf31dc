"""Sensors as they are shown: the last word, silence, offset, topic, what is wrong with them."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Count, OuterRef, Subquery

from cureclock.core.timeline import SENSOR_REACH
from cureclock.core.units import instant_us
from cureclock.shop.brokers import brokers, topics_of
from cureclock.shop.models import Place, Reading, Sensor, SensorFault, TopicVersion, Workshop
from cureclock.shop.sensing import Sensing, sensing_in
from cureclock.waits.shown import Thing


@dataclass(frozen=True)
class SaidShown:
    """The last word of a sensor as it came, its offset not yet added; `doubt` is empty for none."""

    at: datetime
    temp_c: float
    rh_pct: float | None
    doubt: str


@dataclass(frozen=True)
class TopicShown:
    """Under which topic a sensor is heard, and where in its messages what stands."""

    topic: str
    temp_field: str
    rh_field: str
    at_field: str
    fahrenheit: bool
    status_topic: str
    gone_word: str


@dataclass(frozen=True)
class FaultShown:
    """What a sensor did wrong, how often, and the last sample of it."""

    kind: str
    count: int
    first_at: datetime
    last_at: datetime
    sample: str


@dataclass(frozen=True)
class SensorShown:
    """One sensor.

    Attributes:
        has_token: it may report over HTTP.
        believed: what it says counts now.
        silent_since: its last word, where it should have spoken since.
        gone_at: when its last will was heard, where it has not spoken since.
        doubted: flagged readings on which nobody has ruled.
    """

    id: UUID
    name: str
    place: Thing
    rhythm_s: int
    has_token: bool
    believed: bool
    last: SaidShown | None
    silent_since: datetime | None
    gone_at: datetime | None
    offset_k: float
    offset_rh_pct: float
    topic: TopicShown | None
    faults: tuple[FaultShown, ...]
    doubted: int


@dataclass(frozen=True)
class BrokerShown:
    """The broker the workshop listens to, and how that goes.

    `state` is `connecting`, `listening`, `unreachable`, `refused` or `lost`, empty where nobody
    listens; `why` is what the broker or the network said.
    """

    host: str
    port: int
    tls: bool
    username: str
    has_password: bool
    state: str
    why: str
    state_at: datetime | None


def sensors_shown(workshop: Workshop, at: datetime) -> tuple[SensorShown, ...]:
    """Every sensor of a workshop, by place and name."""
    rows = Sensor.objects.select_related("place").filter(place__workshop=workshop)
    sensors = list(rows.order_by("place__name", "name", "id"))
    newest = _Newest(workshop, {sensor.place for sensor in sensors})
    return tuple(newest.shown(sensor, at) for sensor in sensors)


def broker_shown(workshop: Workshop, at: datetime) -> BrokerShown | None:
    """The broker, and how listening to it goes; a password is never shown."""
    told = brokers(workshop=workshop).get(workshop.id)
    if told is None:
        return None
    held = told.held_until is not None and told.held_until > at
    state, _, why = told.state.partition(" ") if held else ("", "", "")
    return BrokerShown(
        host=told.host,
        port=told.port,
        tls=told.tls,
        username=told.username,
        has_password=bool(told.password),
        state=state,
        why=why,
        state_at=told.state_at if held else None,
    )


def _last_words(workshop: Workshop) -> dict[UUID, Reading]:
    """The newest reading of each sensor."""
    said = Reading.objects.filter(place=OuterRef("place"), sensor=OuterRef("pk"), struck_by=None)
    newest = Subquery(said.order_by("-at", "-id").values("pk")[:1])
    rows = Sensor.objects.filter(place__workshop=workshop).annotate(newest=newest)
    ids = rows.exclude(newest=None).values_list("pk", "newest")
    found = Reading.objects.in_bulk([reading for _, reading in ids])
    return {sensor: found[reading] for sensor, reading in ids}


def _doubted(workshop: Workshop) -> dict[UUID, int]:
    """How many flagged readings of each sensor nobody has ruled on."""
    flagged = Reading.objects.filter(place__workshop=workshop, struck_by=None, ruled_right=None)
    rows = flagged.exclude(flag="").exclude(sensor=None).order_by().values("sensor")
    return dict(rows.annotate(many=Count("pk")).values_list("sensor", "many"))


class _Newest:
    """What is in force of every sensor of a workshop, by a number of questions that does not grow."""

    def __init__(self, workshop: Workshop, places: Collection[Place]) -> None:
        self.sensing = sensing_in(places)
        self.topics = topics_of(workshop)
        self.faults: dict[UUID, list[SensorFault]] = defaultdict(list)
        for fault in SensorFault.objects.filter(sensor__place__workshop=workshop).order_by("kind"):
            self.faults[fault.sensor_id].append(fault)
        self.last = _last_words(workshop)
        self.doubted = _doubted(workshop)

    def shown(self, sensor: Sensor, at: datetime) -> SensorShown:
        """One sensor as it stands."""
        last = self.last.get(sensor.id)
        sensing = self.sensing.get(sensor.place_id) or Sensing()
        offset_k, offset_rh_pct = sensing.added(sensor.id, instant_us(at))
        topic = self.topics.get(sensor.id)
        faults = self.faults[sensor.id]
        reach = timedelta(seconds=SENSOR_REACH * sensor.rhythm_s)
        gone = next((one for one in faults if one.kind == SensorFault.Kind.GONE), None)
        spoke = last is not None and gone is not None and last.at > gone.last_at
        return SensorShown(
            id=sensor.id,
            name=sensor.name,
            place=Thing(sensor.place_id, sensor.place.name),
            rhythm_s=sensor.rhythm_s,
            has_token=sensor.token_hash is not None,
            believed=sensing.believes(sensor.id, instant_us(at)),
            last=None if last is None else _said(last),
            silent_since=last.at if last is not None and at - last.at > reach else None,
            gone_at=gone.last_at if gone is not None and not spoke else None,
            offset_k=offset_k,
            offset_rh_pct=offset_rh_pct,
            topic=None if topic is None else _topic(topic),
            faults=tuple(map(_fault, faults)),
            doubted=self.doubted.get(sensor.id, 0),
        )


def _said(last: Reading) -> SaidShown:
    return SaidShown(last.at, last.temp_c, last.rh_pct, last.doubt)


def _topic(row: TopicVersion) -> TopicShown:
    return TopicShown(
        topic=row.topic,
        temp_field=row.temp_field,
        rh_field=row.rh_field,
        at_field=row.at_field,
        fahrenheit=row.fahrenheit,
        status_topic=row.status_topic,
        gone_word=row.gone_word,
    )


def _fault(row: SensorFault) -> FaultShown:
    return FaultShown(row.kind, row.count, row.first_at, row.last_at, row.sample)
