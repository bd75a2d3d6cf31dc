"""Will it ring? The ways to reach people, a test for each, and who minds the shop."""

from dataclasses import dataclass
from datetime import datetime, time
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.shapes import StrictSerializer
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.reminders import reach, ring_tests
from cureclock.reminders.beats import health
from cureclock.reminders.channels import vapid
from cureclock.reminders.models import Way
from cureclock.reminders.people import house
from cureclock.reminders.ring_tests import WayShown
from cureclock.shop.happening import Teller
from cureclock.shop.models import Phone, Workshop
from cureclock.shop.refusals import NotHere, Refusal

KINDS = ("webpush", "email", "notifier", "webhook")


@dataclass(frozen=True)
class MinderTold:
    """Somebody who can act here, and what of the shop they mind: first, second or nothing.

    Attributes:
        quiet_from, quiet_until: no quiet hours where there are none, or both are the same.
        zone: where they are; empty: where the shop is.
    """

    person: UUID
    name: str
    minds: str
    held_until: datetime | None
    quiet_from: time | None
    quiet_until: time | None
    zone: str


@dataclass(frozen=True)
class SilentPhone:
    """A paired phone that no alert goes to, and when it was last heard of."""

    phone: UUID
    name: str
    person: str
    seen_at: datetime | None


@dataclass(frozen=True)
class RingTold:
    """Whether it will ring, and where.

    Attributes:
        push_key: the public key a browser subscribes with.
        well: somebody sends, and nothing is late or in trouble.
        newest: the sender's newest sign of life.
        holding: why it holds fire though it lives.
        late_s: how long the oldest thing that is due has been due [s].
    """

    now: datetime
    push_key: str
    well: bool
    newest: datetime | None
    holding: str
    late_s: float
    ways: tuple[WayShown, ...]
    silent: tuple[SilentPhone, ...]
    minders: tuple[MinderTold, ...]


@dataclass(frozen=True)
class WaySaid:
    """A way to reach the one who asks: this phone's push address, or an address of another kind."""

    kind: str
    address: str
    p256dh: str = ""
    auth: str = ""
    secret: str = ""


@dataclass(frozen=True)
class WayKept:
    """The way."""

    way: UUID


@dataclass(frozen=True)
class TestSent:
    """A test is on its way."""

    alert: UUID
    now: datetime


@dataclass(frozen=True)
class Done:
    """It was done."""

    now: datetime


class WaySerializer(StrictSerializer):
    """An address is longer than other words."""

    class Meta:
        dataclass = WaySaid
        extra_kwargs = {"address": {"max_length": reach.LONGEST}}


class RingView(APIView):
    """Will it ring?"""

    @documented(RingTold)
    def get(self, request: Request) -> Response:
        """Every way with what came of its last test, phones without one, and who minds the shop."""
        return Response(as_told(ring(teller_of(request), timezone.now())))


class WaysView(APIView):
    """Ways to reach somebody."""

    @documented(WayKept, takes=WaySaid, status=201, refuses=(400, 401, 403, 422))
    def post(self, request: Request) -> Response:
        """Add one for the person who asks; a phone's newer push address takes the older one's place."""
        sent = WaySerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        way = keep(teller_of(request), sent.validated_data, timezone.now(), _origin(request))
        return Response(as_told(WayKept(way.id)), status=201)


class WayTestView(APIView):
    """A test."""

    @documented(TestSent, status=201, refuses=(401, 403, 404, 422))
    def post(self, request: Request, ident: UUID) -> Response:
        """Send one to this way now."""
        teller, now = teller_of(request), timezone.now()
        teller.must_record()
        alert = ring_tests.test_way(teller.workshop, ident, now)
        return Response(as_told(TestSent(alert, now)), status=201)


class WayDropView(APIView):
    """A way that is no longer wanted."""

    @documented(Done, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """Drop it: one's own, or as the owner anybody's."""
        teller = teller_of(request)
        way = Way.objects.filter(workshop=teller.workshop, id=ident).first()
        if way is None:
            raise NotHere("way")
        if teller.person is None or way.person_id != teller.person.id:
            teller.must_own()
        reach.drop(teller.workshop, ident)
        return Response(as_told(Done(timezone.now())))


def ring(teller: Teller, at: datetime) -> RingTold:
    """Whether it will ring, and where."""
    stands = health(at)
    ways = tuple(ring_tests.will_it_ring(teller.workshop))
    return RingTold(
        now=at,
        push_key=vapid.keys(at).public,
        well=stands.well,
        newest=stands.newest,
        holding=stands.holding,
        late_s=round(stands.late_s, 1),
        ways=ways,
        silent=_silent(teller.workshop),
        minders=_minders(teller.workshop, at),
    )


def keep(teller: Teller, said: WaySaid, at: datetime, origin: str) -> Way:
    """A way for the one who asks."""
    workshop, person = teller.workshop, teller.person
    if said.kind == "webpush" and teller.phone is not None:
        return reach.by_push(
            teller.phone,
            endpoint=said.address,
            p256dh=said.p256dh,
            auth=said.auth,
            at=at,
            origin=origin,
        )
    if person is not None and said.kind == "email":
        return reach.by_email(workshop, person, said.address, at)
    if person is not None and said.kind == "notifier":
        return reach.by_notifier(workshop, person, said.address, at)
    if person is not None and said.kind == "webhook":
        return reach.by_webhook(workshop, person, said.address, said.secret, at)
    raise Refusal("kind", f"{said.kind[:20]!r} is no way to reach anybody", f"one of {KINDS}")


def _silent(workshop: Workshop) -> tuple[SilentPhone, ...]:
    reached = Way.objects.filter(workshop=workshop, dead_since=None).exclude(phone=None)
    phones = Phone.objects.filter(workshop=workshop, unpaired_at=None)
    rows = phones.exclude(id__in=reached.values("phone")).select_related("person")
    return tuple(
        SilentPhone(row.id, row.name, row.person.name, row.seen_at)
        for row in rows.order_by("person__name", "paired_at")
    )


def _minders(workshop: Workshop, at: datetime) -> tuple[MinderTold, ...]:
    home = house(workshop.id, at)
    if home is None:
        return ()
    return tuple(
        MinderTold(
            person=UUID(hand.key),
            name=home.people[UUID(hand.key)].name,
            minds="first" if hand.minds_shop else "second" if hand.second else "no",
            held_until=home.lulled.get(UUID(hand.key)),
            quiet_from=hand.quiet_from,
            quiet_until=hand.quiet_until,
            zone=home.people[UUID(hand.key)].zone,
        )
        for hand in home.shop.people
    )


def _origin(request: Request) -> str:
    return request.build_absolute_uri("/").rstrip("/")
