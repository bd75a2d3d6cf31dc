"""Somebody says when a person wants quiet, and which zone they are in."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, verb
from cureclock.reminders.looks import hours_changed
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Person
from cureclock.shop.own_hours import on_the_wall, settle, zone_named
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class PersonTold:
    """Of whom, the teller where nobody is named; what is left out still holds.

    Quiet from and until the same time: no quiet hours. An empty zone: that of the shop.
    """

    person: UUID | None = None
    quiet_from: str = ""
    quiet_until: str = ""
    zone: str | None = None


@verb("person_told", PersonTold)
def person_told(happening: Happening, said: PersonTold) -> Done:
    """Everybody may say it of themselves, the owner of everybody."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        person = _whom(happening.told_by, said.person)
        event, new = append(happening, "person_told", _body(person, said))
        if new:
            settle(event)
            hours_changed(workshop)
            follow(workshop, happening.arrived_at)
    return Done(event.id, new)


def _whom(teller: Teller, ident: UUID | None) -> Person:
    if ident is None and teller.person is None:
        raise Refusal("person", "missing", "say of whom")
    own = teller.person is not None and ident in (None, teller.person.id)
    if not own:
        teller.must_own()
    whom = teller.person.id if own and teller.person else ident
    assert whom is not None
    return find.member(teller.workshop, whom).person


def _body(person: Person, said: PersonTold) -> dict[str, Any]:
    if bool(said.quiet_from) != bool(said.quiet_until):
        raise Refusal("quiet_until", "quiet hours need both ends", "say from when until when")
    told: dict[str, Any] = {}
    if said.quiet_from:
        told["quiet_from"] = on_the_wall(said.quiet_from)
        told["quiet_until"] = on_the_wall(said.quiet_until)
    if said.zone is not None:
        told["zone"] = zone_named(said.zone)
    if not told:
        raise Refusal("said", "says nothing", "say the quiet hours or the zone")
    return {"person": str(person.id), **told}
