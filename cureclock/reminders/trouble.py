"""A row that raises is pushed ahead, shown, and holds up nobody."""

from datetime import datetime, timedelta

import structlog
from django.db import transaction
from django.db.models import F

from cureclock.reminders.models import Delivery, Trouble
from cureclock.waits.models import Clock

log = structlog.get_logger("cureclock.reminders")

AGAIN = timedelta(seconds=30)  # twice as long each time
LONGEST = timedelta(hours=1)


def note(what: str, key: object, raised: BaseException, at: datetime) -> datetime:
    """Keep what raised, for the page that shows it; when to try it again."""
    why = f"{type(raised).__name__}: {raised}"[:200]
    with transaction.atomic():
        row, new = Trouble.objects.get_or_create(
            what=what,
            key=str(key),
            defaults={"why": why, "since": at, "again_at": at + AGAIN},
        )
        if not new:
            row.again_at = at + min(AGAIN * 2 ** min(row.count, 16), LONGEST)
            again = {"count": F("count") + 1, "why": why, "again_at": row.again_at}
            Trouble.objects.filter(pk=row.pk).update(**again)
    log.error("pushed ahead", what=what, key=str(key), why=why, again_at=row.again_at.isoformat())
    return row.again_at


def over(what: str, key: object) -> None:
    """It did not raise this time."""
    Trouble.objects.filter(what=what, key=str(key)).delete()


def push_ahead_delivery(row: Delivery, raised: BaseException, at: datetime) -> None:
    """A delivery that cannot be prepared."""
    again = note("delivery", row.id, raised, at)
    mine = Delivery.objects.filter(id=row.id, lease_token=row.lease_token)
    mine.update(
        state=Delivery.State.PENDING,
        lease_token=None,
        lease_until=None,
        next_try_at=again,
        attempts=F("attempts") + 1,
        error=type(raised).__name__[:200],
    )


def push_ahead_clock(clock: int, raised: BaseException, at: datetime) -> None:
    """A clock that cannot be aged; anything said of its air tries it again at once."""
    Clock.objects.filter(pk=clock).update(next_due_at=note("clock", clock, raised, at))
