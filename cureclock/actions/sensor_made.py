"""A thermometer that reports by itself is put in a place."""

from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.core.refusal import within
from cureclock.shop.happening import Teller
from cureclock.shop.models import Sensor
from cureclock.shop.tokens import hashed, new_token

LONGEST_RHYTHM = timedelta(days=1)


@dataclass(frozen=True)
class SensorMade:
    """Where it is, what it is called, and how often it reports."""

    place: UUID
    name: str
    rhythm_s: int = 900


def sensor_made(*, by: Teller, said: SensorMade) -> tuple[Sensor, str]:
    """The sensor, and the token it reports with, which is shown once and not kept."""
    by.must_own()
    within("rhythm", said.rhythm_s, 10, LONGEST_RHYTHM.total_seconds(), "s")
    token = new_token()
    with transaction.atomic():
        place = find.place(by.workshop, said.place)
        sensor = Sensor.objects.create(
            place=place, name=said.name, rhythm_s=said.rhythm_s, token_hash=hashed(token)
        )
    return sensor, token
