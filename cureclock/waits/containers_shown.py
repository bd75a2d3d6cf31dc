"""Bottles and cans as they are shown: open how long, expired, frozen, to be tried, how much left."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from cureclock.core.materials.library import library
from cureclock.shop.containers import ContainerStory, container_stories, in_use
from cureclock.shop.models import Workshop

MONTH_D = 365.25 / 12


@dataclass(frozen=True)
class ContainerShown:
    """A container.

    Attributes:
        odd: what speaks against using it: expired, frozen, failed, test_due, old_opened, empty.
        in_use: its material is taken from this one now.
        open_days: days since it was opened.
    """

    id: UUID
    material: UUID
    material_name: str
    name: str
    taken_in_at: datetime
    opened_at: datetime | None
    open_days: float | None
    frozen_at: datetime | None
    expires: date | None
    tested_at: datetime | None
    passed: bool | None
    test_due_at: datetime | None
    left_g: float | None
    holds_g: float | None
    in_use: bool
    odd: tuple[str, ...]


def containers_shown(workshop: Workshop, at: datetime) -> tuple[ContainerShown, ...]:
    """Every container, by material."""
    stories = container_stories(workshop)
    current = {id(in_use(stories, story.container.material_id)) for story in stories}
    return tuple(_shown(story, id(story) in current, workshop, at) for story in stories)


def _shown(story: ContainerStory, used: bool, workshop: Workshop, at: datetime) -> ContainerShown:
    opened, row = story.opened_at, story.container
    assert story.taken_in_at is not None
    return ContainerShown(
        id=row.id,
        material=row.material_id,
        material_name=row.material.name,
        name=row.name,
        taken_in_at=story.taken_in_at,
        opened_at=opened,
        open_days=None if opened is None else (at - opened).total_seconds() / 86400,
        frozen_at=story.frozen_at,
        expires=story.expires,
        tested_at=story.tested_at,
        passed=story.passed,
        test_due_at=story.test_due_at,
        left_g=story.left_g,
        holds_g=story.holds_g,
        in_use=used,
        odd=tuple(_odd(story, workshop, at)),
    )


def _odd(story: ContainerStory, workshop: Workshop, at: datetime) -> list[str]:
    """What speaks against it; frost counts until it was tried and passed."""
    tried_since = story.tested_at and story.frozen_at and story.tested_at >= story.frozen_at
    found = {
        "empty": story.empty,
        "expired": story.expires is not None and at.astimezone(workshop.tz).date() > story.expires,
        "failed": story.passed is False,
        "frozen": story.frozen_at is not None and not (tried_since and story.passed),
        "test_due": story.test_due_at is not None and story.test_due_at <= at,
        "old_opened": _old(story, at),
    }
    return [key for key, so in found.items() if so]


def _old(story: ContainerStory, at: datetime) -> bool:
    """Open for longer than its kind keeps, as far as the library knows."""
    known = library().families.get(story.container.material.family)
    shelf = getattr(known, "shelf_opened_months", None)
    months = getattr(shelf, "value", None)
    if months is None or story.opened_at is None:
        return False
    return (at - story.opened_at).total_seconds() / 86400 > float(months) * MONTH_D
