"""Marking the plan stale: a flag; nothing is solved inside a tap."""

from datetime import datetime

from cureclock.planner.models import Plan
from cureclock.shop.models import Workshop


def mark_stale(workshop: Workshop, at: datetime) -> None:
    """The workshop's plan, if it has one, was made from facts that have changed since."""
    Plan.objects.filter(workshop=workshop, stale_since__isnull=True).update(stale_since=at)


def mark_every_stale(at: datetime) -> None:
    """Every plan is to be made anew."""
    Plan.objects.filter(stale_since__isnull=True).update(stale_since=at)


def begin(workshop: Workshop, at: datetime) -> None:
    """From now on the workshop has a plan; it has to be made yet."""
    Plan.objects.get_or_create(workshop=workshop, defaults={"stale_since": at})
