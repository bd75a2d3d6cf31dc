"""Where the oily rags are: asked until answered, kept for good."""

import uuid

from django.db import models

from cureclock.shop.models import Person, Workshop


class RagsQuestion(models.Model):
    """After a coat or wipe of a finish whose rags heat themselves.

    It names things in words as well, because the coat, the batch and the person may be deleted
    and the record must stay.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="rags")
    coat = models.UUIDField()
    act = models.UUIDField(unique=True)  # the event that made the rags oily
    which = models.CharField(max_length=120)
    material = models.CharField(max_length=80)
    acted_at = models.DateTimeField()
    asked = models.PositiveIntegerField(default=0)
    ask_at = models.DateTimeField(null=True)  # next; empty once answered
    answered_at = models.DateTimeField(null=True)
    where = models.CharField(max_length=20, blank=True)
    by = models.ForeignKey(Person, models.SET_NULL, null=True)
    by_name = models.CharField(max_length=80, blank=True)
    struck_at = models.DateTimeField(null=True)  # the act was struck out: nothing to ask

    class Meta:
        indexes = [
            models.Index(
                fields=["ask_at"], condition=models.Q(ask_at__isnull=False), name="rags_ask"
            )
        ]
