"""When somebody is in the shop, from now to the end of a plan."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import numpy as np

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.planning.problem import Person
from cureclock.core.reminding.wall import Weekly
from cureclock.core.units import DAY_US, moment_of
from cureclock.shop.models import Membership, Workshop
from cureclock.shop.plan_told import Body, PlanTold

HANDS = (Membership.Role.OWNER, Membership.Role.HELPER)


def people(workshop: Workshop, told: PlanTold, from_us: int, until_us: int) -> tuple[Person, ...]:
    """Everybody with hands, and their spells in the shop."""
    rows = Membership.objects.filter(workshop=workshop, role__in=HANDS).order_by("id")
    return tuple(
        Person(
            str(row.person_id),
            _spells(workshop, row, told.days.get(row.person_id, {}), from_us, until_us),
        )
        for row in rows
    )


def _spells(
    workshop: Workshop, row: Membership, days: Body, from_us: int, until_us: int
) -> ShopHours | None:
    weekly = Weekly.of(row.hours or workshop.hours)
    ahead = min(max((until_us - from_us) // DAY_US + 1, 1), 366)
    spells = weekly.spells(workshop.tz, from_us, days=int(ahead))
    if spells is None:
        return None
    away = [date.fromisoformat(one) for one in days.get("away", ())]
    kept = list(_without(workshop, spells, away))
    return ShopHours(*map(np.array, zip(*kept, strict=True))) if kept else None


def _without(
    workshop: Workshop, spells: ShopHours, away: Sequence[date]
) -> Iterator[tuple[int, int]]:
    pairs = zip(np.asarray(spells.open_us), np.asarray(spells.close_us), strict=True)
    for opens, closes in pairs:
        if moment_of(int(opens)).astimezone(workshop.tz).date() not in away:
            yield int(opens), int(closes)


def next_free_day(
    workshop: Workshop, hours: ShopHours | None, from_us: int, weekday: int
) -> date | None:
    """The next day of this weekday on which somebody of these hours is not there."""
    today = moment_of(from_us).astimezone(workshop.tz).date()
    day = today + timedelta(days=(weekday - today.weekday()) % 7 or 7)
    if hours is None:
        return day
    there = {moment_of(int(us)).astimezone(workshop.tz).date() for us in np.asarray(hours.open_us)}
    return None if day in there else day
