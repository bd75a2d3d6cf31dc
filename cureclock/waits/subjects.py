"""One subject's estimates, made anew from all its events, whatever their order of arrival."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet

from cureclock.shop.conflicts import keep_conflicts
from cureclock.shop.glue_history import JointHistory
from cureclock.shop.models import Coat, GlueUp, Piece
from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, plan_zones
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Wait
from cureclock.waits.planned import PlannedWait
from cureclock.waits.settle import write
from cureclock.waits.suspect import assess


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
    keep_conflicts(glue_up.workshop, glue_up.id, story.contradictions)


def settle_coat(coat: Coat, at: datetime, ages: Ages | None = None) -> None:
    """Waits, gates, suspicions and conflicts of a coat, in step with its events."""
    story = coat_story(coat)
    _settle(plan_zones(story), Wait.objects.filter(coat=coat), {}, at, ages)
    keep_conflicts(coat.workshop, coat.id, story.contradictions)


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


def glue_ups_in(piece: Piece | None) -> list[GlueUp]:
    """Glue-ups with a joint on this piece."""
    rows = GlueUp.objects.filter(joints__piece=piece).distinct() if piece else GlueUp.objects.none()
    return list(rows.select_related("workshop", "place__workshop", "label"))


def coats_on(piece: Piece | None) -> list[Coat]:
    """Coats with a zone on this piece."""
    rows = (
        Coat.objects.filter(coated__zone__piece=piece).distinct() if piece else Coat.objects.none()
    )
    return list(rows.select_related("workshop", "place__workshop", "label"))
