"""The maker begins to spread: a glue-up is on, and its open time runs."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.counted import ThingCount, known_things
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import within
from cureclock.shop.happening import Happening
from cureclock.shop.making import add_joints, make
from cureclock.shop.models import GlueUp
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append
from cureclock.waits.wood import THICKNESS_MM


@dataclass(frozen=True)
class JointSaid:
    """One joint of the glue-up: its id made on the phone, the piece it is part of, its name."""

    id: UUID
    piece: UUID
    name: str
    thickness_mm: float | None = None

    def __post_init__(self) -> None:
        if self.thickness_mm is not None:
            within("thickness", self.thickness_mm, *THICKNESS_MM, "mm")


@dataclass(frozen=True)
class SpreadBegan:
    """Which glue-up: adhesive as labelled, place, joints; its id is made on the phone."""

    glue_up: UUID
    name: str
    label: UUID
    place: UUID
    joints: tuple[JointSaid, ...]
    stressed: bool = False
    things: tuple[ThingCount, ...] = ()  # what it will tie up


@verb("spread_began", SpreadBegan)
def spread_began(happening: Happening, said: SpreadBegan) -> Done:
    """Glue is on the wood: open time and assembly time run."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        known_things(workshop, said.things)
        what = {
            "name": said.name,
            "label": find.label(workshop, said.label),
            "place": find.place(workshop, said.place),
            "stressed": said.stressed,
            "made_at": happening.at,
        }
        pieces = find.pieces(workshop, [joint.piece for joint in said.joints])
        glue_up, fresh = make(GlueUp, workshop, said.glue_up, **what)
        if fresh:
            add_joints(glue_up, pieces, said.joints)
        event, new = append(happening, "spread_began", plain(said), glue_up=glue_up)
        if new:
            keep_straight(workshop, {piece.id for piece in pieces})
            follow(workshop, happening.arrived_at, glue_ups=[glue_up])
    return Done(event.id, new)
