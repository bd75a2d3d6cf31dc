"""Sensors: where they are, how they are heard, what is wrong with them, what is to be ruled on."""

from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.sensor_keyed import sensor_keyed, sensor_locked_out
from cureclock.actions.sensor_made import SensorMade, sensor_made
from cureclock.api.pairing import Named
from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.models import Sensor, Workshop
from cureclock.waits.doubted_shown import DoubtedShown, doubted_shown
from cureclock.waits.place_told import PlaceToldShown, places_told
from cureclock.waits.sensors_shown import BrokerShown, SensorShown, broker_shown, sensors_shown


class SensorTold(TypedDict):
    """A sensor, and its token, which is shown this once."""

    sensor: Named
    token: str


@dataclass(frozen=True)
class SensorsTold:
    """Places with what was told of their air, their sensors, and the broker they are heard at."""

    now: datetime
    places: tuple[PlaceToldShown, ...]
    sensors: tuple[SensorShown, ...]
    broker: BrokerShown | None


@dataclass(frozen=True)
class DoubtedTold:
    """Flagged readings in stretches, the newest first."""

    now: datetime
    stretches: tuple[DoubtedShown, ...]


SensorShape = strict(SensorMade)


class SensorsView(APIView):
    """Thermometers that report by themselves."""

    @documented(SensorsTold)
    def get(self, request: Request) -> Response:
        """Every sensor: its last word, whether it counts, how it is heard, what it does wrong."""
        return Response(as_told(_sensors(teller_of(request).workshop, timezone.now())))

    @documented(SensorTold, takes=SensorMade, status=201, refuses=(400, 401, 403, 404, 422))
    def post(self, request: Request) -> Response:
        """Put one in a place; its token is shown here and never again."""
        sent = SensorShape(data=request.data)
        sent.is_valid(raise_exception=True)
        made = sensor_made(by=teller_of(request), said=sent.validated_data)
        return Response(_with_token(*made), status=201)


class SensorTokenView(APIView):
    """A sensor's token."""

    @documented(SensorTold, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """A new one, shown here and never again; the one before opens nothing any more."""
        return Response(_with_token(*sensor_keyed(by=teller_of(request), sensor=ident)))


class SensorLockOutView(APIView):
    """Takes a sensor's token back."""

    @documented(SensorsTold, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """It may no longer report over HTTP; what it said stays said."""
        sensor = sensor_locked_out(by=teller_of(request), sensor=ident)
        return Response(as_told(_sensors(sensor.place.workshop, timezone.now())))


class DoubtedView(APIView):
    """Flagged readings."""

    @documented(DoubtedTold)
    def get(self, request: Request) -> Response:
        """Those on which nobody has ruled, and those of two weeks on which somebody has."""
        now = timezone.now()
        told = DoubtedTold(now, doubted_shown(teller_of(request).workshop, now))
        return Response(as_told(told))


def _sensors(workshop: Workshop, at: datetime) -> SensorsTold:
    return SensorsTold(
        at,
        places_told(workshop, at),
        sensors_shown(workshop, at),
        broker_shown(workshop, at),
    )


def _with_token(sensor: Sensor, token: str) -> SensorTold:
    return {"sensor": {"id": sensor.id, "name": sensor.name}, "token": token}
