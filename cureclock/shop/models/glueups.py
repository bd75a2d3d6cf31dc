"""Glue-ups and the joints they make."""

import uuid

from django.db import models

from cureclock.shop.models.materials import LabelVersion
from cureclock.shop.models.pieces import Piece
from cureclock.shop.models.places import Place
from cureclock.shop.models.workshops import Workshop


class GlueUp(models.Model):
    """One session of spreading and pressing: one adhesive, one place, one or more joints."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="glue_ups")
    name = models.CharField(max_length=80)
    label = models.ForeignKey(LabelVersion, models.RESTRICT)
    place = models.ForeignKey(Place, models.RESTRICT)  # where it began
    stressed = models.BooleanField(default=False)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class Joint(models.Model):
    """One glue line, carried by the piece it is part of and by everything made of that."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    glue_up = models.ForeignKey(GlueUp, models.CASCADE, related_name="joints")
    piece = models.ForeignKey(Piece, models.CASCADE, related_name="joints")
    name = models.CharField(max_length=80)
    thickness_mm = models.FloatField(null=True)  # of the wood across the joint; None: no lag

    def __str__(self) -> str:
        return self.name
