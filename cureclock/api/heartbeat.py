"""A phone shows that it is there, and says how many taps it still keeps."""

from dataclasses import dataclass
from datetime import datetime
from typing import TypedDict

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.fields import CountField
from cureclock.api.schema import documented
from cureclock.api.shapes import StrictSerializer
from cureclock.api.who import COOKIE, keep_cookie
from cureclock.shop.models import Phone


@dataclass(frozen=True)
class Heartbeat:
    """How many taps the phone still keeps."""

    unsent: int


class HeartbeatSerializer(StrictSerializer):
    """The count, bounded."""

    unsent = CountField(max_value=1_000_000)

    class Meta:
        dataclass = Heartbeat


class Heard(TypedDict):
    """When it was heard."""

    now: datetime


class HeartbeatView(APIView):
    """A sign of life."""

    @documented(Heard, takes=Heartbeat, refuses=(400, 401, 403, 422))
    def post(self, request: Request) -> Response:
        """Note the count and the time; the cookie lasts anew from here."""
        sent = HeartbeatSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        now = timezone.now()
        phone = Phone.objects.filter(pk=request.auth.pk)
        phone.update(unsent=sent.validated_data.unsent, seen_at=now)
        heard: Heard = {"now": now}
        response = Response(heard)
        keep_cookie(response, request, request.COOKIES[COOKIE])
        return response
