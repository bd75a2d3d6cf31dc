"""Somebody says what the workshop is called, when it is open and when everybody goes home."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction

from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, verb
from cureclock.reminders.looks import hours_changed
from cureclock.shop.happening import Happening
from cureclock.shop.own_hours import DayHours, on_the_wall, settle, weekly
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class ShopTold:
    """What is said of it; what is left out still holds. No hours: nobody is ever there."""

    name: str = ""
    home_time: str = ""
    hours: tuple[DayHours, ...] | None = None


@verb("shop_told", ShopTold)
def shop_told(happening: Happening, said: ShopTold) -> Done:
    """Lists, last calls and who is told follow these hours from now on."""
    workshop = happening.told_by.workshop
    happening.told_by.must_own()
    body = _body(said)
    with transaction.atomic():
        event, new = append(happening, "shop_told", body)
        if new:
            settle(event)
            workshop.refresh_from_db()
            hours_changed(workshop)
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)


def _body(said: ShopTold) -> dict[str, Any]:
    told: dict[str, Any] = {"name": said.name} if said.name else {}
    if said.home_time:
        told["home_time"] = on_the_wall(said.home_time)
    if said.hours is not None:
        told["hours"] = weekly(said.hours)
    if not told:
        raise Refusal("said", "says nothing", "say the name, the hours or the home time")
    return told
