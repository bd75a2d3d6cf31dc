"""The wood store, and what stands on the shelf: lots, whether they go together, and containers."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.fields import IdField
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.waits.containers_shown import ContainerShown, containers_shown
from cureclock.waits.drying import LotShown, lots_shown
from cureclock.waits.wood_fit import WoodAnswer, wood_answer

MOST, MOST_LOTS = 500, 20  # pieces and lots asked about at once


@dataclass(frozen=True)
class LotsTold:
    """Every lot in store."""

    now: datetime
    lots: tuple[LotShown, ...]


@dataclass(frozen=True)
class ContainersTold:
    """Every container."""

    now: datetime
    containers: tuple[ContainerShown, ...]


class LotsView(APIView):
    """The wood store."""

    @documented(LotsTold)
    def get(self, request: Request) -> Response:
        """How wet each lot is, when it will be dry enough, and when to meter or weigh it again."""
        now = timezone.now()
        return Response(as_told(LotsTold(now, lots_shown(teller_of(request).workshop, now))))


class ContainersView(APIView):
    """The shelf."""

    @documented(ContainersTold)
    def get(self, request: Request) -> Response:
        """What was opened, froze, expires, is to be tried, and how much is left of it."""
        now = timezone.now()
        told = ContainersTold(now, containers_shown(teller_of(request).workshop, now))
        return Response(as_told(told))


class WoodView(APIView):
    """May these pieces or lots be glued to each other, by their wood?"""

    @documented(
        WoodAnswer,
        refuses=(401, 404, 422),
        parameters=[
            OpenApiParameter("piece", UUID, many=True),
            OpenApiParameter("lot", UUID, many=True, description="of which no piece is made yet"),
            OpenApiParameter("label", UUID, description="of the adhesive"),
        ],
    )
    def get(self, request: Request) -> Response:
        """Go, care, no or unknown, with every reason."""
        workshop = teller_of(request).workshop
        sent = request.query_params.getlist("piece")[:MOST]
        lots = request.query_params.getlist("lot")[:MOST_LOTS]
        if not sent and not lots:
            raise ValidationError({"piece": ["is missing"]})
        pieces = find.pieces(workshop, [asked_id("piece", one) for one in sent], "piece")
        wood = [find.lot(workshop, asked_id("lot", one)).id for one in lots]
        given = request.query_params.get("label")
        label = find.label(workshop, asked_id("label", given)) if given else None
        ids = [one.id for one in pieces]
        answer = wood_answer(workshop, ids, label, timezone.now(), lots=wood)
        return Response(as_told(answer))


def asked_id(field: str, sent: str | None) -> UUID:
    """An id that was asked with; a word that is none is refused by its field."""
    try:
        ident: UUID = IdField().run_validation(sent)
    except ValidationError as error:
        raise ValidationError({field: error.detail}) from error
    return ident
