"""The waits of a glue-up, read from its events: one for each joint."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db.models import Q

from cureclock.core.gates import Gate, GateKind, Since
from cureclock.core.ladder import floor_c, ladder
from cureclock.shop.glue_history import Contradiction, JointHistory, fold_glue_up
from cureclock.shop.models import Event, GlueUp, LabelVersion, Place
from cureclock.shop.record import label_of, standing
from cureclock.waits.planned import PlannedGate, PlannedWait, stays_of

UNTIL_OFF = ("clamps_off", "clamps_off_stressed", "scrape_opens", "scrape_closes")


@dataclass(frozen=True)
class GlueStory:
    """A glue-up as its events tell it: each joint's story, what contradicts, its label."""

    glue_up: GlueUp
    joints: Sequence[JointHistory]
    contradictions: Sequence[Contradiction]
    label: LabelVersion


def glue_story(glue_up: GlueUp) -> GlueStory:
    """What happened to a glue-up, by all its events that stand."""
    joints = list(glue_up.joints.select_related("piece").order_by("name", "id"))
    of_pieces = Q(glue_up=None, coat=None, piece__in=[joint.piece_id for joint in joints])
    told = standing(list(Event.objects.filter(Q(glue_up=glue_up) | of_pieces)))
    stories, found = fold_glue_up(joints, told)
    return GlueStory(glue_up, stories, found, label_of(glue_up, told))


def plan_joints(story: GlueStory) -> list[PlannedWait]:
    """The waits that a glue-up's joints should have."""
    gates = ladder(story.label.label, stressed=story.glue_up.stressed)
    moved_to = {place_id for joint in story.joints for _, place_id in joint.moves}
    places = Place.objects.select_related("workshop").in_bulk(moved_to)
    planned = [_plan_joint(story, joint, gates, places) for joint in story.joints]
    return [wait for wait in planned if wait is not None]


def _plan_joint(
    story: GlueStory, joint: JointHistory, gates: Sequence[Gate], places: dict[UUID, Place]
) -> PlannedWait | None:
    planned = [
        PlannedGate(gate, began, _is_over(gate.kind, joint))
        for gate in gates
        if (began := _began(gate.kind, joint)) is not None
    ]
    if not planned:
        return None
    first = min(gate.began for gate in planned)
    moves = [(moved_at, places[place_id]) for moved_at, place_id in joint.moves]
    return PlannedWait(
        id=uuid5(joint.joint.id, "wait"),
        piece=joint.joint.piece,
        label=story.label,
        stays=stays_of(story.glue_up.place, first, moves, joint.over_at),
        gates=planned,
        floor_c=floor_c(story.label.label),
        open=joint.over_at is None,
        glue_up=story.glue_up,
        joint=joint.joint,
    )


def _began(kind: GateKind, story: JointHistory) -> datetime | None:
    """The happening a gate counts from, None while it has not been told."""
    return {
        Since.MIXED: story.mixed_at,
        Since.SPREAD: story.spread_at,
        Since.PRESSURE: story.pressure_at,
    }.get(kind.since)


def _is_over(kind: GateKind, story: JointHistory) -> bool:
    """Whether the act a gate speaks of is done, or the joint is gone."""
    if story.over_at is not None:
        return True
    if kind.since in (Since.MIXED, Since.SPREAD):
        return story.pressure_at is not None
    return kind.key in UNTIL_OFF and story.off_at is not None
