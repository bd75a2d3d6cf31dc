"""Places with their own air, the sensors in them, and what their air is expected to do."""

import uuid

from django.db import models

from cureclock.shop.models.workshops import Workshop


class Place(models.Model):
    """A spot with its own air: shed, warm box, drying cupboard."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="places")
    name = models.CharField(max_length=80)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class Sensor(models.Model):
    """A thermometer that reports by itself, with a narrow token stored hashed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.CASCADE, related_name="sensors")
    name = models.CharField(max_length=80)
    token_hash = models.CharField(max_length=64, unique=True, null=True)
    rhythm_s = models.PositiveIntegerField(default=900)

    def __str__(self) -> str:
        return self.name


class OffsetVersion(models.Model):
    """What to add to a sensor's readings, from an instant on. Appended, never changed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    sensor = models.ForeignKey(Sensor, models.CASCADE, related_name="offsets")
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    temp_k = models.FloatField(default=0.0)
    rh_pct = models.FloatField(default=0.0)
    struck_by = models.UUIDField(null=True)


class AirVersion(models.Model):
    """What somebody said of a place's air, from an instant on. Appended, never changed.

    A field left empty says nothing: what was said of it before still holds.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.CASCADE, related_name="air_versions")
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    half_gap_h = models.FloatField(null=True)
    typed = models.JSONField(null=True)  # [[local "HH:MM", temp_c, rh_pct or null], ...] of a day
    outside_low_c = models.FloatField(null=True)
    heater_off = models.BooleanField(null=True)
    heater_on_at = models.DateTimeField(null=True)
    learned_half_gap_h = models.FloatField(null=True)  # from the nights before, when it was told
    learned_nights = models.PositiveSmallIntegerField(default=0)
    struck_by = models.UUIDField(null=True)

    class Meta:
        indexes = [models.Index(fields=["place", "since"])]
