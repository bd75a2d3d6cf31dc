"""What is tied up while something waits: clamps, bands, columns, forms, hooks, points, a box."""

import uuid

from django.db import models

from cureclock.shop.models.places import Place
from cureclock.shop.models.workshops import Workshop


class Thing(models.Model):
    """Things of one kind and reach that a workshop counts together."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="things")
    made_at = models.DateTimeField()


class ThingVersion(models.Model):
    """How many there are and what they can do, from an instant on. Appended, never changed."""

    class Kind(models.TextChoices):
        CLAMP = "clamp"
        BAND = "band"
        COLUMN = "column"
        FORM = "form"
        HOOK = "hook"
        POINT = "point"
        BOX = "box"  # counted in litres

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    thing = models.ForeignKey(Thing, models.CASCADE, related_name="versions")
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=8, choices=Kind)
    sort = models.CharField(max_length=40, blank=True)  # key of a kind of clamp in the library
    count = models.PositiveIntegerField()
    reach_mm = models.FloatField(null=True)
    force_kn = models.FloatField(null=True)
    takes = models.PositiveIntegerField(default=1)  # pieces that one presses on each other
    place = models.ForeignKey(Place, models.RESTRICT, null=True)  # where hooks, points, a box are
    struck_by = models.UUIDField(null=True)

    class Meta:
        indexes = [models.Index(fields=["thing", "since"], name="thing_since")]

    def __str__(self) -> str:
        return self.name
