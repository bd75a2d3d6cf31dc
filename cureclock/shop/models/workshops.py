"""The workshop: whose hours, zone and going-home time everything else is read by."""

import datetime
import uuid
from zoneinfo import ZoneInfo

from django.db import models


def ordinary_hours() -> dict[str, list[str]]:
    """Monday to Saturday, eight to six: what a new workshop starts with until it says otherwise."""
    return {str(day): ["08:00", "18:00"] for day in range(6)}


class Workshop(models.Model):
    """One workshop. Every other row belongs to exactly one."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120)
    zone = models.CharField(max_length=64, default="UTC")
    home_time = models.TimeField(default=datetime.time(18, 0))
    hours = models.JSONField(default=ordinary_hours)  # weekday 0-6 to [opens, closes]
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name

    @property
    def tz(self) -> ZoneInfo:
        """The workshop's zone, for wall-clock questions."""
        return ZoneInfo(self.zone)
