"""The plan of a workshop: whether it still holds."""

from django.db import models

from cureclock.shop.models import Workshop


class Plan(models.Model):
    """One workshop's plan. Stale once a verb or a reading changed what it was made from."""

    workshop = models.OneToOneField(Workshop, models.CASCADE, primary_key=True)
    stale_since = models.DateTimeField(null=True)
