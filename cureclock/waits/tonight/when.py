"""When the night begins and ends: home time, who is back when, and the hour that was asked for."""

import re
from dataclasses import dataclass
from datetime import datetime, time, timedelta

import numpy as np

from cureclock.core.reminding.wall import Weekly, wall_us
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Workshop
from cureclock.shop.refusals import Refusal

CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)")
MORNING = time(8)  # the hour looked to where nobody says; common practice, no source


@dataclass(frozen=True)
class Night:
    """The night ahead.

    Attributes:
        by: the hour at which something has to be open.
        home: when the last goes home; None where nobody is there now.
        back: when somebody is there again; None where no hours are kept.
    """

    now: datetime
    by: datetime
    home: datetime | None
    back: datetime | None


def night_ahead(workshop: Workshop, at: datetime, by: str) -> Night:
    """The night from now on; `by` is a local clock time like 08:00, or empty."""
    home, back = _home_and_back(workshop, at)
    if by:
        return Night(at, _next_at(workshop, at, _time(by)), home, back)
    return Night(at, back or _next_at(workshop, at, MORNING), home, back)


def _time(by: str) -> time:
    found = CLOCK.fullmatch(by)
    if found is None:
        raise Refusal("by", "is no time of day", "say it like 08:00")
    return time(int(found[1]), int(found[2]))


def _next_at(workshop: Workshop, at: datetime, clock: time) -> datetime:
    """The next time the local clock says so."""
    local = at.astimezone(workshop.tz)
    for ahead in (0, 1):
        us = wall_us(local.date() + timedelta(days=ahead), clock, workshop.tz)
        if us > instant_us(at):
            break
    return moment_of(us)


def _home_and_back(workshop: Workshop, at: datetime) -> tuple[datetime | None, datetime | None]:
    now = instant_us(at)
    spells = Weekly.of(workshop.hours).spells(workshop.tz, now)
    if spells is None:
        return None, None
    opens, closes = np.asarray(spells.open_us), np.asarray(spells.close_us)
    spell = int(np.searchsorted(closes, now, side="right"))
    if spell == len(closes):
        return None, None
    inside = int(opens[spell]) <= now
    later = spell + 1 if inside else spell
    home = moment_of(int(closes[spell])) if inside else None
    return home, moment_of(int(opens[later])) if later < len(opens) else None
