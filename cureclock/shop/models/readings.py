"""Readings of air: appended, never changed; a struck one keeps its line."""

import uuid

from django.db import models

from cureclock.shop.models.people import Phone
from cureclock.shop.models.places import Place, Sensor


class Reading(models.Model):
    """One reading of a place's air.

    A bare "lowest last night" stands at 05:00 local of its morning in `at` and floats: where
    it stands on the line is worked out from the readings around it each time.
    """

    class Mark(models.IntegerChoices):
        MEASURED = 0
        MINMAX = 1
        TYPED = 2

    class Flag(models.TextChoices):
        NONE = ""
        LOW = "low"
        HIGH = "high"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    place = models.ForeignKey(
        Place, models.CASCADE, related_name="readings", db_index=False
    )  # (place, at) serves
    sensor = models.ForeignKey(Sensor, models.SET_NULL, null=True)
    phone = models.ForeignKey(Phone, models.SET_NULL, null=True)
    at = models.DateTimeField()
    arrived_at = models.DateTimeField()
    told_at = models.DateTimeField(null=True)  # a floating one: when it was read off
    temp_c = models.FloatField()
    rh_pct = models.FloatField(null=True)
    mark = models.SmallIntegerField(choices=Mark)
    floating = models.BooleanField(default=False)
    flag = models.CharField(max_length=4, choices=Flag, blank=True, default="")
    doubt = models.CharField(max_length=12, blank=True, default="")  # why it was flagged
    ruled_right = models.BooleanField(null=True)  # what a person ruled of a flagged one
    ruled_by = models.UUIDField(null=True)  # the ruling event
    struck_by = models.UUIDField(null=True)  # the striking event

    class Meta:
        indexes = [
            models.Index(fields=["place", "at"]),
            models.Index(
                fields=["sensor", "at"], condition=~models.Q(flag=""), name="flagged_readings"
            ),
        ]
