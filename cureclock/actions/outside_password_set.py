"""An owner sets the password by which they come in from outside the house."""

from dataclasses import dataclass, field
from datetime import datetime

from django.db import transaction

from cureclock.shop.happening import Teller
from cureclock.shop.models import OutsidePassword
from cureclock.shop.outside import count_set, set_password


@dataclass(frozen=True)
class OutsidePasswordSet:
    """The name to sign in by, and the password, which no line of ours ever prints."""

    name: str
    password: str = field(repr=False)


def outside_password_set(*, by: Teller, said: OutsidePasswordSet, at: datetime) -> OutsidePassword:
    """The password is kept as Argon2 makes it; phones that are paired stay so.

    Each is counted, whatever comes of it: so that is not in the transaction of the rest.
    """
    by.must_own()
    count_set(by, at)
    with transaction.atomic():
        return set_password(by, said.name, said.password, at)
