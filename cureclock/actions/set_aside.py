"""Setting a happening aside: struck out, or settled in favour of another."""

from datetime import datetime

from cureclock.actions.follow import follow
from cureclock.shop.models import Workshop
from cureclock.shop.reattribute import reattribute
from cureclock.shop.striking import Struck, restate
from cureclock.waits.struck import concerned


def set_aside(workshop: Workshop, target: Struck, at: datetime) -> None:
    """All is as if it had never been told, or is so again; what strikes it is recorded already."""
    what = concerned(target)
    restate(workshop, target.id)
    if what.swapped:
        reattribute(workshop, what.swapped)
    follow(
        workshop,
        at,
        pieces=what.pieces,
        glue_ups=what.glue_ups,
        coats=what.coats,
        holds=what.holds,
        changes=what.changes,
        opened=what.opened,
        why="struck",
    )
