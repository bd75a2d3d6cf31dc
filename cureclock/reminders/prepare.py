"""From deliveries in hand to parcels: what is said is looked up anew, what is untrue is dropped."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from cureclock.core.reminding.compose import alert as composed
from cureclock.core.reminding.who import Answer
from cureclock.core.units import instant_us
from cureclock.core.wording.times import Reader
from cureclock.reminders import links, points, trouble
from cureclock.reminders.answers import answers_of, still_told
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.leases import put
from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.people import House
from cureclock.reminders.promise import Houses
from cureclock.reminders.speech.registry import speak
from cureclock.reminders.speech.spoken import Spoken

State = Delivery.State
WORTH = timedelta(hours=6)  # for how long a push service keeps what it cannot deliver; our choice
SHORTEST = timedelta(minutes=1)


@dataclass(frozen=True)
class Parcel:
    """A delivery ready to be sent, and the lease it is sent under.

    Attributes:
        begin_by_s: by the monotonic clock; later the lease may have run out under it.
    """

    delivery: int
    alert: UUID
    way: UUID
    token: UUID
    attempts: int
    expires_at: datetime
    begin_by_s: float
    host: str
    channel: str
    address: Address
    message: Outgoing


def prepare(
    ids: Sequence[int], token: UUID, at: datetime, begin_by_s: float, houses: Houses
) -> list[Parcel]:
    """Parcels of deliveries in hand. One that cannot be prepared is pushed ahead and shown."""
    rows = list(
        Delivery.objects.filter(id__in=ids, lease_token=token)
        .select_related("alert", "way", "person")
        .order_by("id")
    )
    by_workshop: dict[UUID, list[Delivery]] = {}
    for row in rows:
        by_workshop.setdefault(row.alert.workshop_id, []).append(row)
    found: list[Parcel] = []
    for workshop, own in by_workshop.items():
        found += _of_workshop(workshop, own, at, begin_by_s, houses)
    points.reach("send.prepared")
    return sorted(found, key=lambda parcel: ids.index(parcel.delivery))


def _of_workshop(
    workshop: UUID, rows: Sequence[Delivery], at: datetime, begin_by_s: float, houses: Houses
) -> list[Parcel]:
    """All of one workshop at once; where that raises, one by one, so that it holds up nobody."""
    try:
        with transaction.atomic():
            return list(_parcels(rows, at, begin_by_s, houses.of(workshop, at)))
    except Exception as raised:  # noqa: BLE001  whatever it is, the others must go out
        if len(rows) == 1:
            trouble.push_ahead_delivery(rows[0], raised, at)
            return []
    return [
        parcel for row in rows for parcel in _of_workshop(workshop, [row], at, begin_by_s, houses)
    ]


def _parcels(
    rows: Sequence[Delivery], at: datetime, begin_by_s: float, home: House | None
) -> Iterable[Parcel]:
    """What is still to be said goes on; the rest is dropped, put off, or trimmed to what is true."""
    alerts = _locked({row.alert_id for row in rows})
    answers = answers_of(alerts)
    live = []
    for row in rows:
        state = _unwanted(row, alerts[row.alert_id], home, answers, at)
        if state is None:
            live.append(row)
        else:
            _put(row, **state)
    if home is None or not live:
        return
    spoken = speak(home.workshop, [alerts[ident] for ident in {r.alert_id for r in live}], at)
    for ident, told in spoken.items():
        _trim(alerts[ident], told)
    for row in live:
        told = spoken[row.alert_id]
        if told.said is not None:
            alert = alerts[row.alert_id]
            yield _parcel(row, alert, told, home=home, at=at, begin_by_s=begin_by_s)
        elif told.again_at is not None:
            _put(row, state=State.PENDING, next_try_at=told.again_at)
        else:
            _put(row, state=State.SUPERSEDED)


def _locked(ids: Iterable[UUID]) -> dict[UUID, Alert]:
    """The alerts, held while it is decided of which pieces they are true."""
    rows = Alert.objects.filter(id__in=list(ids)).order_by("id").select_for_update()
    return {row.id: row for row in rows}


def _unwanted(
    row: Delivery,
    alert: Alert,
    home: House | None,
    answers: Mapping[UUID, Sequence[Answer]],
    at: datetime,
) -> dict[str, object] | None:
    """What to write where this person is not to be told by this way now; None where they are."""
    if at >= alert.expires_at:
        return {"state": State.EXPIRED}
    if home is None or row.person_id not in home.people:
        return {"state": State.SUPERSEDED}
    told = still_told(alert, home, answers, at)
    taken = told is not None and row.person_id not in told
    if taken or alert.settled_at is not None or row.way.dead_since is not None:
        return {"state": State.SUPERSEDED}
    until = home.lulled.get(row.person_id)
    if until is not None and until > at and not alert.urgent:
        return {"state": State.PENDING, "next_try_at": until}
    return None


def _put(row: Delivery, **values: object) -> None:
    assert row.lease_token is not None
    put(row.id, row.lease_token, **values)


def _trim(alert: Alert, told: Spoken) -> None:
    """An alert speaks of what it is true of; the other pieces are told of when they are ready.

    Once somebody was told it stays as it was told.
    """
    if alert.told_at is not None or told.again_at is not None:
        return
    waits = [] if told.said is None else list(told.waits or alert.waits)
    if set(waits) != set(alert.waits):
        alert.waits = waits
        alert.save(update_fields=["waits"])


def _parcel(
    row: Delivery, alert: Alert, told: Spoken, *, home: House, at: datetime, begin_by_s: float
) -> Parcel:
    assert row.lease_token is not None
    message = composed(told.said, Reader(instant_us(at), home.zone(row.person_id)))
    until = min(told.until or at + WORTH, at + WORTH)
    outgoing = Outgoing(
        title=message.title,
        body=message.body,
        tag=message.tag,
        urgent=message.urgent,
        alert=str(alert.id),
        delivery=row.id,
        link=told.link,
        receipt=links.receipt(row),
        cautions=message.cautions,
        at=at,
        ttl_s=int(max(until - at, SHORTEST).total_seconds()),
    )
    return Parcel(
        delivery=row.id,
        alert=alert.id,
        way=row.way_id,
        token=row.lease_token,
        attempts=row.attempts,
        expires_at=alert.expires_at,
        begin_by_s=begin_by_s,
        host=row.way.host,
        channel=row.way.kind,
        address=Address(row.way.address, row.way.keys),
        message=outgoing,
    )
