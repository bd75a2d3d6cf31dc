"""Phones and the links that pair them: one link, one phone, once."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from cureclock.shop.models import Membership, PairingLink, Person, Phone, Workshop
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.shop.tokens import hashed, new_token

OFFERED_FOR = timedelta(hours=1)  # time to carry a phone across the yard; our choice


def member_named(workshop: Workshop, name: str, role: str) -> Membership:
    """The person of this name in the workshop, taken in with this role if there is none yet."""
    known = Membership.objects.filter(workshop=workshop, person__name=name).first()
    if known is None:
        person = Person.objects.create(name=name)
        return Membership.objects.create(workshop=workshop, person=person, role=role)
    if known.role != role:
        wrong = f"{name} is {known.role} here already"
        raise Refusal("role", wrong, f"pair the phone as {known.role}, or give another name")
    return known


def offer_link(
    member: Membership, at: datetime, good_for: timedelta = OFFERED_FOR
) -> tuple[PairingLink, str]:
    """A link for one phone of a member, and its token, which is not kept."""
    token = new_token()
    link = PairingLink.objects.create(
        workshop=member.workshop,
        person=member.person,
        token_hash=hashed(token),
        made_at=at,
        until=at + good_for,
    )
    return link, token


def use_link(token: str, at: datetime) -> Membership:
    """Whose phone this link pairs; it pairs no other after that."""
    used = PairingLink.objects.filter(token_hash=hashed(token), used_at=None, until__gt=at)
    link = used.first()
    # Two phones with one link: only one of them finds it still unused.
    if link is None or not used.update(used_at=at):
        raise Refusal(
            "token",
            "this link was used, is too old, or never was",
            "ask for a new link",
            "link_gone",
        )
    member = Membership.objects.select_related("workshop", "person")
    return member.get(workshop=link.workshop_id, person=link.person_id)


def add_phone(
    member: Membership, name: str, at: datetime, until: datetime | None = None
) -> tuple[Phone, str]:
    """A phone of this member, and the token that stays on it; a key may end by itself."""
    token = new_token()
    phone = Phone.objects.create(
        workshop=member.workshop,
        person=member.person,
        name=name,
        token_hash=hashed(token),
        paired_at=at,
        seen_at=at,
        until=until,
    )
    return phone, token


def paired_phone(workshop: Workshop, ident: UUID) -> Phone:
    """A phone that is paired with this workshop."""
    phone = Phone.objects.filter(workshop=workshop, id=ident, unpaired_at=None).first()
    if phone is None:
        raise NotHere("phone")
    return phone


def owners_phone_paired(**of: Any) -> bool:
    """Whether any owner has a phone here, or in the workshop that is named by a lookup."""
    owner = Membership.objects.filter(role=Membership.Role.OWNER, **of)
    phones = Phone.objects.filter(unpaired_at=None, person__memberships__in=owner, **of)
    return phones.exists()
