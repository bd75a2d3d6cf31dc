"""People, what each may do in which workshop, and the phones they carry."""

import uuid

from django.db import models

from cureclock.shop.models.workshops import Workshop


class Person(models.Model):
    """Somebody with hands. May belong to several workshops."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    zone = models.CharField(max_length=64, blank=True)  # empty: the workshop's
    email = models.EmailField(blank=True)

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
    """What a person may do in a workshop, and when they are there."""

    class Role(models.TextChoices):
        OWNER = "owner"
        HELPER = "helper"
        VIEWER = "viewer"

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="memberships")
    person = models.ForeignKey(Person, models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role)
    hours = models.JSONField(default=dict)  # weekday 0-6 to [from, to]; empty: the shop's hours
    quiet_from = models.TimeField(null=True)
    quiet_until = models.TimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["workshop", "person"], name="one_role_each"),
        ]


class Phone(models.Model):
    """A paired phone. It is the key to the shop: its token is stored hashed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="phones")
    person = models.ForeignKey(Person, models.CASCADE, related_name="phones")
    name = models.CharField(max_length=80)
    token_hash = models.CharField(max_length=64, unique=True)
    paired_at = models.DateTimeField()
    unpaired_at = models.DateTimeField(null=True)
    until = models.DateTimeField(null=True)  # let in from outside: its key ends then by itself
    seen_at = models.DateTimeField(null=True)
    unsent = models.PositiveIntegerField(default=0)  # taps it still keeps, as it last said

    def __str__(self) -> str:
        return self.name


class PairingLink(models.Model):
    """A link that pairs one phone, once, and soon."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE)
    person = models.ForeignKey(Person, models.CASCADE)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    until = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
