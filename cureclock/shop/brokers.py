"""Which message broker a workshop listens to, and under which topics its sensors are heard."""

from typing import Any
from uuid import UUID

from cureclock.shop.models import BrokerVersion, TopicVersion, Workshop


def brokers(**of: Any) -> dict[UUID, BrokerVersion]:
    """The broker that was told last of each workshop, of those that name one to listen to.

    Args:
        of: which workshops, as a lookup; left out: all of them.
    """
    told = BrokerVersion.objects.filter(struck_by=None, **of).select_related("workshop")
    newest = {row.workshop_id: row for row in told.order_by("since", "arrived_at", "id")}
    return {workshop: row for workshop, row in newest.items() if row.host}


def topics_of(workshop: Workshop) -> dict[UUID, TopicVersion]:
    """Each sensor's newest topic; one that is heard no more is left out."""
    rows = TopicVersion.objects.filter(sensor__place__workshop=workshop, struck_by=None)
    newest = {row.sensor_id: row for row in rows.order_by("since", "arrived_at", "id")}
    return {sensor: row for sensor, row in newest.items() if row.topic}
