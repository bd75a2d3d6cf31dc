"""What is made of sensors: which one a place believes, how they are heard, what is wrong with them."""

import uuid

from django.db import models

from cureclock.shop.models.people import Person, Phone
from cureclock.shop.models.places import Place, Sensor
from cureclock.shop.models.workshops import Workshop


class BelievedVersion(models.Model):
    """Which sensor a place believes from an instant on; none named: all of them. Appended."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.CASCADE, related_name="believed")
    sensor = models.ForeignKey(Sensor, models.CASCADE, null=True)
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    struck_by = models.UUIDField(null=True)


class BrokerVersion(models.Model):
    """The message broker a workshop listens to from an instant on; no host: none. Appended.

    Who listens is no fact: a process holds the broker for a while, and says how it goes.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="brokers")
    host = models.CharField(max_length=253, blank=True)
    port = models.PositiveIntegerField(default=1883)
    tls = models.BooleanField(default=False)
    username = models.CharField(max_length=120, blank=True)
    password = models.TextField(blank=True)  # sealed
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    struck_by = models.UUIDField(null=True)
    held_by = models.CharField(max_length=120, blank=True)
    held_until = models.DateTimeField(null=True)
    state = models.CharField(max_length=200, blank=True)
    state_at = models.DateTimeField(null=True)


class TopicVersion(models.Model):
    """Under which topic a sensor is heard, and where in a message what stands. Appended.

    A field is a path of names with points between them; empty, the whole message is the value.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    sensor = models.ForeignKey(Sensor, models.CASCADE, related_name="topics")
    topic = models.CharField(max_length=200, blank=True)  # empty: heard no more
    temp_field = models.CharField(max_length=120, blank=True)
    rh_field = models.CharField(max_length=120, blank=True)
    at_field = models.CharField(max_length=120, blank=True)
    fahrenheit = models.BooleanField(default=False)
    status_topic = models.CharField(max_length=200, blank=True)  # where its last will appears
    gone_word = models.CharField(max_length=60, blank=True)
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    struck_by = models.UUIDField(null=True)


class SensorFault(models.Model):
    """What a sensor does wrong, counted: one row a kind, however often. No estimate reads it."""

    class Kind(models.TextChoices):
        UNREADABLE = "unreadable"
        FLOOD = "flood"
        FUTURE = "future"
        IMPOSSIBLE = "impossible"
        TWICE = "twice"
        GONE = "gone"

    id = models.BigAutoField(primary_key=True)
    sensor = models.ForeignKey(Sensor, models.CASCADE, related_name="faults")
    kind = models.CharField(max_length=12, choices=Kind)
    count = models.PositiveBigIntegerField(default=0)
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    sample = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["sensor", "kind"], name="one_fault_a_kind"),
        ]


class LoggerFile(models.Model):
    """A logger's file on its way in, and how far it has come; the same bytes are the same file."""

    id = models.UUIDField(primary_key=True, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="logger_files")
    sensor = models.ForeignKey(Sensor, models.CASCADE, related_name="logger_files")
    person = models.ForeignKey(Person, models.SET_NULL, null=True)
    phone = models.ForeignKey(Phone, models.SET_NULL, null=True)
    name = models.CharField(max_length=120, blank=True)
    size = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()
    shape = models.JSONField(null=True)  # how it is read; none before somebody agreed to it
    byte = models.PositiveBigIntegerField(default=0)  # where the next row begins
    row = models.PositiveBigIntegerField(default=0)
    kept = models.PositiveBigIntegerField(default=0)
    known = models.PositiveBigIntegerField(default=0)
    refused = models.PositiveBigIntegerField(default=0)
    faults = models.JSONField(default=list)  # the first bad rows, each with its reason
    reading = models.JSONField(null=True)  # what the reader has to remember between two parts
    done_at = models.DateTimeField(null=True)
