"""What is owned and tied up: clamps, bands, columns, forms, hooks, points, a box."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.waits.ages import Ages
from cureclock.waits.ledger import LedgerLine, ledger


@dataclass(frozen=True)
class LedgerTold:
    """The ledger, worked out when it was asked for."""

    now: datetime
    lines: tuple[LedgerLine, ...]


class LedgerView(APIView):
    """Clamps, forms, hooks."""

    @documented(LedgerTold)
    def get(self, request: Request) -> Response:
        """Owned, held by what, free now, free at; and what could come off now."""
        now = timezone.now()
        told = ledger(teller_of(request).workshop, Ages(now, now))
        return Response(as_told(LedgerTold(now, told.lines)))
