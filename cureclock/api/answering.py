"""Alerts that stand, what is answered to them, and what a phone says of a notice."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.reminders import links, receipts
from cureclock.reminders.standing import AlertShown, standing


@dataclass(frozen=True)
class AlertsTold:
    """What was told lately and still holds, newest first."""

    alerts: tuple[AlertShown, ...]


@dataclass(frozen=True)
class LinkAnswer:
    """The token that stood beside one answer in a notice, a mail or a message."""

    token: str


@dataclass(frozen=True)
class Receipt:
    """A notice was shown, or seen by somebody who touched it."""

    receipt: str
    says: str


@dataclass(frozen=True)
class Taken:
    """It was kept."""

    now: datetime


@dataclass(frozen=True)
class LinkTaken:
    """What was answered."""

    says: str
    now: datetime


class AlertsView(APIView):
    """What stands to be taken."""

    @documented(AlertsTold)
    def get(self, request: Request) -> Response:
        """Alerts as the one who asks reads them: who has each, and whether it waits for them."""
        teller = teller_of(request)
        found = (
            standing(teller.workshop, teller.person, timezone.now())
            if teller.person is not None
            else ()
        )
        return Response(as_told(AlertsTold(tuple(found))))


class LinkAnswersView(APIView):
    """An answer by the token of a notice: whoever holds the notice may give it, once."""

    authentication_classes = []
    permission_classes = []

    @documented(LinkTaken, takes=LinkAnswer, refuses=(400, 404, 422))
    def post(self, request: Request) -> Response:
        """Take it; what is forged, old or was answered already is refused."""
        sent = strict(LinkAnswer)(data=request.data)
        sent.is_valid(raise_exception=True)
        now = timezone.now()
        _, says = links.answer(sent.validated_data.token, now)
        return Response(as_told(LinkTaken(says, now)))


class ReceiptsView(APIView):
    """What a phone says back of a notice; its token is all that is asked for."""

    authentication_classes = []
    permission_classes = []

    @documented(Taken, takes=Receipt, refuses=(400, 404, 422))
    def post(self, request: Request) -> Response:
        """Keep it; the same one twice changes nothing."""
        sent = strict(Receipt)(data=request.data)
        sent.is_valid(raise_exception=True)
        now = timezone.now()
        receipts.take(sent.validated_data.receipt, sent.validated_data.says, now)
        return Response(as_told(Taken(now)))
