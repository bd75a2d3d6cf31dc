"""The owner offers a place in the shop to one more phone."""

from datetime import datetime

from django.db import transaction

from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership
from cureclock.shop.pairing import member_named, offer_link
from cureclock.shop.refusals import Refusal


def pairing_offered(
    *, by: Teller, person_name: str, role: str, at: datetime
) -> tuple[str, datetime]:
    """The token of a link that pairs one phone of this person, and until when it does."""
    by.must_own()
    if role not in Membership.Role.values:
        known = ", ".join(Membership.Role.values)
        raise Refusal("role", f"{role!r} is no role", f"one of {known}")
    with transaction.atomic():
        link, token = offer_link(member_named(by.workshop, person_name, role), at)
    return token, link.until
