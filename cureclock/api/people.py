"""Who belongs to a workshop, and what is kept of each: taken away by them, or forgotten."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict
from uuid import UUID

from django.db.models import Count, Model
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.person_forgotten import person_forgotten
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.person_told import person_told
from cureclock.reminders.models import RagsQuestion
from cureclock.shop.models import Event, Membership, Person, Phone, Workshop
from cureclock.shop.refusals import NotHere


class PersonTold(TypedDict):
    """Every row that names a person, by the table it stands in."""

    person: UUID
    told_at: datetime
    tables: dict[str, list[dict[str, Any]]]


@dataclass(frozen=True)
class PersonHere:
    """Somebody who belongs to the workshop.

    Attributes:
        phones: how many are paired with their name.
        told: how many happenings they told; these stay when they are forgotten, without the name.
        rags: how often they said where the oily rags went; that stays too.
        last_owner: they cannot be forgotten until somebody else is an owner.
    """

    id: UUID
    name: str
    role: str
    me: bool
    phones: int
    told: int
    rags: int
    last_owner: bool


@dataclass(frozen=True)
class PeopleTold:
    """To an owner everybody, to anybody else themselves."""

    people: tuple[PersonHere, ...]


class PersonForgotten(TypedDict):
    """Who stands in their place from now on."""

    forgotten: UUID
    instead: UUID


class PeopleView(APIView):
    """Who belongs to the workshop."""

    @documented(PeopleTold, refuses=(401,))
    def get(self, request: Request) -> Response:
        """Of whom what is kept, by how many; the rows themselves are asked for one by one."""
        teller = teller_of(request)
        members = Membership.objects.filter(workshop=teller.workshop).select_related("person")
        owners = [one.person_id for one in members if one.role == Membership.Role.OWNER]
        if teller.role != Membership.Role.OWNER:
            members = members.filter(person=teller.person)
        counts = _counts(teller.workshop)
        people = [
            PersonHere(
                id=one.person_id,
                name=one.person.name,
                role=one.role,
                me=one.person == teller.person,
                phones=counts[Phone][one.person_id],
                told=counts[Event][one.person_id],
                rags=counts[RagsQuestion][one.person_id],
                last_owner=owners == [one.person_id],
            )
            for one in members.order_by("person__name", "person_id")
        ]
        return Response(as_told(PeopleTold(tuple(people))))


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


def _counts(workshop: Workshop) -> dict[type[Model], Counter[UUID]]:
    """How many phones, happenings and words about rags there are of each person."""
    rows = {
        Phone: Phone.objects.filter(workshop=workshop, unpaired_at=None).values_list("person"),
        Event: Event.objects.filter(workshop=workshop).values_list("person"),
        RagsQuestion: RagsQuestion.objects.filter(workshop=workshop).values_list("by"),
    }
    return {
        model: Counter(dict(own.order_by().annotate(many=Count("pk"))))
        for model, own in rows.items()
    }
