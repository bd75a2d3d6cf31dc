"""Somebody minds the shop, or is the one who is rung when nobody has it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.reminders import doorbell, minding
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class ShopMinded:
    """Who, the teller where nobody is named; until when, if that is known.

    second: not told first, but rung when nobody has it. over: no longer.
    """

    person: UUID | None = None
    until: datetime | None = None
    second: bool = False
    over: bool = False


@verb("shop_minded", ShopMinded)
def shop_minded(happening: Happening, said: ShopMinded) -> Done:
    """Who minds the shop is told first, also when they are not there."""
    teller = happening.told_by
    workshop, at = teller.workshop, happening.at
    own = None if teller.person is None else teller.person.id
    named = said.person or own
    if named is None:
        raise Refusal("person", "missing", "say who minds the shop")
    if said.until is not None and said.until <= at:
        raise Refusal("until", "is over already", "give a time to come, or none")
    with transaction.atomic():
        person = find.member(workshop, named).person
        event, new = append(happening, "shop_minded", _plain(said, person.id))
        if new and said.over:
            minding.leave(workshop, person, at)
        elif new:
            minding.mind(workshop, person, at, until=said.until, second=said.second)
        if new:
            transaction.on_commit(doorbell.ring)
    return Done(event.id, new)


def _plain(said: ShopMinded, person: UUID) -> dict[str, object]:
    until = {} if said.until is None else {"until": said.until.isoformat()}
    return {**plain(said), "person": str(person), **until}
