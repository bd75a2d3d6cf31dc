"""Under which topic a sensor is heard, and where in its messages what stands."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import Refused
from cureclock.shop.happening import Happening
from cureclock.shop.models import TopicVersion
from cureclock.shop.record import append


@dataclass(frozen=True)
class SensorTopic:
    """A topic, and paths of names with points between them; no path: the whole message is it.

    `status_topic` is where the sensor's last will appears, `gone_word` what it says then.
    """

    sensor: UUID
    topic: str = ""
    temp_field: str = ""
    rh_field: str = ""
    at_field: str = ""
    fahrenheit: bool = False
    status_topic: str = ""
    gone_word: str = "offline"

    def __post_init__(self) -> None:
        for name in ("topic", "status_topic"):
            told = getattr(self, name)
            if any(sign in told for sign in "+#\x00") or len(told) > 200:
                raise Refused(name, told, "one topic of at most 200 signs, without + and #")
        for name in ("temp_field", "rh_field", "at_field"):
            if len(getattr(self, name)) > 120:
                raise Refused(name, "a long path", "at most 120 signs")


@verb("sensor_topic", SensorTopic)
def sensor_topic(happening: Happening, said: SensorTopic) -> Done:
    """The newest word on a sensor is in force; an empty topic: it is heard no more."""
    teller = happening.told_by
    teller.must_own()
    with transaction.atomic():
        sensor = find.sensor(teller.workshop, said.sensor)
        event, new = append(happening, "sensor_topic", plain(said), place=sensor.place)
        if new:
            TopicVersion.objects.create(
                id=event.id,
                sensor=sensor,
                since=event.happened_at,
                arrived_at=event.arrived_at,
                topic=said.topic,
                temp_field=said.temp_field,
                rh_field=said.rh_field,
                at_field=said.at_field,
                fahrenheit=said.fahrenheit,
                status_topic=said.status_topic,
                gone_word=said.gone_word[:60],
            )
    return Done(event.id, new)
