"""Clocks, waits and gates: all of it can be dropped and rebuilt from the facts."""

import uuid

from django.db import models

from cureclock.shop.models import (
    Coat,
    GlueUp,
    Hold,
    Joint,
    LabelVersion,
    Material,
    Piece,
    Place,
    Workshop,
    Zone,
)


class Clock(models.Model):
    """The cure clock of one place, response, stance and lag of wood, kept only while a wait is open
    on it. Wood that was carried in runs on one of its own at first, with all that came its way.

    Its age counts from no instant in particular: only differences mean anything. Effective
    threshold of a gate = its stored one + the constants of the corrections made after it was
    placed that start at or before its present stay.
    """

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE)
    place = models.ForeignKey(Place, models.CASCADE, related_name="clocks")
    response = models.JSONField()
    response_hash = models.CharField(max_length=32)
    stance = models.CharField(max_length=12)
    lag_s = models.PositiveIntegerField(default=0)
    way = models.JSONField(default=list)  # where wood carried in was before: [place, left_us]
    way_id = models.UUIDField(null=True)
    read_at = models.DateTimeField()  # the place's last reading, or its making before any
    age_us = models.BigIntegerField(default=0)  # age then
    rate = models.FloatField(default=1.0)  # label time per time, then
    corrected = models.PositiveIntegerField(default=0)  # the place's corrections so far
    corrections = models.JSONField(default=list)  # [number, from_us, constant_us]
    next_threshold_us = models.BigIntegerField(null=True)
    next_due_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["place", "response_hash", "stance", "lag_s", "way_id"],
                nulls_distinct=False,
                name="one_clock",
            )
        ]
        indexes = [
            models.Index(
                fields=["next_due_at"],
                condition=models.Q(next_due_at__isnull=False),
                name="clock_due",
            )
        ]


class Wait(models.Model):
    """What one joint, coated zone or hold is waiting for, as a ladder of gates."""

    id = models.UUIDField(primary_key=True, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="waits")
    glue_up = models.ForeignKey(GlueUp, models.CASCADE, null=True, related_name="waits")
    coat = models.ForeignKey(Coat, models.CASCADE, null=True, related_name="waits")
    hold = models.ForeignKey(Hold, models.CASCADE, null=True, related_name="waits")
    joint = models.ForeignKey(Joint, models.CASCADE, null=True, related_name="waits")
    zone = models.ForeignKey(Zone, models.CASCADE, null=True, related_name="waits")
    piece = models.ForeignKey(Piece, models.CASCADE, related_name="waits")
    label = models.ForeignKey(LabelVersion, models.RESTRICT)
    began_at = models.DateTimeField()
    between = models.BooleanField(default=False)  # its start lies between two taps
    floor_c = models.FloatField(null=True)
    lag_s = models.PositiveIntegerField(default=0)  # of its wood behind the air
    coat_number = models.PositiveSmallIntegerField(default=0)  # on its zone; 0 for joints
    place = models.ForeignKey(Place, models.CASCADE, related_name="waits")  # where it is now
    open = models.BooleanField(default=True)

    class Meta:
        indexes = [
            models.Index(fields=["workshop", "open"]),
            models.Index(fields=["place", "open", "floor_c"]),
        ]


class Leg(models.Model):
    """One stay of a wait in one place: from when to when it ran on that place's clocks.

    Wood that lags, carried in not long before its wait began, brings the stay it came from.
    """

    id = models.BigAutoField(primary_key=True)
    wait = models.ForeignKey(Wait, models.CASCADE, related_name="legs")
    place = models.ForeignKey(Place, models.CASCADE, related_name="legs")
    began_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    before = models.BooleanField(default=False)  # its wait had not begun: nothing ran

    class Meta:
        indexes = [models.Index(fields=["place", "ended_at"])]
        ordering = ["began_at"]


class GateQuerySet(models.QuerySet["Gate"]):
    """Gates with what their figures need."""

    def with_clocks(self) -> "GateQuerySet":
        """Each gate's clocks and their places, in the same query."""
        return self.select_related(
            "bare_clock__place__workshop",
            "act_clock__place__workshop",
            "sure_clock__place__workshop",
        )


class Gate(models.Model):
    """One gate of a wait: a threshold on a clock for each figure that shows or acts.

    A gate of a wait that is over has left its clocks: its story is counted from its legs.

    bare: on the likely clock. act: not before (opens) or not after (closes). sure: opens only.
    warn: closes only, on the act clock.
    """

    class State(models.TextChoices):
        WAITING = "waiting"
        WARNED = "warned"
        REACHED = "reached"
        OVER = "over"

    id = models.UUIDField(primary_key=True, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE)
    wait = models.ForeignKey(Wait, models.CASCADE, related_name="gates")
    kind = models.CharField(max_length=24)
    opens = models.BooleanField()
    hurts = models.BooleanField()
    began_at = models.DateTimeField()  # the happening it counts from
    stay_at = models.DateTimeField()  # the later of that and the start of the present stay
    need_us = models.BigIntegerField()
    sure_need_us = models.BigIntegerField(null=True)
    margin = models.FloatField()
    bare_clock = models.ForeignKey(Clock, models.SET_NULL, null=True, related_name="+")
    bare_us = models.BigIntegerField(null=True)
    act_clock = models.ForeignKey(Clock, models.SET_NULL, null=True, related_name="+")
    act_us = models.BigIntegerField(null=True)
    warn_us = models.BigIntegerField(null=True)
    sure_clock = models.ForeignKey(Clock, models.SET_NULL, null=True, related_name="+")
    sure_us = models.BigIntegerField(null=True)
    placed = models.PositiveIntegerField(default=0)  # corrections of the place made before it
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    reached_at = models.DateTimeField(null=True)  # when it was seen to be reached

    objects = GateQuerySet.as_manager()

    @property
    def clock_ids(self) -> set[int]:
        """The clocks its figures stand on."""
        every = (self.bare_clock_id, self.act_clock_id, self.sure_clock_id)
        return {pk for pk in every if pk is not None}

    class Meta:
        constraints = [models.UniqueConstraint(fields=["wait", "kind"], name="one_gate_a_kind")]
        indexes = [
            models.Index(
                fields=["act_clock", "state", "act_us"],
                condition=models.Q(hurts=False),
                name="gate_acts",
            ),
            models.Index(
                fields=["sure_clock", "state", "sure_us"],
                condition=models.Q(hurts=True),
                name="gate_sure",
            ),
            models.Index(
                fields=["act_clock", "state", "warn_us"],
                condition=models.Q(opens=False),
                name="gate_warn",
            ),
            models.Index(fields=["act_clock", "stay_at"]),
        ]


class Suspicion(models.Model):
    """Doubt with a cause about a wait. Waiting never clears it; a person does, with a name."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="suspicions")
    wait = models.ForeignKey(Wait, models.CASCADE, related_name="suspicions")
    cause = models.CharField(max_length=24)
    at = models.DateTimeField()
    temp_c = models.FloatField(null=True)
    banked_us = models.BigIntegerField(null=True)  # strict label time banked by then
    cleared_by = models.UUIDField(null=True)  # the event that cleared it


class Seen(models.Model):
    """What a check or a witness saw of one gate: ready or not, at so much label time.

    Counted on the likely clock from the last of its group, as what opens is. It depends on no
    need, so what is learned from it never changes it.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="seen")
    material = models.ForeignKey(Material, models.CASCADE, related_name="seen")
    place = models.ForeignKey(Place, models.CASCADE, related_name="seen")  # where it was begun
    coat_number = models.PositiveSmallIntegerField(default=0)
    gate = models.CharField(max_length=24)
    glue_up = models.ForeignKey(GlueUp, models.CASCADE, null=True, related_name="seen")
    coat = models.ForeignKey(Coat, models.CASCADE, null=True, related_name="seen")
    event = models.UUIDField()
    at = models.DateTimeField()
    arrived_at = models.DateTimeField()
    age_us = models.BigIntegerField()
    ready = models.BooleanField()

    class Meta:
        indexes = [
            models.Index(fields=["material", "place", "at"]),
            models.Index(fields=["workshop", "at"]),
        ]
        ordering = ["at", "id"]
