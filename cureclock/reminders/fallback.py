"""Somebody cannot be reached: the alert is told to somebody else, now."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.promise import Houses

ARRIVES = (Delivery.State.PENDING, Delivery.State.SENDING, Delivery.State.SENT)


def tell_others(alert_id: UUID, delivery: int, at: datetime, houses: Houses) -> None:
    """Deliveries to everybody else, if no other way reaches the person of a failed one."""
    alert = Alert.objects.get(id=alert_id)
    failed = Delivery.objects.get(id=delivery)
    others = Delivery.objects.filter(alert=alert, state__in=ARRIVES).exclude(id=delivery)
    if others.filter(person=failed.person_id).exists():
        return
    Delivery.objects.bulk_create(
        _to_the_rest(alert, failed.person_id, at, houses), ignore_conflicts=True
    )


def _to_the_rest(alert: Alert, person: UUID, at: datetime, houses: Houses) -> Iterable[Delivery]:
    home = houses.of(alert.workshop_id, at)
    if home is None:
        return
    keys = [one.key for one in home.shop.people if one.key != str(person)]
    for when in home.told_of(alert.kind, alert.gate, at, keys):
        for way in home.ways.get(when.person, ()):
            yield Delivery(
                alert=alert,
                way=way,
                person_id=when.person,
                urgent=alert.urgent,
                held=when.held,
                next_try_at=when.at,
            )
