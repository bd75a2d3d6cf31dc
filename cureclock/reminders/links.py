"""Tokens that let a phone say it has shown something, and a link answer for its person."""

from datetime import timedelta

from django.core.signing import BadSignature, Signer

from cureclock.reminders.models import Delivery
from cureclock.shop.refusals import Refusal

ACTS = ("mine", "later", "not_me")
GOOD_FOR = timedelta(days=2)  # our choice


def receipt(row: Delivery) -> str:
    """A token that says no more than that this delivery was shown or seen."""
    return Signer(salt="cureclock.receipt").sign(str(row.pk))


def delivery_of(token: str) -> int:
    """The delivery that a receipt speaks of; refused if we did not write it."""
    try:
        return int(Signer(salt="cureclock.receipt").unsign(token))
    except (BadSignature, ValueError):
        raise Refusal("receipt", "this is no receipt of ours", "leave it out") from None
