"""Coats and the zones they went on."""

import uuid

from django.db import models

from cureclock.shop.models.materials import LabelVersion
from cureclock.shop.models.pieces import Zone
from cureclock.shop.models.places import Place
from cureclock.shop.models.workshops import Workshop


class Coat(models.Model):
    """One application of a finish to a set of zones."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="coats")
    name = models.CharField(max_length=80)
    label = models.ForeignKey(LabelVersion, models.RESTRICT)
    place = models.ForeignKey(Place, models.RESTRICT)  # where it began
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class CoatedZone(models.Model):
    """A zone in a coat, in the order in which it was coated."""

    id = models.BigAutoField(primary_key=True)
    coat = models.ForeignKey(Coat, models.CASCADE, related_name="coated")
    zone = models.ForeignKey(Zone, models.CASCADE, related_name="coats")
    order = models.PositiveIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["coat", "zone"], name="zone_once_a_coat")]
        ordering = ["order"]
