"""The log of what happened, and the conflicts in it that somebody has to settle."""

import uuid

from django.db import models

from cureclock.shop.models.coats import Coat
from cureclock.shop.models.glueups import GlueUp
from cureclock.shop.models.people import Person, Phone
from cureclock.shop.models.pieces import Piece
from cureclock.shop.models.places import Place
from cureclock.shop.models.stock import StockLot
from cureclock.shop.models.workshops import Workshop


class Event(models.Model):
    """One happening. Appended, never changed; its id is made on the device that saw it."""

    id = models.UUIDField(primary_key=True, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="events")
    kind = models.CharField(max_length=40)
    happened_at = models.DateTimeField()
    arrived_at = models.DateTimeField()
    said_at = models.DateTimeField(null=True)  # by the phone's own clock, where that was wrong
    person = models.ForeignKey(Person, models.SET_NULL, null=True)
    phone = models.ForeignKey(Phone, models.SET_NULL, null=True)
    number = models.PositiveBigIntegerField(null=True)  # the phone's own count
    glue_up = models.ForeignKey(GlueUp, models.CASCADE, null=True, related_name="events")
    coat = models.ForeignKey(Coat, models.CASCADE, null=True, related_name="events")
    piece = models.ForeignKey(Piece, models.CASCADE, null=True, related_name="events")
    place = models.ForeignKey(Place, models.CASCADE, null=True, related_name="events")
    lot = models.ForeignKey(StockLot, models.CASCADE, null=True, related_name="events")
    strikes = models.UUIDField(null=True)  # the event or reading it strikes out
    body = models.JSONField(default=dict)

    class Meta:
        indexes = [
            models.Index(fields=["workshop", "happened_at"]),
            models.Index(fields=["workshop", "kind", "happened_at"], name="told_by_kind"),
            models.Index(
                fields=["strikes"], condition=models.Q(strikes__isnull=False), name="struck"
            ),
        ]
        ordering = ["happened_at", "id"]


class Conflict(models.Model):
    """Happenings that contradict each other, kept until a person settles which holds."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="conflicts")
    kind = models.CharField(max_length=40)
    about = models.UUIDField()  # glue-up, coat or piece
    first = models.UUIDField()  # the events that contradict
    second = models.UUIDField(null=True)
    settled_by = models.UUIDField(null=True)  # the settling event
