"""Wood in store: lots that dry together, and what is known of each."""

import uuid

from django.db import models

from cureclock.shop.models.places import Place
from cureclock.shop.models.workshops import Workshop


class StockLot(models.Model):
    """Boards, planks or a blank that dry together in one place; its readings are happenings."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="lots")
    place = models.ForeignKey(Place, models.RESTRICT, null=True)  # where it was taken in
    name = models.CharField(max_length=80)
    wood = models.CharField(max_length=60, blank=True)  # key in the library
    thickness_mm = models.FloatField(null=True)
    emc_pct = models.FloatField(null=True)  # what its place leads to, where somebody knows
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name
