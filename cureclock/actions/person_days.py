"""On which days somebody is in the shop, from when to when."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db import transaction

from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.joint.count import whole
from cureclock.core.reminding.wall import Weekly
from cureclock.planner.stale import begin
from cureclock.shop.happening import Happening
from cureclock.shop.models import Membership
from cureclock.shop.plan_told import settle_nouns
from cureclock.shop.record import append
from cureclock.shop.refusals import NotHere, Refusal

MOST_AWAY = 400


@dataclass(frozen=True)
class DaySaid:
    """A weekday, Monday 0, and when somebody comes and goes."""

    weekday: int
    comes: str
    goes: str

    def __post_init__(self) -> None:
        whole("weekday", self.weekday, 0, 6)
        Weekly.of({str(self.weekday): [self.comes, self.goes]})
        if self.goes <= self.comes:
            raise Refusal("goes", f"{self.goes} is not after {self.comes}", "say a later time")


@dataclass(frozen=True)
class PersonDays:
    """Whose days; no days: the shop's hours. `away`: days on which nobody need wait for them."""

    person: UUID
    days: tuple[DaySaid, ...] = ()
    away: tuple[date, ...] = ()

    def __post_init__(self) -> None:
        whole("days away", len(self.away), 0, MOST_AWAY)


@verb("person_days", PersonDays)
def person_days(happening: Happening, said: PersonDays) -> Done:
    """The plan gives them work on these days only, and what is due is told with them in mind."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        if not Membership.objects.filter(workshop=workshop, person=said.person).exists():
            raise NotHere("person")
        event, new = append(happening, "person_days", plain(said))
        if new:
            settle_nouns(workshop)
            begin(workshop, happening.arrived_at)
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)
