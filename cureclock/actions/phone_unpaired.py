"""A phone is unpaired: lost, sold, or its person has left."""

from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.shop.happening import Teller
from cureclock.shop.models import Phone
from cureclock.shop.pairing import paired_phone


def phone_unpaired(*, by: Teller, phone: UUID, at: datetime) -> Phone:
    """Its token opens nothing any more; what it told stays told. Anybody may unpair their own."""
    with transaction.atomic():
        found = paired_phone(by.workshop, phone)
        if by.person is None or found.person_id != by.person.id:
            by.must_own()
        found.unpaired_at = at
        found.unsent = 0
        found.save(update_fields=["unpaired_at", "unsent"])
    return found
