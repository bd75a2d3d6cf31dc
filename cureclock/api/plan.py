"""The plan: who does what today, when it is done, what would change that."""

from datetime import date
from uuid import UUID

from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.stock import asked_id
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.day_sheet import day_sheet
from cureclock.planner.questions import ByDay, WhatIfTable, by_day, what_if_table
from cureclock.planner.shown import PlanShown, plan_shown
from cureclock.shop.refusals import Refusal

PDF = {"type": "string", "format": "binary"}
ASKED = [
    OpenApiParameter("batch", UUID, required=True),
    OpenApiParameter("day", date, required=True),
]


class PlanView(APIView):
    """The plan."""

    @documented(PlanShown)
    def get(self, request: Request) -> Response:
        """Today's list for each pair of hands, the picture of two weeks, the dates and what rules them."""
        return Response(as_told(plan_shown(teller_of(request).workshop, timezone.now())))


class WhatIfView(APIView):
    """What would change the dates."""

    @documented(WhatIfTable)
    def get(self, request: Request) -> Response:
        """A row for each change worth asking about, those that gain most first."""
        return Response(as_told(what_if_table(teller_of(request).workshop, timezone.now())))


class ByDayView(APIView):
    """Can it be promised?"""

    @documented(ByDay, refuses=(401, 404, 422), parameters=ASKED)
    def get(self, request: Request) -> Response:
        """Whether `batch` is done by the end of `day`, what rules that, and what would help."""
        batch = asked_id("batch", request.query_params.get("batch"))
        day = _day(request.query_params.get("day", ""))
        told = by_day(teller_of(request).workshop, batch, day, timezone.now())
        return Response(as_told(told))


class DaySheetView(APIView):
    """The day on paper."""

    @documented(PDF, kind="application/pdf")
    def get(self, request: Request) -> HttpResponse:
        """A page for each pair of hands: what, when, why, and room to tick."""
        sheet = day_sheet(teller_of(request).workshop, timezone.now())
        answer = HttpResponse(sheet, content_type="application/pdf")
        answer["Content-Disposition"] = 'inline; filename="day.pdf"'
        return answer


def _day(sent: str) -> date:
    try:
        return date.fromisoformat(sent)
    except ValueError:
        raise Refusal("day", f"{sent[:40]!r} is no day", "a day like 2026-05-01") from None
