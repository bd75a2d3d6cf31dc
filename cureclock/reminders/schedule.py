"""What a verb or a reading does to promises: corrections at once, and a look soon after."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from cureclock.reminders import corrections, doorbell
from cureclock.reminders.models import Look
from cureclock.shop.models import Workshop
from cureclock.waits.reread import Reread

CHANGED = "changed"


def refresh(workshop: Workshop, at: datetime, rereads: Sequence[Reread] = ()) -> None:
    """Bring promises in step with what was just recorded, inside its transaction.

    What was announced and is not so is corrected now; everything else is found by the look that
    follows at once. The rows written do not grow with what is waiting.
    """
    for one in rereads:
        corrections.correct(workshop, one, at)
    Look.objects.update_or_create(workshop=workshop, name=CHANGED, defaults={"next_at": at})
    transaction.on_commit(doorbell.ring)
