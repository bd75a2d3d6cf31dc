"""Pieces, what they are made of, their zones, and what is held on them for a while."""

import uuid

from django.db import models

from cureclock.shop.models.materials import LabelVersion
from cureclock.shop.models.places import Place
from cureclock.shop.models.stock import StockLot
from cureclock.shop.models.workshops import Workshop


class Batch(models.Model):
    """Near-identical pieces made together."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="batches")
    name = models.CharField(max_length=80)
    promised = models.DateField(null=True)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class Piece(models.Model):
    """A thing with a number: billet, half-ring, blank, waste block, finished piece."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="pieces")
    batch = models.ForeignKey(Batch, models.SET_NULL, null=True, related_name="pieces")
    tag = models.CharField(max_length=24)
    what = models.CharField(max_length=80, blank=True)
    lot = models.ForeignKey(StockLot, models.SET_NULL, null=True, related_name="pieces")
    made_at = models.DateTimeField()
    made_by = models.UUIDField(null=True)  # the happening that made it
    struck_by = models.UUIDField(null=True)  # what strikes that out, while it does

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["workshop", "tag"], name="one_piece_a_tag"),
        ]

    def __str__(self) -> str:
        return self.tag


class MadeFrom(models.Model):
    """`whole` was made from `part`: sawn from it, or glued together of it.

    `counts` is worked out from the happenings: not of a link whose telling is struck out, nor of
    one that would make a piece a part of itself.
    """

    id = models.BigAutoField(primary_key=True)
    whole = models.ForeignKey(Piece, models.CASCADE, related_name="made_from")
    part = models.ForeignKey(Piece, models.CASCADE, related_name="made_into")
    event = models.UUIDField()  # the happening that said so
    counts = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["whole", "part", "event"], name="made_from_once"),
        ]


class Zone(models.Model):
    """A part of a piece that is coated at its own time, or kept bare."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    piece = models.ForeignKey(Piece, models.CASCADE, related_name="zones")
    name = models.CharField(max_length=40)
    keep_bare = models.BooleanField(default=False)
    made_by = models.UUIDField(null=True)  # the happening, where it came later than its piece
    struck_by = models.UUIDField(null=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["piece", "name"], name="zone_once")]


class Hold(models.Model):
    """A temporary bond on a piece: tape, hot-melt, a paper joint, a waste block."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    piece = models.ForeignKey(Piece, models.CASCADE, related_name="holds")
    zone = models.ForeignKey(Zone, models.SET_NULL, null=True, related_name="holds")
    what = models.CharField(max_length=80)
    off_before = models.CharField(max_length=40, blank=True)  # the act it must be off before
    label = models.ForeignKey(LabelVersion, models.RESTRICT, null=True)  # None: no clock of its own
    place = models.ForeignKey(Place, models.RESTRICT, null=True)  # where it went on
