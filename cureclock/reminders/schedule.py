"""What a verb or a reading does to promises: corrections at once, and a look soon after."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from cureclock.reminders import corrections, doorbell, looks, points, rags
from cureclock.shop.models import Coat, Workshop
from cureclock.waits.reread import Reread


def refresh(
    workshop: Workshop,
    at: datetime,
    rereads: Sequence[Reread] = (),
    coats: Sequence[Coat] = (),
    why: str = looks.READING,
) -> None:
    """Bring promises in step with what was just recorded, inside its transaction.

    What was announced and is not so is corrected now, and rags are asked after; everything else
    is found by the look that follows at once. The rows written do not grow with what is waiting.

    Args:
        workshop: whose facts changed.
        at: now.
        rereads: what changes of air did.
        coats: coats something happened to.
        why: key of the reason, for a correction.
    """
    points.reach("verb.settled")
    for one in rereads:
        corrections.correct(one, at, why)
    rags.follow(workshop, coats, at)
    looks.mark(workshop, at, why)
    points.reach("verb.followed")
    transaction.on_commit(doorbell.ring)
