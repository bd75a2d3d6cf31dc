"""What was promised: alerts, and the delivery of each to each way of each person."""

import uuid

from django.db import models

from cureclock.reminders.models.ways import Way
from cureclock.shop.models import Person, Workshop


class Alert(models.Model):
    """One thing to be told, once: the constraint makes it so, not a habit.

    It speaks of a subject by its id alone, so that it outlives what it speaks of.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="alerts")
    about = models.UUIDField()  # glue-up, coat, hold, place, rags question, workshop or way
    subject = models.CharField(max_length=8)  # which of these
    gate = models.CharField(max_length=24, blank=True)  # kind of gate, cause, silence or day
    kind = models.CharField(max_length=16)  # of core/reminding/kinds, or "test"
    seq = models.PositiveIntegerField(default=0)
    waits = models.JSONField(default=list)  # the waits it speaks of
    said = models.JSONField(default=dict)  # what has to outlive its subject, or was said before
    urgent = models.BooleanField(default=False)  # breaks quiet hours
    due_at = models.DateTimeField()  # when it came true
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    told_at = models.DateTimeField(null=True)  # when the first way took it
    look_at = models.DateTimeField(null=True)  # when who is told may have changed
    settled_at = models.DateTimeField(null=True)  # nothing more comes of it

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["about", "gate", "kind", "seq"], name="told_once")
        ]
        indexes = [
            models.Index(
                fields=["workshop", "kind"],
                condition=models.Q(settled_at__isnull=True),
                name="alert_unsettled",
            ),
            models.Index(
                fields=["look_at"], condition=models.Q(look_at__isnull=False), name="alert_look"
            ),
            models.Index(fields=["workshop", "made_at"]),
        ]


class Answered(models.Model):
    """What somebody answered to an alert: mine, later, not me."""

    id = models.BigAutoField(primary_key=True)
    alert = models.ForeignKey(Alert, models.CASCADE, related_name="answers")
    person = models.ForeignKey(Person, models.CASCADE, related_name="answers")
    says = models.CharField(max_length=8)
    at = models.DateTimeField()


class Delivery(models.Model):
    """One alert on its way to one person by one way."""

    class State(models.TextChoices):
        PENDING = "pending"
        SENDING = "sending"
        SENT = "sent"  # taken by the mailbox, the push service, the notifier
        DEAD = "dead"  # refused for good; a fault of ours or of the address
        EXPIRED = "expired"
        SUPERSEDED = "superseded"  # no longer true, taken by somebody, or told in a list

    id = models.BigAutoField(primary_key=True)
    alert = models.ForeignKey(Alert, models.CASCADE, related_name="deliveries")
    way = models.ForeignKey(Way, models.CASCADE, related_name="deliveries")
    person = models.ForeignKey(Person, models.CASCADE, related_name="deliveries")
    state = models.CharField(max_length=10, choices=State, default=State.PENDING)
    urgent = models.BooleanField(default=False)  # its turn comes first
    held = models.CharField(max_length=8, blank=True)  # why it waits: told in a list if many do
    next_try_at = models.DateTimeField()
    attempts = models.PositiveIntegerField(default=0)
    lease_token = models.UUIDField(null=True)
    lease_until = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    status = models.IntegerField(null=True)
    error = models.CharField(max_length=200, blank=True)
    shown_at = models.DateTimeField(null=True)
    seen_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["alert", "way"], name="one_delivery_a_way")]
        indexes = [
            models.Index(
                fields=["urgent", "next_try_at"],
                condition=models.Q(state="pending"),
                name="delivery_next",
            ),
            models.Index(
                fields=["lease_until"],
                condition=models.Q(state="sending"),
                name="delivery_leased",
            ),
        ]
