"""Pairing phones: by a link that works once, and by the owner's leave."""

import io
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict
from uuid import UUID

import segno
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.pairing_offered import pairing_offered
from cureclock.actions.phone_paired import PhonePaired, phone_paired
from cureclock.actions.phone_unpaired import phone_unpaired
from cureclock.api.schema import documented
from cureclock.api.shapes import strict
from cureclock.api.who import COOKIE, keep_cookie, teller_of
from cureclock.shop.models import Membership, Person, Phone


@dataclass(frozen=True)
class PairingOffer:
    """Whose phone a link is for, and what they may do."""

    person_name: str
    role: str


class Named(TypedDict):
    """Something with a name."""

    id: UUID
    name: str


class NamedShop(Named):
    """The workshop, and the zone its clock stands in."""

    zone: str


class Paired(TypedDict):
    """Which phone it is now, whose, and what they may do where."""

    phone: Named
    person: Named
    role: str
    workshop: NamedShop


class PairingLinkTold(TypedDict):
    """A link for one phone, the same as a picture, and until when it is good."""

    url: str
    qr_svg: str
    until: datetime


class PhoneTold(Named):
    """A paired phone: whose, when it was last heard of, how many taps it still keeps."""

    person: Named
    paired_at: datetime
    seen_at: datetime | None
    unsent: int


class Phones(TypedDict):
    """The phones of a workshop."""

    phones: list[PhoneTold]


class Unpaired(TypedDict):
    """A phone that opens nothing any more."""

    phone: Named
    unpaired_at: datetime | None


Pairing, Offer = strict(PhonePaired), strict(PairingOffer)


class PairView(APIView):
    """Opens the shop to a phone that holds a link."""

    authentication_classes: list[Any] = []
    permission_classes: list[Any] = []

    @documented(Paired, takes=PhonePaired, refuses=(400, 422))
    def post(self, request: Request) -> Response:
        """Pair the phone; its cookie is its key from now on."""
        sent = Pairing(data=request.data)
        sent.is_valid(raise_exception=True)
        phone, member, token = phone_paired(said=sent.validated_data, at=timezone.now())
        response = Response(paired_told(phone, member))
        keep_cookie(response, request, token)
        return response


class PairingLinksView(APIView):
    """Links for more phones."""

    @documented(PairingLinkTold, takes=PairingOffer, status=201, refuses=(400, 401, 403, 422))
    def post(self, request: Request) -> Response:
        """A link for one phone, as an address and as a picture to be scanned."""
        sent = Offer(data=request.data)
        sent.is_valid(raise_exception=True)
        offer: PairingOffer = sent.validated_data
        token, until = pairing_offered(
            by=teller_of(request), person_name=offer.person_name, role=offer.role, at=timezone.now()
        )
        url = request.build_absolute_uri(f"/pair/{token}")
        told: PairingLinkTold = {"url": url, "qr_svg": qr_svg(url), "until": until}
        return Response(told, status=201)


class PhonesView(APIView):
    """The phones of the workshop."""

    @documented(Phones)
    def get(self, request: Request) -> Response:
        """Every paired phone: whose it is, when it was last heard of, what it still keeps."""
        phones = Phone.objects.filter(workshop=teller_of(request).workshop, unpaired_at=None)
        rows = phones.select_related("person").order_by("paired_at", "id")
        told: Phones = {"phones": [_phone(phone) for phone in rows]}
        return Response(told)


class UnpairView(APIView):
    """Closes the shop to a phone."""

    @documented(Unpaired, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """Unpair it; from the phone itself this also takes its key away."""
        phone = phone_unpaired(by=teller_of(request), phone=ident, at=timezone.now())
        told: Unpaired = {"phone": _named(phone), "unpaired_at": phone.unpaired_at}
        response = Response(told)
        if phone == request.auth:
            response.delete_cookie(COOKIE, path="/", samesite="Lax")
        return response


def paired_told(phone: Phone, member: Membership) -> Paired:
    """Which phone it is now, as the phone is told."""
    workshop = member.workshop
    return {
        "phone": _named(phone),
        "person": _named(member.person),
        "role": member.role,
        "workshop": {"id": workshop.id, "name": workshop.name, "zone": workshop.zone},
    }


def qr_svg(url: str) -> str:
    """A link as a picture that a phone's camera reads."""
    out = io.BytesIO()
    segno.make(url, micro=False).save(out, kind="svg", scale=4, xmldecl=False, light="#fff")
    return out.getvalue().decode()


def _phone(phone: Phone) -> PhoneTold:
    return {
        "id": phone.id,
        "name": phone.name,
        "person": _named(phone.person),
        "paired_at": phone.paired_at,
        "seen_at": phone.seen_at,
        "unsent": phone.unsent,
    }


def _named(row: Phone | Person) -> Named:
    return {"id": row.id, "name": row.name}
