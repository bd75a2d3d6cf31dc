"""Ways to reach a person, who minds the shop, and who wants an hour of quiet."""

import uuid

from django.db import models

from cureclock.shop.models import Person, Phone, Workshop


class Way(models.Model):
    """One way to reach a person from one workshop: a phone's push address, a mailbox, a notifier.

    The address and the keys are secrets: they are never logged and never leave the server. Two
    people may have one mailbox: each is told.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="ways")
    person = models.ForeignKey(Person, models.CASCADE, related_name="ways")
    phone = models.ForeignKey(Phone, models.CASCADE, null=True, related_name="ways")
    kind = models.CharField(max_length=10)  # the channel's name
    address = models.CharField(max_length=1000)
    host = models.CharField(max_length=255)  # who takes the messages: one lane each
    keys = models.JSONField(default=dict)
    made_at = models.DateTimeField()
    dead_since = models.DateTimeField(null=True)
    dead_why = models.CharField(max_length=200, blank=True)
    heard_at = models.DateTimeField(null=True)  # when it last said that it had shown something

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["workshop", "person", "kind", "address"], name="one_way_an_address"
            )
        ]


class Minding(models.Model):
    """Who minds the shop: told first, from then to then."""

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="minding")
    person = models.ForeignKey(Person, models.CASCADE, related_name="minding")
    since = models.DateTimeField()
    until = models.DateTimeField(null=True)
    second = models.BooleanField(default=False)  # not told first, but rung when nobody has it


class Lull(models.Model):
    """What is not urgent is held back until then, for everybody or for one person."""

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="lulls")
    person = models.ForeignKey(Person, models.CASCADE, null=True, related_name="lulls")
    since = models.DateTimeField()
    until = models.DateTimeField()
