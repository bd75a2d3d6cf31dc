"""What a phone says back: it has shown a notice, somebody has tapped it."""

from datetime import datetime

from django.db.models import Q

from cureclock.reminders.links import delivery_of
from cureclock.reminders.models import Delivery, Way
from cureclock.shop.refusals import NotHere, Refusal

SAYS = ("shown", "seen")


def take(token: str, says: str, at: datetime) -> None:
    """Keep a receipt; the same one twice changes nothing.

    Raises:
        Refusal: no receipt of ours, or neither shown nor seen.
    """
    if says not in SAYS:
        raise Refusal("says", f"{says!r} is no receipt", f"one of {', '.join(SAYS)}")
    row = Delivery.objects.filter(pk=delivery_of(token)).first()
    if row is None:
        raise NotHere("receipt")
    Delivery.objects.filter(pk=row.pk, shown_at=None).update(shown_at=at)
    if says == "seen":
        Delivery.objects.filter(pk=row.pk, seen_at=None).update(seen_at=at)
    older = Q(heard_at=None) | Q(heard_at__lt=at)
    Way.objects.filter(older, pk=row.way_id).update(heard_at=at)
