"""Will it ring? A test for each way, and what came of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import Max

from cureclock.reminders import doorbell, promise
from cureclock.reminders.kinds import TEST
from cureclock.reminders.models import Alert, Delivery, Way
from cureclock.shop.models import Workshop
from cureclock.shop.refusals import NotHere, Refusal

APART = timedelta(seconds=10)  # between two tests of one way; our choice


@dataclass(frozen=True)
class WayShown:
    """One way and whether it rings.

    Attributes:
        tested_at: when it was last tested; None if never.
        state: what became of that test: pending, sending, sent, dead, expired, superseded.
        shown_at, seen_at: when the phone said that it had shown the test, and somebody tapped it.
        dead_since: no message goes there any more, and why.
    """

    id: UUID
    person: str
    phone: str
    kind: str
    tested_at: datetime | None
    state: str
    shown_at: datetime | None
    seen_at: datetime | None
    heard_at: datetime | None
    dead_since: datetime | None
    dead_why: str


def test_way(workshop: Workshop, way_id: UUID, at: datetime) -> UUID:
    """Send a test to one way now; the alert's id."""
    way = Way.objects.filter(workshop=workshop, id=way_id).first()
    if way is None:
        raise NotHere("way")
    if way.dead_since is not None:
        raise Refusal("way", f"alerts are off here: {way.dead_why}", "turn them on on that phone")
    last = Alert.objects.filter(about=way.id, kind=TEST).aggregate(
        at=Max("made_at"), seq=Max("seq")
    )
    if last["at"] is not None and at - last["at"] < APART:
        raise Refusal("way", "it was tested just now", "wait some seconds")
    alert = promise.alert(
        workshop=workshop.id,
        about=way.id,
        subject="way",
        kind=TEST,
        seq=0 if last["seq"] is None else last["seq"] + 1,
        due_at=at,
        at=at,
    )
    with transaction.atomic():
        alert.save(force_insert=True)
        Delivery.objects.create(
            alert=alert, way=way, person_id=way.person_id, urgent=True, next_try_at=at
        )
        transaction.on_commit(doorbell.ring)
    return alert.id


def will_it_ring(workshop: Workshop) -> Sequence[WayShown]:
    """Every way of a workshop with what came of its last test."""
    ways = Way.objects.filter(workshop=workshop).select_related("person", "phone")
    tests = Delivery.objects.filter(alert__workshop=workshop, alert__kind=TEST)
    newest = {row.way_id: row for row in tests.select_related("alert").order_by("alert__seq")}
    return [_shown(way, newest.get(way.id)) for way in ways.order_by("person__name", "made_at")]


def _shown(way: Way, test: Delivery | None) -> WayShown:
    return WayShown(
        id=way.id,
        person=way.person.name,
        phone=way.phone.name if way.phone else "",
        kind=way.kind,
        tested_at=test.alert.made_at if test else None,
        state=test.state if test else "",
        shown_at=test.shown_at if test else None,
        seen_at=test.seen_at if test else None,
        heard_at=way.heard_at,
        dead_since=way.dead_since,
        dead_why=way.dead_why,
    )
