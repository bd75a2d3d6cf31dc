"""Who minds the shop, who is rung second, and an hour of quiet for what is not urgent."""

from datetime import datetime, timedelta

from django.db import transaction

from cureclock.reminders.models import Lull, Minding
from cureclock.shop.models import Membership, Person, Workshop
from cureclock.shop.refusals import NotHere, Refusal

LONGEST = timedelta(hours=1)  # what is not urgent is held no longer; our choice


def mind(
    workshop: Workshop,
    person: Person,
    at: datetime,
    *,
    until: datetime | None = None,
    second: bool = False,
) -> Minding:
    """From now on this person minds the shop, or is rung when nobody has it."""
    acting = (Membership.Role.OWNER, Membership.Role.HELPER)
    if not Membership.objects.filter(workshop=workshop, person=person, role__in=acting).exists():
        raise NotHere("person")
    with transaction.atomic():
        leave(workshop, person, at)
        return Minding.objects.create(
            workshop=workshop, person=person, since=at, until=until, second=second
        )


def leave(workshop: Workshop, person: Person, at: datetime) -> None:
    """This person minds the shop no longer."""
    mine = Minding.objects.filter(workshop=workshop, person=person, since__lte=at)
    mine.filter(until=None).update(until=at)
    mine.filter(until__gt=at).update(until=at)


def hold(workshop: Workshop, at: datetime, until: datetime, person: Person | None = None) -> Lull:
    """What is not urgent waits until then, for everybody or for one; an hour at most."""
    if not at < until <= at + LONGEST:
        raise Refusal("until", "a hold lasts an hour at most", "give a time within the next hour")
    return Lull.objects.create(workshop=workshop, person=person, since=at, until=until)


def end_hold(workshop: Workshop, at: datetime, person: Person | None = None) -> None:
    """No longer."""
    Lull.objects.filter(workshop=workshop, person=person, until__gt=at).update(until=at)
