"""Leases: which dispatcher has which delivery in hand, and until when.

On PostgreSQL the database's own time counts and rows in hand are passed over; on SQLite one
dispatcher alone holds the records, every transaction takes the write lock, and its time counts.
"""

from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from uuid import UUID, uuid4

from django.db import connection
from django.db.models import Q
from django.db.models.functions import Now

from cureclock.reminders import points
from cureclock.reminders.models import Delivery
from cureclock.reminders.writing import writing

LEASE_S = 30.0
USED = 0.6  # a send is begun only while less of the lease is gone
State = Delivery.State


def claim(
    at: datetime, most: int, *, hosts: Collection[str] = (), ways: Collection[UUID] = ()
) -> tuple[UUID, list[int]]:
    """Take deliveries that are due, the urgent ones first, and commit to it.

    Args:
        at: now.
        most: at most so many.
        hosts: whose lane is not free: left alone.
        ways: that have just had their turn: left alone.

    Returns:
        The token of the lease, and the ids taken.
    """
    token = uuid4()
    with writing():
        taken = list(_free(at, most, hosts, ways))
        if taken:
            Delivery.objects.filter(id__in=taken).update(
                state=State.SENDING, lease_token=token, lease_until=_until(at)
            )
    points.reach("send.claimed")
    return token, taken


def _free(at: datetime, most: int, hosts: Collection[str], ways: Collection[UUID]) -> Iterable[int]:
    left = most
    for urgent in (True, False):
        due = Delivery.objects.filter(state=State.PENDING, urgent=urgent, next_try_at__lte=at)
        if hosts:
            due = due.exclude(way__host__in=hosts)
        if ways:
            due = due.exclude(way__in=ways)
        rows = due.order_by("next_try_at").select_for_update(skip_locked=True, of=("self",))
        found = [row.id for row in rows.only("id")[:left]] if left else []
        left -= len(found)
        yield from found


def _until(at: datetime) -> object:
    lease = timedelta(seconds=LEASE_S)
    return Now() + lease if connection.vendor == "postgresql" else at + lease


def rescue(at: datetime, *, in_hand: Collection[int] = (), alone: bool = False) -> int:
    """Put back what a dispatcher took and did not live to send.

    Args:
        at: now.
        in_hand: deliveries this very process still works on.
        alone: nobody else can be alive (the lock on the records is ours): nothing waits.
    """
    run_out = Q() if alone else Q(lease_until__lt=_now(at))
    lost = Delivery.objects.filter(run_out, state=State.SENDING).exclude(id__in=in_hand)
    if not lost.exists():
        return 0
    with writing():
        return lost.update(state=State.PENDING, lease_token=None, lease_until=None)


def _now(at: datetime) -> object:
    return Now() if connection.vendor == "postgresql" else at


def give_back(ids: Collection[int], token: UUID) -> None:
    """Put back what was taken and not begun."""
    if ids:
        mine = Delivery.objects.filter(id__in=ids, lease_token=token, state=State.SENDING)
        with writing():
            mine.update(state=State.PENDING, lease_token=None, lease_until=None)


def put(ident: int, token: UUID, **values: object) -> bool:
    """Write what became of a delivery, if the lease is still ours."""
    mine = Delivery.objects.filter(id=ident, lease_token=token, state=State.SENDING)
    return mine.update(lease_token=None, lease_until=None, **values) == 1
