"""Somebody cannot be reached: the alert is told to somebody else, now."""

from datetime import datetime
from uuid import UUID

from cureclock.reminders import promise
from cureclock.reminders.models import Alert, Delivery

ARRIVES = (Delivery.State.PENDING, Delivery.State.SENDING, Delivery.State.SENT)


def tell_others(alert_id: UUID, delivery: int, at: datetime, houses: promise.Houses) -> None:
    """Deliveries to everybody else, if no other way reaches the person of a failed one."""
    alert = Alert.objects.get(id=alert_id)
    failed = Delivery.objects.get(id=delivery)
    others = Delivery.objects.filter(alert=alert, state__in=ARRIVES).exclude(id=delivery)
    if others.filter(person=failed.person_id).exists():
        return
    home = houses.of(alert.workshop_id, at)
    if home is not None:
        keys = [one.key for one in home.shop.people if one.key != str(failed.person_id)]
        promise.deliver(alert, home.told_of(alert.kind, alert.gate, at, keys), home)
