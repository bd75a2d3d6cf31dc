"""Readings in: many from a sensor or a phone; the good ones kept, the others reported by row."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypedDict
from uuid import UUID

from django.db import IntegrityError
from django.utils import timezone
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.actions.readings_taken import readings_taken
from cureclock.api.fields import AsSentField, InstantField, ListField
from cureclock.api.problems import of_shape
from cureclock.api.schema import SHAPES, documented
from cureclock.api.shapes import StrictSerializer
from cureclock.api.who import PhoneAuthentication, SensorAuthentication, teller_of
from cureclock.shop.models import Place, Sensor
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.shop.refusals import NotHere, Refusal

MOST = 5000  # rows in one batch: seven weeks of a sensor that reports every quarter of an hour


@dataclass(frozen=True)
class ReadingsSent:
    """Rows of readings, and of which place; a sensor's place is known."""

    readings: list[Any]
    place: UUID | None = None


class ReadingsSerializer(StrictSerializer):
    """The batch, without a look at its rows."""

    readings = ListField(child=AsSentField(), max_length=MOST)

    class Meta:
        dataclass = ReadingsSent


class RowSerializer(StrictSerializer):
    """One row."""

    class Meta:
        dataclass = ReadingSaid


class RefusedReading(TypedDict):
    """A row that was not kept: its number from nought, what was wrong, and what to do."""

    row: int
    field: str
    wrong: str
    mend: str


class ReadingsKept(TypedDict):
    """How many rows were kept now, how many were known, and which were refused."""

    kept: int
    known: int
    refused: list[RefusedReading]


TAKES = {
    "type": "object",
    "properties": {
        "place": {"type": "string", "format": "uuid", "nullable": True},
        "readings": {"type": "array", "items": SHAPES.of(ReadingSaid), "maxItems": MOST},
    },
    "required": ["readings"],
    "additionalProperties": False,
}


class ReadingsView(APIView):
    """What a thermometer says."""

    authentication_classes = [SensorAuthentication, PhoneAuthentication]

    @documented(ReadingsKept, takes=TAKES, refuses=(400, 401, 403, 404, 409, 422))
    def post(self, request: Request) -> Response:
        """Keep what is good, and say of each other row what is wrong with it."""
        sent = ReadingsSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        batch: ReadingsSent = sent.validated_data
        sensor = request.auth if isinstance(request.auth, Sensor) else None
        place = _place(request, batch, sensor)
        rows, refused = _rows(batch.readings, sensor)
        good = [said for _, said in rows]
        try:
            kept = readings_taken(teller_of(request), place, good, timezone.now(), sensor)
        except IntegrityError as error:
            wrong = "another batch with the same rows came in at this moment"
            raise Refusal("readings", wrong, "send it again", "clash") from error
        refused += [_fault(rows[one.row][0], one.why) for one in kept.refused]
        refused.sort(key=lambda fault: fault["row"])
        told: ReadingsKept = {"kept": kept.new, "known": kept.known, "refused": refused}
        return Response(told)


def _place(request: Request, batch: ReadingsSent, sensor: Sensor | None) -> Place:
    if sensor is None:
        if batch.place is None:
            raise Refusal("place", "is missing", "say which place it was read in")
        return find.place(teller_of(request).workshop, batch.place)
    if batch.place not in (None, sensor.place_id):
        raise NotHere("place")
    return sensor.place


def _rows(
    sent: Sequence[Any], sensor: Sensor | None
) -> tuple[list[tuple[int, ReadingSaid]], list[RefusedReading]]:
    """The rows that are readings, with their numbers; and what is wrong with the others."""
    row = RowSerializer()
    rows: list[tuple[int, ReadingSaid]] = []
    refused: list[RefusedReading] = []
    for number, one in enumerate(sent):
        try:
            told = row.run_validation(_with_id(one, sensor) if sensor else one)
            rows.append((number, told))
        except ValidationError as error:
            found = of_shape(error)
            refused.append(_fault(number, Refusal(found["field"], found["wrong"], found["mend"])))
    return rows, refused


def _with_id(sent: Any, sensor: Sensor) -> Any:
    """A sensor's row without an id gets one from its instant: sent twice it is one reading."""
    if not isinstance(sent, dict) or "id" in sent:
        return sent
    at = InstantField().run_validation(sent.get("at"))
    return {**sent, "id": str(id_of(sensor.id, at))}


def _fault(number: int, why: Refusal) -> RefusedReading:
    return {"row": number, "field": why.field, "wrong": why.wrong, "mend": why.mend}
