"""How people call what a plan speaks of."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from cureclock.core.planning.conflict import Clash, Conflict
from cureclock.core.wording.times import Day, say_time
from cureclock.shop.models import Batch, Membership, Place, Workshop
from cureclock.shop.plan_told import PlanTold
from cureclock.shop.things import owned


def names_of(workshop: Workshop, told: PlanTold) -> dict[str, str]:
    """Names of batches, people, machines, things and places, by the text of their ids."""
    found = {str(key): str(body["name"]) for key, body in told.machines.items()}
    found |= {str(thing.id): thing.name for thing in owned(workshop)}
    rows: list[tuple[UUID, str]] = [
        *Batch.objects.filter(workshop=workshop).values_list("id", "name"),
        *Place.objects.filter(workshop=workshop).values_list("id", "name"),
        *Membership.objects.filter(workshop=workshop).values_list("person_id", "person__name"),
    ]
    return found | {str(key): name for key, name in rows}


def spoken(one: Conflict, names: Mapping[str, str], workshop: Workshop, at: datetime) -> Conflict:
    """A conflict that speaks of things as people call them, and of an instant as said here."""
    if one.clash == Clash.HORIZON:
        until = datetime.fromisoformat(one.name)
        return replace(one, name=say_time(until, at, workshop.tz, day=Day.NAMED))
    return replace(one, batch=names.get(one.batch, one.batch), name=names.get(one.name, one.name))
