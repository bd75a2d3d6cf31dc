"""A workshop opens: its name, its zone, and the owner, who has no phone yet."""

from datetime import datetime, timedelta

from django.db import transaction

from cureclock.shop.models import Membership, PairingLink, Workshop
from cureclock.shop.pairing import member_named, offer_link, owners_phone_paired
from cureclock.shop.refusals import Refusal

NAME, OWNER = "Workshop", "Owner"  # until the first phone says better
FIRST_LINK_FOR = timedelta(days=1)  # it stands on the screen that started the server


def open_workshop(
    *, at: datetime, name: str = NAME, zone: str = "UTC", owner: str = OWNER
) -> Membership:
    """A new workshop and the membership of its owner."""
    with transaction.atomic():
        workshop = Workshop.objects.create(name=name, zone=zone, made_at=at)
        return member_named(workshop, owner, Membership.Role.OWNER)


def owners_link(*, name: str, at: datetime, owner: str = OWNER) -> str:
    """The token that makes its holder's phone an owner's of the workshop of this name.

    It is opened where there is none. Whoever may run commands on the machine may have one: for one
    more workshop, and for an owner whose phones are all lost.
    """
    with transaction.atomic():
        named = Workshop.objects.filter(name=name).order_by("made_at")
        if len(named) > 1:
            raise Refusal("name", f"{len(named)} workshops are called so", "rename one of them")
        owners = Membership.objects.filter(workshop__in=named, role=Membership.Role.OWNER)
        member = owners.select_related("workshop", "person").order_by("id").first()
        member = member or open_workshop(at=at, name=name, owner=owner)
        return offer_link(member, at, FIRST_LINK_FOR)[1]


def first_link(*, at: datetime) -> str | None:
    """The token that makes its holder's phone the owner's; None once an owner has a phone.

    Opens a workshop where there is none. Each call makes the token of the one before useless.
    """
    with transaction.atomic():
        if owners_phone_paired():
            return None
        owners = Membership.objects.filter(role=Membership.Role.OWNER)
        owner = owners.select_related("workshop", "person").order_by("id").first()
        owner = owner or open_workshop(at=at)
        PairingLink.objects.filter(person=owner.person, used_at=None).delete()
        return offer_link(owner, at, FIRST_LINK_FOR)[1]
