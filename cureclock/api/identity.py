"""Which one is this, and has every number been moved?"""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.fields import LONGEST_TEXT
from cureclock.api.schema import documented
from cureclock.api.stock import asked_id
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.waits.handover import Handover, handovers
from cureclock.waits.who_am_i import Looked, WhoAmI, who_am_i

YES, NO = ("yes", "true", "1"), ("no", "false", "0")


@dataclass(frozen=True)
class NumbersTold:
    """The hand-overs of the last week at which nobody has said where the number is now."""

    now: datetime
    asked: tuple[Handover, ...]


class WhoAmIView(APIView):
    """Which one is this?"""

    @documented(
        WhoAmI,
        refuses=(401, 404, 422),
        parameters=[
            OpenApiParameter("batch", UUID),
            OpenApiParameter("what", str, description="part of what it is"),
            OpenApiParameter("place", UUID, description="where it hangs or stands"),
            OpenApiParameter("zone", str, description="the zone that `coats` speaks of"),
            OpenApiParameter("coats", int, description="how many coats are on it"),
            OpenApiParameter("hold", bool, description="a temporary bond is on"),
            OpenApiParameter("suspect", bool),
        ],
    )
    def get(self, request: Request) -> Response:
        """The pieces that fit what can be seen, each with what tells it from the others."""
        return Response(as_told(who_am_i(teller_of(request).workshop, _looked(request))))


class NumbersView(APIView):
    """Number moved?"""

    @documented(NumbersTold)
    def get(self, request: Request) -> Response:
        """What is still to be answered, the newest hand-over first."""
        now = timezone.now()
        return Response(as_told(NumbersTold(now, handovers(teller_of(request).workshop, now))))


def _looked(request: Request) -> Looked:
    asked = request.query_params
    batch, place = asked.get("batch"), asked.get("place")
    return Looked(
        batch=asked_id("batch", batch) if batch else None,
        what=asked.get("what", "")[:LONGEST_TEXT],
        place=asked_id("place", place) if place else None,
        zone=asked.get("zone", "")[:LONGEST_TEXT],
        coats=_whole("coats", asked.get("coats")),
        hold=_yes("hold", asked.get("hold")),
        suspect=_yes("suspect", asked.get("suspect")),
    )


def _whole(field: str, sent: str | None) -> int | None:
    if not sent:
        return None
    if not (sent.isascii() and sent.isdecimal() and len(sent) < 4):
        raise ValidationError({field: ["is no whole number"]})
    return int(sent)


def _yes(field: str, sent: str | None) -> bool | None:
    if not sent:
        return None
    if sent.lower() not in YES + NO:
        raise ValidationError({field: ["is neither yes nor no"]})
    return sent.lower() in YES
