"""Late ones in: joints or zones that a group already begun is of as well."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.spread_began import JointSaid
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_joints, add_zones
from cureclock.shop.models import Joint
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append
from cureclock.waits.coating import coats_under


@dataclass(frozen=True)
class AddedLate:
    """Joints whose glue was spread now, or zones coated now, after the others of their group."""

    glue_up: UUID | None = None
    coat: UUID | None = None
    joints: tuple[JointSaid, ...] = ()
    zones: tuple[UUID, ...] = ()


@verb("added_late", AddedLate)
def added_late(happening: Happening, said: AddedLate) -> Done:
    """They count from now; what was told of all before does not concern them."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        glue_up, coat = find.group(workshop, said)
        pieces = find.pieces(workshop, [joint.piece for joint in said.joints], "joints")
        zones = find.zones(workshop, said.zones)
        event, new = append(happening, "added_late", plain(said), glue_up=glue_up, coat=coat)
        if new and glue_up is not None:
            known = set(Joint.objects.filter(glue_up=glue_up).values_list("id", flat=True))
            fresh = [
                (piece, joint)
                for piece, joint in zip(pieces, said.joints, strict=True)
                if joint.id not in known
            ]
            add_joints(glue_up, [piece for piece, _ in fresh], [joint for _, joint in fresh])
        if new and coat is not None:
            add_zones(coat, zones)
        if new:
            keep_straight(workshop, {p.id for p in pieces} | {z.piece_id for z in zones})
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else [],
                coats=[coat, *coats_under(coat)] if coat else [],
            )
    return Done(event.id, new)
