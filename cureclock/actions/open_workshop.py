"""A workshop opens: its name, its zone, and the owner, who has no phone yet."""

from datetime import datetime, timedelta

from django.db import transaction

from cureclock.shop.models import Membership, PairingLink, Workshop
from cureclock.shop.pairing import member_named, offer_link, owners_phone_paired

NAME, OWNER = "Workshop", "Owner"  # until the first phone says better
FIRST_LINK_FOR = timedelta(days=1)  # it stands on the screen that started the server


def open_workshop(
    *, at: datetime, name: str = NAME, zone: str = "UTC", owner: str = OWNER
) -> Membership:
    """A new workshop and the membership of its owner."""
    with transaction.atomic():
        workshop = Workshop.objects.create(name=name, zone=zone, made_at=at)
        return member_named(workshop, owner, Membership.Role.OWNER)


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
