"""Tonight: how cold, what it spoils, the latest to press, what closes, what to see to."""

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.waits.tonight.whole import Tonight, tonight


class TonightView(APIView):
    """The night ahead."""

    @documented(
        Tonight,
        refuses=(401, 422),
        parameters=[
            OpenApiParameter("by", str, description="local time to be open by, like 08:00"),
        ],
    )
    def get(self, request: Request) -> Response:
        """By what was typed, the outside low, or the last nights; never from outside the shop."""
        by = request.query_params.get("by", "")
        return Response(as_told(tonight(teller_of(request).workshop, timezone.now(), by)))
