"""Adhesives and finishes in use, with every version of what their label says."""

import uuid
from functools import cached_property

from django.db import models

from cureclock.core.materials.label import Label
from cureclock.shop.models.people import Person
from cureclock.shop.models.workshops import Workshop


class Material(models.Model):
    """An adhesive, finish or hold as this workshop calls it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="materials")
    name = models.CharField(max_length=80)
    family = models.CharField(max_length=60)  # key in the library
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class Container(models.Model):
    """One bottle, can or pot of a material. What became of it is told by happenings."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="containers")
    material = models.ForeignKey(Material, models.CASCADE, related_name="containers")
    name = models.CharField(max_length=80)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return self.name


class LabelVersion(models.Model):
    """One reading of the label: values, who read them, from which container, when. Appended."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    material = models.ForeignKey(Material, models.CASCADE, related_name="labels")
    values = models.JSONField()
    read_by = models.ForeignKey(Person, models.SET_NULL, null=True)  # None: typical, unread
    container = models.CharField(max_length=80, blank=True)
    read_from = models.ForeignKey(Container, models.SET_NULL, null=True, related_name="labels")
    since = models.DateTimeField()
    arrived_at = models.DateTimeField()
    struck_by = models.UUIDField(null=True)

    @cached_property
    def label(self) -> Label:
        """The label as the core reads it."""
        return Label.from_json(self.values)
