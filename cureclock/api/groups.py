"""One glue-up, coat or hold in full, and the sum behind any of its gates."""

from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.waits.one_group import OneGroup, one_group, one_why
from cureclock.waits.why import Why


class GroupView(APIView):
    """A group in full."""

    @documented(OneGroup, refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """The group as in the view, with its waits, their sums and the night strip."""
        told = one_group(teller_of(request).workshop, ident, timezone.now())
        return Response(as_told(told))


class WhyView(APIView):
    """The sum behind a figure."""

    @documented(Why, refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """Label, legs, factors and margin of one gate, so that a pencil comes to the same."""
        return Response(as_told(one_why(teller_of(request).workshop, ident, timezone.now())))
