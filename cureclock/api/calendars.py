"""Calendar feeds: an address that only one calendar knows, given out once, taken back at any time."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import HttpResponse
from django.utils import timezone
from django.utils.http import http_date
from drf_spectacular.utils import OpenApiParameter
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.papers import AnyFile
from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.calendar import calendar_bytes
from cureclock.exports.coming import coming
from cureclock.exports.feeds import feed_of, offer_feed, renew_feed, revoke_feed
from cureclock.exports.models import CalendarFeed
from cureclock.shop.happening import Teller

FILE = {"type": "string", "format": "binary"}


@dataclass(frozen=True)
class FeedWanted:
    """What the feed is called, so that it can be told from others when one is taken back."""

    name: str


@dataclass(frozen=True)
class FeedTold:
    """A feed. Its address is in the answer to its making and nowhere else."""

    id: UUID
    name: str
    person: str
    mine: bool
    made_at: datetime
    url: str | None = None


@dataclass(frozen=True)
class FeedsTold:
    """The feeds that are open: of an owner's workshop all, of anybody else their own."""

    feeds: tuple[FeedTold, ...]


class FeedsView(APIView):
    """Calendar feeds."""

    @documented(FeedsTold)
    def get(self, request: Request) -> Response:
        """Which feeds are open."""
        teller = teller_of(request)
        rows = CalendarFeed.objects.filter(workshop=teller.workshop, revoked_at=None)
        if teller.role != "owner":
            rows = rows.filter(person=teller.person)
        rows = rows.select_related("person").order_by("made_at", "id")
        return Response(as_told(FeedsTold(tuple(_told(row, teller) for row in rows))))

    @documented(FeedTold, takes=FeedWanted, status=201, refuses=(401, 403, 422))
    def post(self, request: Request) -> Response:
        """A new feed for whoever asks; its address is shown once."""
        sent = strict(FeedWanted)(data=request.data)
        sent.is_valid(raise_exception=True)
        wanted: FeedWanted = sent.validated_data
        teller = teller_of(request)
        feed, token = offer_feed(by=teller, name=wanted.name, at=timezone.now())
        return Response(as_told(_told(feed, teller, _address(request, token))), status=201)


class FeedAnewView(APIView):
    """A feed whose address somebody else has seen."""

    @documented(FeedTold, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """A new address for one's own feed, shown this once; the one before answers nobody."""
        teller = teller_of(request)
        feed, token = renew_feed(by=teller, feed=ident, at=timezone.now())
        return Response(as_told(_told(feed, teller, _address(request, token))))


class FeedRevokeView(APIView):
    """Taking a feed back."""

    @documented(FeedTold, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """Its address answers nobody any more."""
        teller = teller_of(request)
        feed = revoke_feed(by=teller, feed=ident, at=timezone.now())
        return Response(as_told(_told(feed, teller)))


class CalendarView(APIView):
    """What a calendar reads."""

    authentication_classes = []
    permission_classes = []
    renderer_classes = [JSONRenderer, AnyFile]

    @documented(
        FILE,
        kind="text/calendar",
        refuses=(404,),
        parameters=[OpenApiParameter("key", str, required=True)],
    )
    def get(self, request: Request) -> HttpResponse:
        """The coming gates as iCalendar (RFC 5545), for whoever has the address."""
        feed = feed_of(request.query_params.get("key", ""))
        now = timezone.now()
        link = request.build_absolute_uri("/").rstrip("/")
        content = calendar_bytes(feed.workshop, coming(feed.workshop, now), now, link)
        answer = HttpResponse(content, content_type="text/calendar; charset=utf-8")
        answer["Cache-Control"] = "private, no-cache"
        answer["Last-Modified"] = http_date(now.timestamp())
        answer["X-Content-Type-Options"] = "nosniff"
        answer["Referrer-Policy"] = "no-referrer"
        return answer


def _address(request: Request, token: str) -> str:
    return request.build_absolute_uri(f"/api/calendar.ics?key={token}")


def _told(feed: CalendarFeed, teller: Teller, url: str | None = None) -> FeedTold:
    mine = feed.person == teller.person
    return FeedTold(feed.id, feed.name, feed.person.name, mine, feed.made_at, url)
