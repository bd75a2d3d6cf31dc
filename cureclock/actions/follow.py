"""What follows a fact, in this order: estimates, plan, promises."""

from collections.abc import Sequence
from datetime import datetime

from cureclock.planner.stale import mark_stale
from cureclock.reminders import schedule
from cureclock.shop.models import Coat, GlueUp, Workshop
from cureclock.waits.reread import Change, Reread, reread
from cureclock.waits.subjects import settle_coat, settle_glue_up


def follow(
    workshop: Workshop,
    at: datetime,
    *,
    glue_ups: Sequence[GlueUp] = (),
    coats: Sequence[Coat] = (),
    changes: Sequence[Change] = (),
    why: str = "reading",
) -> tuple[Reread, ...]:
    """Bring estimates, plan and promises in step with what was just recorded.

    Args:
        workshop: whose facts changed.
        at: now, as the caller was told it.
        glue_ups, coats: subjects something happened to.
        changes: places whose air is known better.
        why: key of the reason, where something announced has to be corrected.

    Returns:
        What each change of air did.
    """
    for glue_up in glue_ups:
        settle_glue_up(glue_up, at)
    for coat in coats:
        settle_coat(coat, at)
    rereads = tuple(reread(change, at) for change in changes)
    mark_stale(workshop, at)
    schedule.refresh(workshop, at, rereads, coats, why)
    return rereads
