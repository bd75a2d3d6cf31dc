"""The key that signs our pushes, and the answers that came by a link."""

import uuid

from django.db import models

from cureclock.reminders.models.alerts import Delivery


class PushKey(models.Model):
    """The one pair of keys by which push services know this server (RFC 8292)."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    private = models.CharField(max_length=64)
    public = models.CharField(max_length=100)
    made_at = models.DateTimeField()


class LinkUsed(models.Model):
    """An answer given by a link: each link answers once."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    delivery = models.ForeignKey(Delivery, models.CASCADE, related_name="links_used")
    act = models.CharField(max_length=16)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["delivery", "act"], name="one_answer_a_link")
        ]
