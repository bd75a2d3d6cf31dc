"""What is kept of a person: taken away by them, or forgotten."""

from datetime import datetime
from typing import Any, TypedDict
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.person_forgotten import person_forgotten
from cureclock.api.schema import documented
from cureclock.api.who import teller_of
from cureclock.exports.person_told import person_told
from cureclock.shop.models import Person
from cureclock.shop.refusals import NotHere


class PersonTold(TypedDict):
    """Every row that names a person, by the table it stands in."""

    person: UUID
    told_at: datetime
    tables: dict[str, list[dict[str, Any]]]


class PersonForgotten(TypedDict):
    """Who stands in their place from now on."""

    forgotten: UUID
    instead: UUID


class PersonDataView(APIView):
    """What is kept of somebody."""

    @documented(PersonTold, refuses=(401, 403, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """All of it, for themselves or for the owner; keys and push addresses are left out."""
        teller = teller_of(request)
        here = Person.objects.filter(id=ident, memberships__workshop=teller.workshop).first()
        if here is None:
            raise NotHere("person")
        if teller.person != here:
            teller.must_own()
        told: PersonTold = {
            "person": here.id,
            "told_at": timezone.now(),
            "tables": person_told(teller.workshop, here),
        }
        return Response(told)


class PersonForgetView(APIView):
    """Forget somebody."""

    @documented(PersonForgotten, refuses=(401, 403, 404, 422))
    def post(self, request: Request, ident: UUID) -> Response:
        """Their keys, ways and sign-ins go; what they told stays, told by nobody in particular."""
        nobody = person_forgotten(by=teller_of(request), person=ident, at=timezone.now())
        told: PersonForgotten = {"forgotten": ident, "instead": nobody.id}
        return Response(told)
