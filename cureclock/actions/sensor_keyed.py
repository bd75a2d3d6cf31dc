"""A sensor gets a new token, or none: the old one was lost, or read by somebody."""

from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.shop.happening import Teller
from cureclock.shop.models import Sensor
from cureclock.shop.tokens import hashed, new_token


def sensor_keyed(*, by: Teller, sensor: UUID) -> tuple[Sensor, str]:
    """The sensor and its new token, shown once; the one before opens nothing any more."""
    token = new_token()
    return _keyed(by, sensor, hashed(token)), token


def sensor_locked_out(*, by: Teller, sensor: UUID) -> Sensor:
    """It may no longer report over HTTP; what it said stays said."""
    return _keyed(by, sensor, None)


def _keyed(by: Teller, sensor: UUID, token_hash: str | None) -> Sensor:
    by.must_own()
    with transaction.atomic():
        found = find.sensor(by.workshop, sensor)
        found.token_hash = token_hash
        found.save(update_fields=["token_hash"])
    return found
