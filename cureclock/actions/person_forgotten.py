"""Somebody who has left is forgotten: what was done stays, and nobody can tell any more by whom."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from cureclock.shop.happening import Teller
from cureclock.shop.models import Event, Membership, Person, Phone, Workshop
from cureclock.shop.refusals import NotHere, Refusal

NOBODY = "somebody who left"
OWN = ("Membership", "PairingLink", "OutsidePassword", "SignIn", "Way", "Minding", "CalendarFeed")


def person_forgotten(*, by: Teller, person: UUID, at: datetime) -> Person:
    """Their keys, ways and sign-ins go; what they told is told by nobody in particular.

    The last owner cannot be forgotten: somebody has to be able to open the shop.
    """
    with transaction.atomic():
        found = Person.objects.filter(id=person, memberships__workshop=by.workshop).first()
        if found is None:
            raise NotHere("person")
        if by.person is None or by.person.id != found.id:
            by.must_own()
        _not_the_last_owner(by.workshop, found)
        nobody = Person.objects.create(name=NOBODY)
        _take_away(by.workshop, found, nobody, at)
        if not Membership.objects.filter(person=found).exists():
            found.delete()
    return nobody


def _not_the_last_owner(workshop: Workshop, person: Person) -> None:
    owners = Membership.objects.filter(workshop=workshop, role=Membership.Role.OWNER)
    if owners.filter(person=person).exists() and owners.count() == 1:
        wrong = "this is the only owner"
        raise Refusal("person", wrong, "make somebody else an owner first", "last_owner")


def _take_away(workshop: Workshop, person: Person, nobody: Person, at: datetime) -> None:
    phones = Phone.objects.filter(workshop=workshop, person=person)
    phones.filter(unpaired_at=None).update(unpaired_at=at)
    phones.update(name=NOBODY, unsent=0)
    for relation in Person._meta.related_objects:
        model, name = relation.related_model, relation.field.name
        rows = model._base_manager.filter(_in(model, workshop), **{name: person})
        if model.__name__ in OWN:
            rows.delete()
        else:
            rows.update(**{name: nobody}, **_in_words(model, name))
    for event in Event.objects.filter(workshop=workshop, body__person=str(person.id)):
        event.body["person"] = str(nobody.id)
        event.save(update_fields=["body"])


def _in_words(model: type, name: str) -> dict[str, str]:
    """Where a table names people in words as well, the words for nobody in particular."""
    column = f"{name}_name"
    names = {one.name for one in model._meta.get_fields()}  # type: ignore[attr-defined]
    return {column: NOBODY} if column in names else {}


def _in(model: type, workshop: Workshop) -> Q:
    """The rows of a workshop, of any table that names people."""
    ways = ("workshop", "material__workshop", "alert__workshop")
    names = {one.name for one in model._meta.get_fields()}  # type: ignore[attr-defined]
    way = next(one for one in ways if one.split("__", maxsplit=1)[0] in names)
    return Q(**{way: workshop})
