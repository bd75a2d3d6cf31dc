"""A joint came open or was split: its glue line is gone."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class JointOpened:
    """Which joints, and why; `by_hand` where it was split on purpose, to be glued anew."""

    glue_up: UUID
    joints: tuple[UUID, ...] = ()  # none named: all of them
    why: str = ""
    by_hand: bool = False


@verb("joint_opened", JointOpened)
def joint_opened(happening: Happening, said: JointOpened) -> Done:
    """These joints are no more; what they held is to be glued anew."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up)
        find.joints(glue_up, said.joints)
        event, new = append(happening, "joint_opened", plain(said), glue_up=glue_up)
        if new:
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
