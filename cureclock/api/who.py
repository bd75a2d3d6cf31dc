"""Who is asking: a paired phone by its cookie, or a sensor by its token. Nobody else comes in."""

from typing import TYPE_CHECKING, cast
from urllib.parse import urlsplit

from django.db.models import Q
from django.http.request import split_domain_port
from django.utils import timezone
from rest_framework.authentication import BaseAuthentication
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request
from rest_framework.response import Response

from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, Phone, Sensor
from cureclock.shop.refusals import Refusal
from cureclock.shop.tokens import hashed

if TYPE_CHECKING:  # at run time the framework reads this file while it makes that one
    from rest_framework.views import APIView

COOKIE = "cureclock_phone"
HEADER = "X-CureClock-Phone"
COOKIE_S = 400 * 24 * 3600  # as long as browsers keep one; each heartbeat starts it anew
SCHEME = "Sensor"


class PhoneAuthentication(BaseAuthentication):
    """The cookie of a paired phone.

    A request that changes anything also has to name the phone in a header and come from our own
    page: a page elsewhere can make a browser send the cookie, but neither of those two.
    """

    def authenticate(self, request: Request) -> tuple[Teller, Phone] | None:
        """The teller and the phone, or None where there is no cookie of ours."""
        token = request.COOKIES.get(COOKIE)
        if not token:
            return None
        phones = Phone.objects.select_related("person", "workshop")
        phones = phones.filter(Q(until=None) | Q(until__gt=timezone.now()))
        phone = phones.filter(token_hash=hashed(token), unpaired_at=None).first()
        if phone is None:
            return None
        member = Membership.objects.filter(workshop=phone.workshop_id, person=phone.person_id)
        role = member.values_list("role", flat=True).first()
        if role is None:
            return None
        if request.method not in SAFE_METHODS:
            _from_our_page(request, phone)
        return Teller(phone.workshop, phone.person, role, phone), phone

    def authenticate_header(self, request: Request) -> str:  # noqa: ARG002
        """Makes the answer to nobody a 401."""
        return "Phone"


class SensorAuthentication(BaseAuthentication):
    """`Authorization: Sensor <token>`: may send readings of its own place, and nothing else."""

    def authenticate(self, request: Request) -> tuple[Teller, Sensor] | None:
        """A teller that records for the sensor, and the sensor."""
        scheme, _, token = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != SCHEME.lower() or not token.strip():
            return None
        sensors = Sensor.objects.select_related("place__workshop")
        sensor = sensors.filter(token_hash=hashed(token.strip())).first()
        if sensor is None:
            return None
        return Teller(sensor.place.workshop, None, Membership.Role.HELPER), sensor

    def authenticate_header(self, request: Request) -> str:  # noqa: ARG002
        """How a sensor shows who it is."""
        return SCHEME


class IsPaired(BasePermission):
    """Whoever was recognised; what each may do is decided by the actions, with the teller."""

    def has_permission(self, request: Request, view: "APIView") -> bool:  # noqa: ARG002
        """Nobody gets in unrecognised."""
        return isinstance(request.user, Teller)


def teller_of(request: Request) -> Teller:
    """Who is asking, once permission has been given."""
    return cast(Teller, request.user)


def _from_our_page(request: Request, phone: Phone) -> None:
    named = request.headers.get(HEADER, "").lower() == str(phone.id)
    origin = urlsplit(request.headers.get("Origin", ""))
    if not (named and same_host(origin.netloc, request)):
        raise Refusal(
            "who",
            "this did not come from this phone's own page",
            f"send {HEADER} with the phone's id, from the page itself",
            "not_allowed",
        )


def same_host(netloc: str, request: Request) -> bool:
    """Whether a page of this host and port is one of ours."""
    return bool(netloc) and _host(netloc) == _host(request.get_host())


def _host(netloc: str) -> tuple[str, str]:
    """Name and port; a port that goes without saying is none."""
    name, port = split_domain_port(netloc)
    return name, "" if port in ("80", "443") else port


def keep_cookie(response: Response, request: Request, token: str) -> None:
    """Leave a phone's token with it, out of reach of scripts."""
    response.set_cookie(
        COOKIE,
        token,
        max_age=COOKIE_S,
        path="/",
        secure=request.is_secure(),
        httponly=True,
        samesite="Lax",
    )
