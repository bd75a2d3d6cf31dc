"""A workshop's people as the pure core knows them, and the ways to reach each."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Protocol, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from cureclock.core.coat.shop_hours import NEVER
from cureclock.core.reminding.facts import Shop
from cureclock.core.reminding.wall import Weekly
from cureclock.core.reminding.who import Hand, To, addressed, concerned
from cureclock.core.units import instant_us, moment_of
from cureclock.reminders.kinds import rings_at_any_hour
from cureclock.reminders.models import Lull, Minding, Way
from cureclock.shop.models import Membership, Person, Workshop

ACTING = (Membership.Role.OWNER, Membership.Role.HELPER)
BEFORE_OPEN = timedelta(minutes=20)  # when the morning list goes out
AFTER_LIST = timedelta(minutes=30)  # what no list told by then rings by itself; our choice
LIST = "list"  # why a delivery is held: the next list tells it


@dataclass(frozen=True)
class When:
    """From when a person may be told, and whether it waits for the next list."""

    person: UUID
    at: datetime
    held: str = ""


@dataclass(frozen=True)
class House:
    """Who can be told in a workshop, when somebody is there, and by which ways.

    Attributes:
        shop: the people as the core knows them, by the text of their ids.
        people: the same people by their ids.
        ways: ways that are alive, of each person.
        lulled: until when what is not urgent is held, of each person.
    """

    workshop: Workshop
    shop: Shop
    people: Mapping[UUID, Person]
    ways: Mapping[UUID, Sequence[Way]]
    lulled: Mapping[UUID, datetime] = field(default_factory=dict)

    def zone(self, person: UUID) -> ZoneInfo:
        """Where a person is."""
        return ZoneInfo(self.people[person].zone or self.workshop.zone)

    def told(self, kind: str, gate: str, at: datetime) -> tuple[When, ...]:
        """Whom something concerns, and from when each may be told."""
        return self.told_of(kind, gate, at, concerned(self.shop.people, instant_us(at)))

    def told_of(self, kind: str, gate: str, at: datetime, keys: Sequence[str]) -> tuple[When, ...]:
        """From when each of these people may be told.

        What breaks quiet hours is told at once. What comes while nobody is there waits for the
        list of the next morning; what comes less than that before opening, for the opening.
        """
        at_us = instant_us(at)
        if rings_at_any_hour(kind, gate):
            return tuple(self._when(to) for to in addressed(self.shop.people, keys, at_us, True))
        hours = self.shop.hours
        opens_us = at_us if hours is None else hours.earliest_start(at_us, 0)
        if opens_us in (at_us, NEVER):  # never: further off than the hours are laid out
            found = (self._when(to) for to in addressed(self.shop.people, keys, at_us, False))
            return tuple(self._after_lull(one) for one in found)
        opens = moment_of(opens_us)
        keys = concerned(self.shop.people, instant_us(opens))
        if opens - at <= BEFORE_OPEN:
            told = addressed(self.shop.people, keys, instant_us(opens), False)
            return tuple(self._when(to) for to in told)
        tell = opens - BEFORE_OPEN + AFTER_LIST
        return tuple(When(UUID(key), tell, LIST) for key in keys)

    def _when(self, to: To) -> When:
        return When(UUID(to.person), moment_of(to.not_before_us))

    def _after_lull(self, one: When) -> When:
        until = self.lulled.get(one.person)
        return one if until is None or until <= one.at else When(one.person, until)


def house(workshop: UUID, at: datetime) -> House | None:
    """A workshop's people and ways at an instant; None where nobody can act in it."""
    return houses([workshop], at)[workshop]


def houses(workshops: Collection[UUID], at: datetime) -> dict[UUID, House | None]:
    """The same of several workshops, in as many questions as of one."""
    rows = Membership.objects.filter(workshop__in=workshops, role__in=ACTING)
    members = _by_workshop(rows.select_related("person", "workshop").order_by("id"))
    still = Q(until=None) | Q(until__gt=at)
    mind = Minding.objects.filter(still, workshop__in=members, since__lte=at).order_by("id")
    ways = Way.objects.filter(workshop__in=members, dead_since=None).order_by("made_at", "id")
    lulls = Lull.objects.filter(workshop__in=members, since__lte=at, until__gt=at)
    minding, alive, lulled = _by_workshop(mind), _by_workshop(ways), _by_workshop(lulls)
    found: dict[UUID, House | None] = dict.fromkeys(workshops)
    for key, own in members.items():
        found[key] = _house(own, minding.get(key, ()), alive.get(key, ()), lulled.get(key, ()), at)
    return found


class _OfWorkshop(Protocol):
    workshop_id: UUID


Row = TypeVar("Row", bound=_OfWorkshop)


def _by_workshop(rows: Iterable[Row]) -> dict[UUID, list[Row]]:
    found: dict[UUID, list[Row]] = {}
    for row in rows:
        found.setdefault(row.workshop_id, []).append(row)
    return found


def _house(
    members: Sequence[Membership],
    minds: Iterable[Minding],
    alive: Iterable[Way],
    lulls: Iterable[Lull],
    at: datetime,
) -> House:
    shop = members[0].workshop
    minding = {row.person_id: row for row in minds}
    ways: dict[UUID, list[Way]] = {}
    for way in alive:
        ways.setdefault(way.person_id, []).append(way)
    return House(
        workshop=shop,
        shop=Shop(
            key=str(shop.id),
            people=[_hand(member, shop, minding.get(member.person_id), at) for member in members],
            hours=Weekly.of(shop.hours).spells(shop.tz, instant_us(at)),
            zone=shop.tz,
        ),
        people={member.person_id: member.person for member in members},
        ways=ways,
        lulled=_lulled(members, lulls),
    )


def _hand(member: Membership, shop: Workshop, minding: Minding | None, at: datetime) -> Hand:
    zone = ZoneInfo(member.person.zone or shop.zone)
    weekly = Weekly.of(member.hours or shop.hours)
    return Hand(
        key=str(member.person_id),
        hours=weekly.spells(zone if member.hours else shop.tz, instant_us(at)),
        minds_shop=minding is not None and not minding.second,
        second=minding is not None and minding.second,
        zone=zone,
        quiet_from=member.quiet_from,
        quiet_until=member.quiet_until,
    )


def _lulled(members: Sequence[Membership], lulls: Iterable[Lull]) -> dict[UUID, datetime]:
    found: dict[UUID, datetime] = {}
    for row in lulls:
        whose = [row.person_id] if row.person_id else [one.person_id for one in members]
        for person in whose:
            found[person] = max(row.until, found.get(person, row.until))
    return found
