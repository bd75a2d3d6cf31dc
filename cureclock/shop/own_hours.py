"""What was last said of the workshop and of each person: name, hours, home time, quiet, zone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo, available_timezones

from cureclock.core.refusal import Refused
from cureclock.core.reminding.wall import Weekly
from cureclock.shop.models import Event, Membership, Workshop
from cureclock.shop.models.workshops import ordinary_hours
from cureclock.shop.record import stand

SHOP, PERSON = "shop_told", "person_told"
HOME_TIME = time(18, 0)


@dataclass(frozen=True)
class DayHours:
    """A weekday, Monday 0, and when the shop is opened and left, "HH:MM"."""

    weekday: int
    comes: str
    goes: str


def weekly(days: Sequence[DayHours]) -> dict[str, list[str]]:
    """Hours of a week as they are kept; a day that is not named is free."""
    kept = {str(one.weekday): [on_the_wall(one.comes), on_the_wall(one.goes)] for one in days}
    if len(kept) < len(days):
        raise Refused("hours", [one.weekday for one in days], "each day of the week once")
    Weekly.of(kept)
    return kept


def on_the_wall(clock: str) -> str:
    """A time of day as it is kept, "08:00"."""
    try:
        return time.fromisoformat(clock).strftime("%H:%M")
    except ValueError:
        raise Refused("time of day", clock, "a time like 07:30") from None


def zone_named(zone: str) -> str:
    """The name of a time zone that exists; empty for the workshop's own."""
    if zone and zone not in available_timezones():
        raise Refused("zone", zone, "a name like Europe/London, or nothing")
    return zone and ZoneInfo(zone).key


def settle(event: Event) -> None:
    """Write anew what this event speaks of, by all that was told of it: the last counts.

    What nothing that stands speaks of any more is again as a new workshop has it.
    """
    workshop = Workshop.objects.get(id=event.workshop_id)
    if event.kind == SHOP:
        _settle_shop(workshop)
    elif event.kind == PERSON:
        _settle_person(workshop, UUID(event.body["person"]))


def _settle_shop(workshop: Workshop) -> None:
    known, last = _told(workshop, SHOP)
    if "name" in last:
        workshop.name = last["name"]
    if "home_time" in known:
        told = last.get("home_time")
        workshop.home_time = HOME_TIME if told is None else time.fromisoformat(told)
    if "hours" in known:
        workshop.hours = last.get("hours", ordinary_hours())
    workshop.save(update_fields=["name", "home_time", "hours"])


def _settle_person(workshop: Workshop, ident: UUID) -> None:
    known, last = _told(workshop, PERSON, person=str(ident))
    members = Membership.objects.select_related("person")
    member = members.filter(workshop=workshop, person=ident).first()
    if member is None:
        return  # gone meanwhile
    for name in ("quiet_from", "quiet_until"):
        if name in known:
            told = last.get(name)
            setattr(member, name, None if told is None else time.fromisoformat(told))
    member.save(update_fields=["quiet_from", "quiet_until"])
    if "zone" in known:
        member.person.zone = last.get("zone", "")
        member.person.save(update_fields=["zone"])


def _told(workshop: Workshop, kind: str, **about: str) -> tuple[set[str], dict[str, Any]]:
    """Everything anybody ever spoke of, and what was said last of each that stands."""
    rows = Event.objects.filter(workshop=workshop, kind=kind)
    rows = rows.filter(**{f"body__{name}": value for name, value in about.items()})
    known = {name for body in rows.values_list("body", flat=True) for name in body}
    last: dict[str, Any] = {}
    for event in stand(rows):
        last |= event.body
    return known, last
