"""How people call what a plan speaks of."""

from uuid import UUID

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
