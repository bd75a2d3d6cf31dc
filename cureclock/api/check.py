"""May it be glued, may it be coated? Asked before the act; nothing is recorded by asking."""

from typing import Any
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.models import Workshop
from cureclock.waits.check.asked import CoatAsked, GlueUpAsked
from cureclock.waits.check.coat import check_coat
from cureclock.waits.check.glue_up import Nouns, check_glue_up
from cureclock.waits.check.said import CheckTold

GLUE_UP, COAT = strict(GlueUpAsked), strict(CoatAsked)
REFUSES = (400, 401, 403, 404, 422)


class CheckGlueUpView(APIView):
    """Before the glue."""

    @documented(CheckTold, takes=GlueUpAsked, refuses=REFUSES)
    def post(self, request: Request) -> Response:
        """Time, glue, clamps, warmth, wood, and the night: go, go with care, or not now."""
        asked: GlueUpAsked = _asked(GLUE_UP, request)
        workshop = teller_of(request).workshop
        of = Nouns(find.label(workshop, asked.label), find.place(workshop, asked.place))
        find.pieces(workshop, asked.pieces)
        _things(workshop, asked.press.thing, "press.thing")
        if asked.wood.from_place is not None:
            find.place(workshop, asked.wood.from_place, "wood.from_place")
        return Response(as_told(check_glue_up(workshop, asked, of, timezone.now())))


class CheckCoatView(APIView):
    """Before the coat."""

    @documented(CheckTold, takes=CoatAsked, refuses=REFUSES)
    def post(self, request: Request) -> Response:
        """The air until it is dry, dust, vapour, finish, hooks, and coats before a date."""
        asked: CoatAsked = _asked(COAT, request)
        workshop = teller_of(request).workshop
        of = Nouns(find.label(workshop, asked.label), find.place(workshop, asked.place))
        zones = find.zones(workshop, asked.zones)
        many = len({zone.piece_id for zone in zones}) or asked.count or 1
        _things(workshop, asked.thing, "thing")
        return Response(as_told(check_coat(workshop, asked, of, many, timezone.now())))


def _asked(shape: Any, request: Request) -> Any:
    """The question, or a refusal of its shape."""
    sent = shape(data=request.data)
    sent.is_valid(raise_exception=True)
    return sent.validated_data


def _things(workshop: Workshop, ident: UUID | None, field: str) -> None:
    if ident is not None:
        find.things(workshop, [ident], field)
