"""One subject's estimates, made anew from all its events, whatever their order of arrival."""

from datetime import datetime

from cureclock.shop.conflicts import keep_conflicts
from cureclock.shop.models import Coat, GlueUp, Piece
from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, plan_zones
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Wait
from cureclock.waits.settle import write
from cureclock.waits.suspect import assess


def settle_glue_up(glue_up: GlueUp, at: datetime) -> None:
    """Waits, gates, suspicions and conflicts of a glue-up, in step with its events."""
    story = glue_story(glue_up)
    write(plan_joints(story), list(Wait.objects.filter(glue_up=glue_up)), at)
    waits = list(Wait.objects.filter(glue_up=glue_up).select_related("label"))
    if waits:
        ages = Ages(min(wait.began_at for wait in waits), at)
        assess(waits, {joint.joint.id: joint for joint in story.joints}, ages)
    keep_conflicts(glue_up.workshop, glue_up.id, story.contradictions)


def settle_coat(coat: Coat, at: datetime) -> None:
    """Waits, gates, suspicions and conflicts of a coat, in step with its events."""
    story = coat_story(coat)
    write(plan_zones(story), list(Wait.objects.filter(coat=coat)), at)
    waits = list(Wait.objects.filter(coat=coat).select_related("label"))
    if waits:
        assess(waits, {}, Ages(min(wait.began_at for wait in waits), at))
    keep_conflicts(coat.workshop, coat.id, story.contradictions)


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
