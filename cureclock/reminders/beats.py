"""Signs of life of the dispatchers, and what a page says of them."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Min

from cureclock.reminders.models import Beat, Delivery, Trouble
from cureclock.reminders.writing import writing
from cureclock.waits.models import Clock

EVERY_S = 2.0
DEAD_AFTER = timedelta(seconds=8)  # a page is red within ten seconds
FORGOTTEN = timedelta(days=1)  # a dispatcher that has not been heard of is no longer listed


@dataclass(frozen=True)
class Health:
    """How the reminders stand.

    Attributes:
        alive: somebody sends.
        newest: the newest sign of life; None where there never was one.
        holding: why a dispatcher that is alive does not fire: "jumped" or "behind".
        late_s: how long the oldest thing that is due has been due.
        trouble: rows that raise, each with why.
    """

    alive: bool
    newest: datetime | None
    holding: str
    late_s: float
    trouble: tuple[str, ...]

    @property
    def well(self) -> bool:
        """Nothing is red."""
        return self.alive and not self.holding and not self.trouble and self.late_s < 10


def health(at: datetime) -> Health:
    """How the reminders stand at an instant, by the records alone."""
    newest = Beat.objects.order_by("-at").values_list("at", flat=True).first()
    alive = Beat.objects.filter(at__gt=at - DEAD_AFTER)
    rows = Trouble.objects.order_by("what", "key")
    return Health(
        alive=alive.exists(),
        newest=newest,
        holding=next((row.holding for row in alive if row.holding), ""),
        late_s=late_s(at),
        trouble=tuple(f"{row.what} {row.key}: {row.why}" for row in rows[:20]),
    )


def late_s(at: datetime) -> float:
    """For how long the oldest thing that is due has been due [s]."""
    clocks = Clock.objects.filter(next_due_at__lte=at).aggregate(oldest=Min("next_due_at"))
    pending = Delivery.objects.filter(state=Delivery.State.PENDING, next_try_at__lte=at)
    sends = pending.aggregate(oldest=Min("next_try_at"))
    oldest = [one["oldest"] for one in (clocks, sends) if one["oldest"] is not None]
    return max(((at - one).total_seconds() for one in oldest), default=0.0)


def beat(name: str, boot: UUID, at: datetime, holding: str = "") -> None:
    """Leave a sign of life."""
    lag_ms = min(int(late_s(at) * 1000), 2_000_000_000)
    values = {"at": at, "boot": boot, "lag_ms": lag_ms, "holding": holding}
    with writing():
        Beat.objects.update_or_create(name=name, defaults=values)
        Beat.objects.filter(at__lt=at - FORGOTTEN).delete()


def newest_of_others(boot: UUID) -> datetime | None:
    """The newest sign of life that this process did not leave itself."""
    others = Beat.objects.exclude(boot=boot).order_by("-at")
    return others.values_list("at", flat=True).first()
