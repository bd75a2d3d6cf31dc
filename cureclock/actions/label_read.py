"""A material is taken in, or somebody reads its label: values, container, name."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.materials.library import family
from cureclock.core.materials.merge import with_label
from cureclock.shop.happening import Happening
from cureclock.shop.making import make
from cureclock.shop.models import LabelVersion, Material
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class LabelRead:
    """Which material of which family, and what its label says; nothing said: typical, unread."""

    material: UUID
    label: UUID
    name: str
    family: str
    values: Mapping[str, Any] = field(default_factory=dict)
    container: str = ""
    read_from: UUID | None = None  # the container, where it was taken in


@verb("label_read", LabelRead)
def label_read(happening: Happening, said: LabelRead) -> Done:
    """A new version of the label; waits that run keep the one they began with."""
    workshop = happening.told_by.workshop
    label = with_label(family(said.family), said.values)
    with transaction.atomic():
        what = {"name": said.name, "family": said.family, "made_at": happening.at}
        material, _ = make(Material, workshop, said.material, **what)
        container = (
            find.container(workshop, said.read_from, "read_from") if said.read_from else None
        )
        if container is not None and container.material_id != material.id:
            raise Refusal("read_from", "holds another material", "choose one of this material")
        event, new = append(happening, "label_read", plain(said))
        if new:
            LabelVersion.objects.create(
                id=said.label,
                material=material,
                values=label.to_json(),
                read_by=happening.told_by.person if said.values else None,
                container=said.container or (container.name if container else ""),
                read_from=container,
                since=happening.at,
                arrived_at=happening.arrived_at,
            )
        if new and (said.container or container):
            follow(workshop, happening.arrived_at, opened=(material.id, happening.at), why="label")
    return Done(event.id, new)
