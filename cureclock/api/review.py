"""Looking back: a batch, or a stretch of time, with every figure open to its sum."""

from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.fields import InstantField
from cureclock.api.schema import documented
from cureclock.api.stock import asked_id
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.review.scope import WEEK, Scope, of_batch, of_stretch
from cureclock.exports.review.shapes import Review
from cureclock.exports.review.whole import review
from cureclock.shop.models import Workshop
from cureclock.shop.refusals import Refusal

LONGEST = timedelta(days=62)  # of a stretch at once; a batch may be longer


class ReviewView(APIView):
    """What really happened?"""

    @documented(
        Review,
        refuses=(401, 404, 422),
        parameters=[
            OpenApiParameter("batch", UUID),
            OpenApiParameter("from", datetime, description="of a stretch; a week before `to`"),
            OpenApiParameter("to", datetime, description="now, where nobody says"),
        ],
    )
    def get(self, request: Request) -> Response:
        """What was early, cold, late, lost and overridden, by whom, and what to change."""
        scope = scope_of(request, teller_of(request).workshop, timezone.now())
        return Response(as_told(review(scope)))


def scope_of(request: Request, workshop: Workshop, at: datetime) -> Scope:
    """A batch where one is named, else the stretch that was asked for."""
    given = request.query_params.get("batch")
    if given:
        return of_batch(find.batch(workshop, asked_id("batch", given)), at)
    until = _instant(request, "to") or at
    since = _instant(request, "from") or until - WEEK
    if not timedelta() < until - since <= LONGEST:
        wrong = f"from and to are not 1 to {LONGEST.days} days apart"
        raise Refusal("from", wrong, "ask for a shorter stretch, or for a batch")
    return of_stretch(workshop, at, since, min(until, at))


def _instant(request: Request, field: str) -> datetime | None:
    sent = request.query_params.get(field)
    if not sent:
        return None
    try:
        moment: datetime = InstantField().run_validation(sent.replace(" ", "+"))
    except ValidationError as error:
        raise ValidationError({field: error.detail}) from error
    return moment
