"""One subject's estimates, made anew from all its events, whatever their order of arrival."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import TypedDict
from uuid import UUID

from django.db.models import QuerySet

from cureclock.shop.conflicts import keep_conflicts
from cureclock.shop.glue_history import JointHistory
from cureclock.shop.lineage import above, below, closure
from cureclock.shop.models import Coat, Event, GlueUp, Hold, Workshop
from cureclock.shop.piece_conflicts import piece_contradictions
from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, coats_under, plan_zones
from cureclock.waits.held import plan_hold
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Wait
from cureclock.waits.planned import PlannedWait
from cureclock.waits.questions import ask_about_coat
from cureclock.waits.settle import write
from cureclock.waits.suspect import assess


class Apart(TypedDict):
    """Subjects to settle."""

    glue_ups: list[GlueUp]
    coats: list[Coat]
    holds: list[Hold]


def settle_glue_up(glue_up: GlueUp, at: datetime, ages: Ages | None = None) -> None:
    """Waits, gates, suspicions and conflicts of a glue-up, in step with its events.

    Args:
        glue_up: the glue-up.
        at: now.
        ages: facts of its places over all its time, where they are at hand.
    """
    story = glue_story(glue_up)
    joints = {joint.joint.id: joint for joint in story.joints}
    _settle(plan_joints(story), Wait.objects.filter(glue_up=glue_up), joints, at, ages)
    keep_conflicts(glue_up.workshop, {glue_up.id: story.contradictions})


def settle_coat(coat: Coat, at: datetime, ages: Ages | None = None) -> None:
    """Waits, gates, suspicions and conflicts of a coat, in step with its events."""
    story = coat_story(coat)
    _settle(plan_zones(story), Wait.objects.filter(coat=coat), {}, at, ages)
    ask_about_coat(story)
    for other in coats_under(coat):  # what was told of this one may answer what is asked of it
        ask_about_coat(coat_story(other))


def settle_hold(hold: Hold, at: datetime, ages: Ages | None = None) -> None:
    """The wait and gates of a hold, in step with its events."""
    _settle(plan_hold(hold), Wait.objects.filter(hold=hold), {}, at, ages)


def settle_pieces(workshop: Workshop, pieces: Collection[UUID]) -> None:
    """Which links of these pieces count, and what contradicts in what was told of them."""
    keep_conflicts(workshop, piece_contradictions(workshop, pieces))


def _settle(
    planned: Sequence[PlannedWait],
    own: QuerySet[Wait],
    stories: dict[UUID, JointHistory],
    at: datetime,
    ages: Ages | None,
) -> None:
    """Write the waits of one subject and find what is suspect about them."""
    stale = list(own.all())
    began = [wait.began for wait in planned] + [wait.began_at for wait in stale]
    if not began:
        return
    ages = ages or Ages(min(began), at)
    write(planned, stale, ages)
    assess(list(own.all().select_related("label")), stories, ages)


def glue_ups_in(pieces: Collection[UUID]) -> list[GlueUp]:
    """Glue-ups with a joint on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = GlueUp.objects.filter(joints__piece__in=parts).distinct()
    return list(rows.select_related("workshop", "place__workshop", "label"))


def went_apart(workshop: Workshop, parts: Collection[UUID]) -> Apart:
    """What has to be settled anew when these were made into more: where any of their joints or
    coats went with a carrier of its own."""
    every = closure(parts, below(parts))
    carriers = closure(every, above(every))
    moves = Event.objects.filter(
        workshop=workshop, kind__in=("moved_place", "piece_lost"), piece__in=carriers
    )
    if not parts or not moves.exists():
        return Apart(glue_ups=[], coats=[], holds=[])
    return Apart(glue_ups=glue_ups_in(parts), coats=coats_on(parts), holds=holds_on(parts))


def coats_on(pieces: Collection[UUID]) -> list[Coat]:
    """Coats with a zone on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = Coat.objects.filter(coated__zone__piece__in=parts).distinct()
    return list(rows.select_related("workshop", "place__workshop", "label"))


def holds_on(pieces: Collection[UUID]) -> list[Hold]:
    """Holds on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = Hold.objects.filter(piece__in=parts)
    return list(rows.select_related("piece__workshop", "label", "place__workshop"))
