"""Calendar feeds: who may read one, and what each entry last said."""

import uuid

from django.db import models

from cureclock.shop.models import Person, Workshop


class CalendarFeed(models.Model):
    """A secret address at which one person's calendar reads the coming gates; kept only as a hash."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="calendar_feeds")
    person = models.ForeignKey(Person, models.CASCADE, related_name="calendar_feeds")
    name = models.CharField(max_length=80)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.name


class CalendarEntry(models.Model):
    """What an entry said when it was last read, so that a change is told as one (RFC 5545)."""

    id = models.UUIDField(primary_key=True, editable=False)  # its UID in the calendar
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="calendar_entries")
    sequence = models.PositiveIntegerField(default=0)
    digest = models.CharField(max_length=64)
    changed_at = models.DateTimeField()
