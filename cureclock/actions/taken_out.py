"""One is taken out of a group: it was not glued, or not coated, with the others."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.waits.coating import coats_under


@dataclass(frozen=True)
class TakenOut:
    """Joints of a glue-up, or zones of a coat, that are not of it after all."""

    glue_up: UUID | None = None
    coat: UUID | None = None
    joints: tuple[UUID, ...] = ()
    zones: tuple[UUID, ...] = ()
    why: str = ""


@verb("taken_out", TakenOut)
def taken_out(happening: Happening, said: TakenOut) -> Done:
    """Nothing waits on them in this group; the others share its time among themselves."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up, coat = find.group(workshop, said)
        if glue_up is not None:
            find.joints(glue_up, said.joints)
        find.zones(workshop, said.zones)
        event, new = append(happening, "taken_out", plain(said), glue_up=glue_up, coat=coat)
        if new:
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else [],
                coats=[coat, *coats_under(coat)] if coat else [],
            )
    return Done(event.id, new)
