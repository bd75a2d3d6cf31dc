"""An owner signs in from outside: a phone is paired for a week."""

from dataclasses import dataclass, field
from datetime import datetime

from django.db import transaction

from cureclock.shop.models import Membership, Phone, SignIn
from cureclock.shop.outside import GOOD_FOR, count_try, member_by_password
from cureclock.shop.pairing import add_phone


@dataclass(frozen=True)
class SignedIn:
    """The name and password that the owner set, and what the phone is called."""

    name: str
    password: str = field(repr=False)
    phone_name: str = "outside"


def signed_in(*, said: SignedIn, address: str, at: datetime) -> tuple[Phone, Membership, str]:
    """The phone, what its person may do here, and the token that stays on it for a week.

    A try is counted, and kept, whatever comes of it: so neither is in the transaction of the rest.
    """
    count_try(said.name, address, at)
    member = member_by_password(said.name, said.password, address, at)
    with transaction.atomic():
        phone, token = add_phone(member, said.phone_name, at, until=at + GOOD_FOR)
        newest = SignIn.objects.filter(workshop=member.workshop, person=member.person, at=at)
        newest.filter(well=True).update(phone=phone)
    return phone, member, token
