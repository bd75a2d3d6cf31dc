"""The waits of a glue-up, read from its events: one for each joint."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from uuid import UUID, uuid5

from django.db.models import Q

from cureclock.core.gates import Gate, GateKind, Since
from cureclock.core.ladder import floor_c, ladder
from cureclock.shop.glue_history import Contradiction, JointHistory, fold_glue_up
from cureclock.shop.lineage import above, closure
from cureclock.shop.models import Event, GlueUp, LabelVersion, Piece, Place
from cureclock.shop.record import label_of, standing
from cureclock.shop.swaps import swaps_of
from cureclock.waits.carriers import Course, courses
from cureclock.waits.learned import Key, lessons_for, margins, needs
from cureclock.waits.planned import PlannedGate, PlannedWait, begun_at, stays_before, stays_of
from cureclock.waits.wood import binned_us, own_lags

UNTIL_OFF = ("clamps_off", "clamps_off_stressed", "scrape_opens", "scrape_closes")


@dataclass(frozen=True)
class GlueStory:
    """A glue-up as its events tell it: each joint's story and courses, what contradicts, its label."""

    glue_up: GlueUp
    joints: Sequence[JointHistory]
    contradictions: Sequence[Contradiction]
    label: LabelVersion
    courses: Mapping[UUID, Sequence[Course]]
    told: Sequence[Event]


def glue_story(glue_up: GlueUp) -> GlueStory:
    """What happened to a glue-up, by all its events that stand."""
    joints = list(glue_up.joints.select_related("piece").order_by("name", "id"))
    wholes = above({joint.piece_id for joint in joints})
    carriers = closure({joint.piece_id for joint in joints}, wholes)
    swaps = swaps_of(glue_up.workshop)
    of_pieces = Q(glue_up=None, coat=None, piece__in=swaps.mixed(carriers))
    rows = Event.objects.filter(Q(glue_up=glue_up) | of_pieces)
    told = swaps.counted(standing(list(rows)))
    stories, found = fold_glue_up(joints, told)
    ways = {
        one.joint.id: courses(
            one.joint.piece_id, Course(None, tuple(one.moves), one.over_at), wholes, told
        )
        for one in stories
    }
    own = [event for event in told if event.glue_up_id == glue_up.id]
    return GlueStory(glue_up, stories, found, label_of(glue_up, told), ways, own)


def plan_joints(story: GlueStory) -> list[PlannedWait]:
    """The waits that a glue-up's joints should have."""
    label, stressed = story.label, story.glue_up.stressed
    of_label = partial(ladder, label.label, stressed=stressed)
    plain = _plan_all(story, of_label)
    key = Key(label.material_id, story.glue_up.place_id, 0)
    lessons = lessons_for(key, label.label, begun_at(plain))
    if not lessons:
        return plain
    taught = partial(of_label, margins=margins(lessons), learned_h=needs(lessons))
    return _plan_all(story, taught)


def _plan_all(story: GlueStory, gates_of: Callable[..., Sequence[Gate]]) -> list[PlannedWait]:
    every = [course for own in story.courses.values() for course in own]
    moved_to = {place_id for course in every for _, place_id in course.moves}
    places = Place.objects.select_related("workshop").in_bulk(moved_to)
    carriers = Piece.objects.in_bulk({one.carrier for one in every if one.carrier is not None})
    lags = own_lags([joint.joint for joint in story.joints])
    gates = {mass: gates_of(mixed_g=mass) for mass in {one.mixed_g for one in story.joints}}
    planned = [
        _plan_joint(
            story,
            joint,
            course,
            gates=gates[joint.mixed_g],
            places=places,
            carriers=carriers,
            lag_us=binned_us(lags.get(joint.joint.id, 0)),
        )
        for joint in story.joints
        for course in story.courses[joint.joint.id]
    ]
    return [wait for wait in planned if wait is not None]


def _plan_joint(
    story: GlueStory,
    joint: JointHistory,
    course: Course,
    *,
    gates: Sequence[Gate],
    places: Mapping[UUID, Place],
    carriers: Mapping[UUID, Piece],
    lag_us: int,
) -> PlannedWait | None:
    planned = [
        PlannedGate(gate, began, _is_over(gate.kind, joint, course))
        for gate in gates
        if (began := _began(gate.kind, joint)) is not None
    ]
    if not planned:
        return None
    first = min(gate.began for gate in planned)
    moves = [(moved_at, places[place_id]) for moved_at, place_id in course.moves]
    apart = course.carrier is not None
    return PlannedWait(
        id=uuid5(joint.joint.id, f"{course.carrier} wait" if apart else "wait"),
        piece=carriers[course.carrier] if course.carrier is not None else joint.joint.piece,
        label=story.label,
        stays=stays_of(story.glue_up.place, first, moves, course.over_at),
        gates=planned,
        floor_c=floor_c(story.label.label),
        open=course.over_at is None,
        lag_us=lag_us,
        before=stays_before(first, moves, lag_us),
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


def _is_over(kind: GateKind, story: JointHistory, course: Course) -> bool:
    """Whether the act a gate speaks of is done, or the joint is gone."""
    if course.over_at is not None:
        return True
    if kind.since in (Since.MIXED, Since.SPREAD):
        return story.pressure_at is not None
    return kind.key in UNTIL_OFF and story.off_at is not None
