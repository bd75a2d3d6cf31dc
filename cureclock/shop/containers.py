"""Bottles, cans and pots: when each was opened, froze, was tested, and how much is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from cureclock.shop.models import Container, Event, Material, Workshop
from cureclock.shop.record import stand
from cureclock.shop.refusals import OtherBody

KINDS = (
    "container_taken_in",
    "container_opened",
    "container_frozen",
    "container_left",
    "container_tested",
)


@dataclass
class ContainerStory:
    """What stands of what was told of one container.

    Attributes:
        opened_at, frozen_at: first opened, last frozen; None if never.
        tested_at, passed: the last test, if there was one.
        left_g: by the newest word; what it held where nobody looked, None where neither is known.
    """

    container: Container
    taken_in_at: datetime | None = None
    expires: date | None = None
    holds_g: float | None = None
    test_every_days: float | None = None
    opened_at: datetime | None = None
    frozen_at: datetime | None = None
    tested_at: datetime | None = None
    passed: bool | None = None
    left_g: float | None = None

    @property
    def empty(self) -> bool:
        """Somebody said that nothing is left."""
        return self.left_g == 0

    @property
    def test_due_at(self) -> datetime | None:
        """When it is to be tried again: at once after frost or a failed try, else by its rhythm."""
        if self.frozen_at and (self.tested_at is None or self.tested_at < self.frozen_at):
            return self.frozen_at
        if self.tested_at is not None and self.passed is False:
            return self.tested_at
        since = self.tested_at or self.opened_at or self.taken_in_at
        if self.test_every_days is None or since is None:
            return None
        return since + timedelta(days=self.test_every_days)


def keep_container(material: Material, ident: UUID, name: str, at: datetime) -> Container:
    """The container of this id; one of another material is no container of this one."""
    what: dict[str, Any] = {"material": material, "workshop": material.workshop}
    container, _ = Container.objects.get_or_create(
        id=ident, defaults={**what, "name": name, "made_at": at}
    )
    if container.material_id != material.id:
        raise OtherBody
    return container


def container_stories(workshop: Workshop) -> list[ContainerStory]:
    """Every container whose taking in stands, by material and by when it came."""
    told = stand(Event.objects.filter(workshop=workshop, kind__in=KINDS))
    rows = Container.objects.filter(workshop=workshop).select_related("material")
    own: dict[str, list[Event]] = {}
    for event in told:
        own.setdefault(event.body["container"], []).append(event)
    stories = [_fold(row, own.get(str(row.id), ())) for row in rows.order_by("made_at", "id")]
    here = [story for story in stories if story.taken_in_at is not None]
    return sorted(here, key=lambda story: story.container.material.name)


def in_use(stories: Sequence[ContainerStory], material: UUID) -> ContainerStory | None:
    """The container a material is taken from now: the one opened last that is not empty."""
    opened = [
        story
        for story in stories
        if story.container.material_id == material and story.opened_at and not story.empty
    ]
    return max(opened, key=lambda story: str(story.opened_at), default=None)


def _fold(container: Container, told: Sequence[Event]) -> ContainerStory:
    story = ContainerStory(container)
    for event in told:
        body, at = event.body, event.happened_at
        if event.kind == "container_taken_in":
            story.taken_in_at = story.taken_in_at or at
            story.expires = date.fromisoformat(body["expires"]) if "expires" in body else None
            story.holds_g = body.get("holds_g")
            story.test_every_days = body.get("test_every_days")
        elif event.kind == "container_opened":
            story.opened_at = story.opened_at or at
        elif event.kind == "container_frozen":
            story.frozen_at = at
        elif event.kind == "container_tested":
            story.tested_at, story.passed = at, bool(body["passed"])
        elif event.kind == "container_left":
            story.left_g = float(body["left_g"])
    if story.left_g is None:
        story.left_g = story.holds_g
    return story
