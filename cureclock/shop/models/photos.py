"""Photographs of what happened. The picture itself lies in a file beside the records."""

import uuid

from django.db import models

from cureclock.shop.models.events import Event
from cureclock.shop.models.people import Person
from cureclock.shop.models.workshops import Workshop


class Photo(models.Model):
    """One picture of one happening, made small, without where it was taken."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="photos")
    event = models.ForeignKey(Event, models.CASCADE, related_name="photos")
    person = models.ForeignKey(Person, models.SET_NULL, null=True)
    arrived_at = models.DateTimeField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()  # bytes of the file
    digest = models.CharField(max_length=64)  # SHA-256 of the file
