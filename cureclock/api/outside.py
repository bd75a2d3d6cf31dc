"""Coming in from outside the house: only where the host says that this server is reached so."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.outside_password_dropped import outside_password_dropped
from cureclock.actions.outside_password_set import OutsidePasswordSet, outside_password_set
from cureclock.actions.signed_in import SignedIn, signed_in
from cureclock.api.limits import address_of
from cureclock.api.pairing import Paired, paired_told
from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.told import as_told
from cureclock.api.who import keep_cookie, same_host, teller_of
from cureclock.shop.happening import Teller
from cureclock.shop.models import Event, SignIn
from cureclock.shop.outside import last_sign_in, password_of, sign_ins
from cureclock.shop.refusals import NotHere, Refusal

MOST = 200  # lines of the audit
WATCHED = ("override", "struck_out", "joints_declared", "conflict_settled")

SetShape, SignInShape = strict(OutsidePasswordSet), strict(SignedIn)


@dataclass(frozen=True)
class PasswordTold:
    """By which name the owner signs in from now on."""

    name: str
    set_at: datetime


@dataclass(frozen=True)
class OutsideTold:
    """How the door from outside stands for the owner who asks; never the password.

    Attributes:
        reached: the host says that this server is reached from outside.
        name: by which they sign in; empty where no password is set.
        used_at: when somebody last came in by it, and `used_from` which address.
        refused_at: when somebody was last turned away at this name, and `refused_from` where.
    """

    reached: bool
    name: str = ""
    set_at: datetime | None = None
    used_at: datetime | None = None
    used_from: str = ""
    refused_at: datetime | None = None
    refused_from: str = ""


@dataclass(frozen=True)
class SignInTold:
    """One try to come in from outside."""

    at: datetime
    person: str
    well: bool
    address: str
    phone: UUID | None


@dataclass(frozen=True)
class OverrideTold:
    """One act against what was said, or a word that cleared something, with its reason."""

    id: UUID
    kind: str
    at: datetime
    arrived_at: datetime
    person: str
    phone: str
    reason: str


@dataclass(frozen=True)
class Audit:
    """Who came in from outside, and who overruled what, the newest first."""

    sign_ins: tuple[SignInTold, ...]
    overrides: tuple[OverrideTold, ...]


class SignInView(APIView):
    """The door from outside."""

    authentication_classes = []
    permission_classes = []

    @documented(Paired, takes=SignedIn, refuses=(400, 403, 404, 422, 429))
    def post(self, request: Request) -> Response:
        """Pair a phone for a week by the owner's name and password."""
        _reached_from_outside()
        origin = urlsplit(request.headers.get("Origin", ""))
        if not same_host(origin.netloc, request):
            wrong = "this did not come from our own page"
            raise Refusal("who", wrong, "sign in on the page itself", "not_allowed")
        sent = SignInShape(data=request.data)
        sent.is_valid(raise_exception=True)
        now = timezone.now()
        phone, member, token = signed_in(
            said=sent.validated_data, address=address_of(request), at=now
        )
        response = Response(paired_told(phone, member))
        keep_cookie(response, request, token)
        return response


class OutsidePasswordView(APIView):
    """The owner's password."""

    @documented(OutsideTold, refuses=(401, 403))
    def get(self, request: Request) -> Response:
        """Whether there is one, by which name, when it was last used; for the owner, their own."""
        teller = teller_of(request)
        teller.must_own()
        return Response(as_told(_outside(teller)))

    @documented(PasswordTold, takes=OutsidePasswordSet, refuses=(400, 401, 403, 404, 422))
    def post(self, request: Request) -> Response:
        """Set it, from a phone that is paired already."""
        _reached_from_outside()
        sent = SetShape(data=request.data)
        sent.is_valid(raise_exception=True)
        kept = outside_password_set(
            by=teller_of(request), said=sent.validated_data, at=timezone.now()
        )
        return Response(as_told(PasswordTold(kept.login, kept.set_at)))


class OutsidePasswordDropView(APIView):
    """Taking the owner's password away."""

    @documented(OutsideTold, refuses=(401, 403))
    def post(self, request: Request) -> Response:
        """By it nobody comes in any more; also where the door is shut by now."""
        teller = teller_of(request)
        outside_password_dropped(by=teller)
        return Response(as_told(_outside(teller)))


class AuditView(APIView):
    """Who came in, and who overruled what."""

    @documented(Audit, refuses=(401, 403))
    def get(self, request: Request) -> Response:
        """The newest lines of each; for the owner."""
        teller = teller_of(request)
        teller.must_own()
        return Response(as_told(Audit(_signed(teller), _overruled(teller))))


def _reached_from_outside() -> None:
    if not settings.CURECLOCK_OUTSIDE:
        raise NotHere("address")


def _outside(teller: Teller) -> OutsideTold:
    kept = password_of(teller)
    used, refused = last_sign_in(teller, well=True), last_sign_in(teller, well=False)
    return OutsideTold(
        reached=bool(settings.CURECLOCK_OUTSIDE),
        name=kept.login if kept else "",
        set_at=kept.set_at if kept else None,
        used_at=used.at if used else None,
        used_from=used.address if used else "",
        refused_at=refused.at if refused else None,
        refused_from=refused.address if refused else "",
    )


def _signed(teller: Teller) -> tuple[SignInTold, ...]:
    return tuple(_sign_in(row) for row in sign_ins(teller, MOST))


def _sign_in(row: SignIn) -> SignInTold:
    return SignInTold(row.at, row.person.name, row.well, row.address, row.phone_id)


def _overruled(teller: Teller) -> tuple[OverrideTold, ...]:
    rows = Event.objects.filter(workshop=teller.workshop, kind__in=WATCHED)
    rows = rows.select_related("person", "phone").order_by("-happened_at", "-id")
    return tuple(
        OverrideTold(
            id=row.id,
            kind=row.kind,
            at=row.happened_at,
            arrived_at=row.arrived_at,
            person=row.person.name if row.person else "",
            phone=row.phone.name if row.phone else "",
            reason=str(row.body.get("reason", "")),
        )
        for row in rows[:MOST]
    )
