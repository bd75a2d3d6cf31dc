"""When to look, who is alive, what is in trouble: the dispatcher's own notes."""

from django.db import models

from cureclock.shop.models import Workshop


class Look(models.Model):
    """A named look over a workshop's gates and conditions, and when it is next due."""

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="looks")
    name = models.CharField(max_length=16)
    next_at = models.DateTimeField(null=True, db_index=True)
    why = models.CharField(max_length=12, blank=True)  # what changed, for a correction

    class Meta:
        constraints = [models.UniqueConstraint(fields=["workshop", "name"], name="one_look")]


class Beat(models.Model):
    """A sign of life of one dispatcher."""

    name = models.CharField(max_length=80, primary_key=True)
    at = models.DateTimeField()
    boot = models.UUIDField()
    lag_ms = models.PositiveIntegerField(default=0)  # of the oldest thing that was due
    holding = models.CharField(max_length=12, blank=True)  # why it does not fire


class Trouble(models.Model):
    """A row that raises: it is pushed ahead and shown, and holds up nobody else."""

    id = models.BigAutoField(primary_key=True)
    what = models.CharField(max_length=12)  # clock, delivery or look
    key = models.CharField(max_length=40)
    count = models.PositiveIntegerField(default=1)
    why = models.CharField(max_length=200)
    since = models.DateTimeField()
    again_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["what", "key"], name="one_trouble")]
