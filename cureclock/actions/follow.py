"""What follows a fact, in this order: estimates, plan, promises."""

from collections.abc import Collection, Sequence
from datetime import datetime
from uuid import UUID

from django.db import connection

from cureclock.planner.stale import mark_stale
from cureclock.reminders import schedule
from cureclock.shop.models import Coat, GlueUp, Hold, Workshop
from cureclock.waits.in_order import move_in_order
from cureclock.waits.questions import ask_again
from cureclock.waits.reread import Change, reread
from cureclock.waits.subjects import (
    coats_on,
    glue_ups_in,
    holds_on,
    opened_again,
    see_again,
    settle_coat,
    settle_glue_up,
    settle_hold,
    settle_pieces,
    settle_turned,
)


def follow(
    workshop: Workshop,
    at: datetime,
    *,
    pieces: Collection[UUID] = (),
    glue_ups: Sequence[GlueUp] = (),
    coats: Sequence[Coat] = (),
    holds: Sequence[Hold] = (),
    changes: Sequence[Change] = (),
    opened: tuple[UUID, datetime] | None = None,
    why: str = "reading",
) -> None:
    """Bring estimates, plan and promises in step with what was just recorded.

    Args:
        workshop: whose facts changed.
        at: now, as the caller was told it.
        pieces: those whose making, losing or number something was said of.
        glue_ups, coats, holds: subjects something happened to.
        changes: places whose air is known better.
        opened: a material of which a container was opened, and when.
        why: key of the reason, where something announced has to be corrected.
    """
    _one_after_the_other(workshop)
    if pieces:
        settle_pieces(workshop, pieces)
    for glue_up in glue_ups:
        settle_glue_up(glue_up, at)
    for coat in coats:
        settle_coat(coat, at)
    for hold in holds:
        settle_hold(hold, at)
    read_on = move_in_order(changes, at)
    more = [change for change in changes if change.place.id not in read_on]
    rereads = tuple(reread(change, at) for change in more)
    settle_turned(rereads, at)
    for change in more:
        ask_again(change)
        see_again(change, at)
    if opened:
        opened_again(*opened, at)
    mark_stale(workshop, at)
    schedule.refresh(workshop, at, rereads, coats, why)


def _one_after_the_other(workshop: Workshop) -> None:
    """Let what two people do in one workshop follow in turn: each would lock the clocks of its
    places in an order of its own, and they could wait for each other in a circle."""
    if connection.features.has_select_for_update:
        Workshop.objects.select_for_update(no_key=True).only("pk").get(pk=workshop.pk)


def follow_pieces(workshop: Workshop, at: datetime, about: Collection[UUID]) -> None:
    """As `follow`, for pieces of which it changed what they are: all that is on them goes along."""
    follow(
        workshop,
        at,
        pieces=about,
        glue_ups=glue_ups_in(about),
        coats=coats_on(about),
        holds=holds_on(about),
    )
