"""Messages of a broker become readings, silences and counted faults: however many, in few writes."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple
from uuid import UUID

import structlog
from django.db import DatabaseError, InterfaceError

from cureclock.actions.readings_taken import readings_taken, readings_together
from cureclock.core.timeline import SENSOR_REACH
from cureclock.intake.mqtt_message import is_gone, reading_in
from cureclock.shop.brokers import topics_of
from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, Reading, Sensor, SensorFault, TopicVersion, Workshop
from cureclock.shop.readings import ReadingSaid
from cureclock.shop.refusals import Refusal
from cureclock.shop.sensor_faults import note_fault

log = structlog.get_logger("cureclock.mqtt")

SAMPLE = 80  # of a message that could not be read


class Message(NamedTuple):
    """One message as it came."""

    topic: str
    payload: bytes
    retained: bool
    at: datetime


@dataclass
class Found:
    """What a handful of messages holds, by sensor."""

    said: dict[UUID, list[ReadingSaid]] = field(default_factory=lambda: defaultdict(list))
    unread: dict[UUID, list[str]] = field(default_factory=lambda: defaultdict(list))
    gone: dict[UUID, bool] = field(default_factory=dict)  # to: whether the word was a kept one


class Hearing:
    """Knows which sensor speaks under which topic.

    A kept message without a time of its own is passed over: nobody knows when it was said.
    """

    def __init__(self, workshop: Workshop) -> None:
        self.workshop = workshop
        self.teller = Teller(workshop, None, Membership.Role.HELPER)
        self.told: dict[UUID, TopicVersion] = {}
        self.look()

    def look(self) -> bool:
        """Look again who speaks where; whether anything changed."""
        told = topics_of(self.workshop)
        if {one.id for one in told.values()} == {one.id for one in self.told.values()}:
            return False
        self.told = told
        return True

    @property
    def topics(self) -> set[str]:
        """Everything that is to be listened to."""
        named = ((one.topic, one.status_topic) for one in self.told.values())
        return {topic for topics in named for topic in topics if topic}

    def take(self, messages: Sequence[Message], at: datetime) -> None:
        """Keep what messages say; what cannot be read is counted, with a sample."""
        found = self._sorted(messages)
        concerned = found.said.keys() | found.unread.keys() | found.gone.keys()
        rows = list(Sensor.objects.select_related("place__workshop").filter(id__in=concerned))
        self._take_together([sensor for sensor in rows if sensor.id in found.said], found, at)
        for sensor in rows:
            try:
                self._take_of(sensor, found, at)
            except (DatabaseError, InterfaceError):
                raise  # the broker is to give it all again
            except Exception:
                # Given again it would fail again, and keep the other sensors from being heard.
                log.exception("messages of a sensor were passed over", sensor=str(sensor.id))
                sample = "it made our own reader stumble"
                note_fault(sensor, SensorFault.Kind.UNREADABLE, at, sample=sample)

    def _take_together(self, sensors: Sequence[Sensor], found: Found, at: datetime) -> None:
        """What several sensors say that only goes on; what is left of it is taken one by one."""
        if len(sensors) < 2:
            return
        said = {sensor: found.said[sensor.id] for sensor in sensors}
        try:
            kept = readings_together(self.teller, said, at)
        except (DatabaseError, InterfaceError):
            raise  # the broker is to give it all again
        except Exception:
            log.exception("what several sensors said is taken one by one")
            return
        for sensor in kept:
            del found.said[sensor.id]

    def _take_of(self, sensor: Sensor, found: Found, at: datetime) -> None:
        said, unread = found.said.get(sensor.id), found.unread.get(sensor.id)
        if unread:
            kind = SensorFault.Kind.UNREADABLE
            note_fault(sensor, kind, at, sample=unread[-1], count=len(unread))
        if said:
            readings_taken(self.teller, sensor.place, said, at, sensor, ids_of_instants=True)
        if sensor.id in found.gone and not (found.gone[sensor.id] and _speaks(sensor, at)):
            sample = self.told[sensor.id].gone_word
            note_fault(sensor, SensorFault.Kind.GONE, at, sample=sample)

    def _sorted(self, messages: Sequence[Message]) -> Found:
        found = Found()
        for one in messages:
            for sensor, heard in self.told.items():
                if one.topic == heard.topic and (heard.at_field or not one.retained):
                    try:
                        found.said[sensor].append(reading_in(heard, one.payload, one.at))
                    except Refusal as why:
                        found.unread[sensor].append(f"{why.wrong}: {one.payload[:SAMPLE]!a}")
                if one.topic == heard.status_topic:
                    if is_gone(heard, one.payload):
                        found.gone[sensor] = one.retained
                    else:
                        found.gone.pop(sensor, None)
        return found


def _speaks(sensor: Sensor, at: datetime) -> bool:
    """Whether a sensor was heard lately: a kept word of its going is then an old one."""
    reach = timedelta(seconds=SENSOR_REACH * sensor.rhythm_s)
    lately = Reading.objects.filter(place=sensor.place_id, sensor=sensor, at__gt=at - reach)
    return lately.exists()
