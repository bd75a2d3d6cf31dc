"""The plan of a workshop: whether it still holds, and what it says."""

from django.db import models

from cureclock.shop.models import Workshop


class Plan(models.Model):
    """One workshop's plan. Stale once a verb or a reading changed what it was made from."""

    workshop = models.OneToOneField(Workshop, models.CASCADE, primary_key=True)
    stale_since = models.DateTimeField(null=True)
    claimed_until = models.DateTimeField(null=True)  # somebody is at it
    look_at = models.DateTimeField(null=True)  # by then something of it should have begun
    made_at = models.DateTimeField(null=True)
    body = models.JSONField(default=dict)  # what was found, as `planner.saved` writes it
    what_if = models.JSONField(default=list)
    told = models.JSONField(default=dict)  # by batch, the date that was last told
