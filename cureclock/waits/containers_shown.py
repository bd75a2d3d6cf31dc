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
        odd: what speaks against using it: expired, frozen, failed, test_due, old_opened, old, empty.
        in_use: its material is taken from this one now.
        open_days, age_days: days since it was opened, and since it came.
        keeps_days, keeps_open_days: how long its kind keeps unopened and once opened; None where
            the library does not know.
    """

    id: UUID
    material: UUID
    material_name: str
    name: str
    taken_in_at: datetime
    opened_at: datetime | None
    open_days: float | None
    age_days: float
    keeps_days: float | None
    keeps_open_days: float | None
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
        open_days=None if opened is None else _days(opened, at),
        age_days=_days(story.taken_in_at, at),
        keeps_days=_keeps(story, "shelf_months"),
        keeps_open_days=_keeps(story, "shelf_opened_months"),
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
        "old_opened": _older(story.opened_at, _keeps(story, "shelf_opened_months"), at),
        "old": story.expires is None
        and _older(story.taken_in_at, _keeps(story, "shelf_months"), at),
    }
    return [key for key, so in found.items() if so]


def _keeps(story: ContainerStory, name: str) -> float | None:
    """How long its kind keeps [d], as far as the library knows."""
    known = library().families.get(story.container.material.family)
    months = getattr(getattr(known, name, None), "value", None)
    return None if months is None else float(months) * MONTH_D


def _older(since: datetime | None, keeps_days: float | None, at: datetime) -> bool:
    return since is not None and keeps_days is not None and _days(since, at) > keeps_days


def _days(since: datetime, at: datetime) -> float:
    return (at - since).total_seconds() / 86400
