"""From deliveries in hand to parcels: what is said is looked up anew, what is untrue is dropped."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db import DatabaseError, InterfaceError

from cureclock.core.reminding.compose import alert as composed
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.who import Answer
from cureclock.core.units import instant_us
from cureclock.core.wording.times import Reader
from cureclock.reminders import links, points, trouble
from cureclock.reminders.answers import answers_of, still_told
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.kinds import TEST
from cureclock.reminders.leases import put
from cureclock.reminders.models import Delivery
from cureclock.reminders.people import House
from cureclock.reminders.promise import Houses
from cureclock.reminders.speech.registry import speak
from cureclock.reminders.speech.spoken import Spoken
from cureclock.reminders.trim import Trim, trim_of
from cureclock.reminders.writing import writing

State = Delivery.State
WORTH = timedelta(hours=6)  # for how long a push service keeps what it cannot deliver; our choice
SHORTEST = timedelta(minutes=1)


@dataclass(frozen=True)
class Parcel:
    """A delivery ready to be sent, and the lease it is sent under.

    Attributes:
        begin_by_s: by the monotonic clock; later the lease may have run out under it.
        look: somebody else is rung when nobody answers.
        listed: alerts that are told by this one, a list.
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
    look: bool = False
    listed: tuple[UUID, ...] = ()


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
        decided = _decide(rows, houses.of(workshop, at), at, begin_by_s)
        return decided.written()
    except (DatabaseError, InterfaceError):
        raise  # the records are away: nobody's fault
    except Exception as raised:  # noqa: BLE001  whatever it is, the others must go out
        if len(rows) == 1:
            trouble.push_ahead_delivery(rows[0], raised, at)
            return []
    return [
        parcel for row in rows for parcel in _of_workshop(workshop, [row], at, begin_by_s, houses)
    ]


@dataclass
class Decided:
    """What goes on, what is dropped or put off, and which alerts speak of fewer pieces now.

    It is decided without a lock and written under one, in as short a transaction as can be.
    """

    parcels: list[Parcel] = field(default_factory=list)
    puts: list[tuple[Delivery, dict[str, object]]] = field(default_factory=list)
    trims: list[Trim] = field(default_factory=list)

    def written(self) -> list[Parcel]:
        """The parcels that still hold once all is written."""
        if not self.puts and not self.trims:
            return self.parcels
        with writing():
            changed = {trim.alert for trim in self.trims if not trim.write()}
            for row, values in self.puts:
                again = {"state": State.PENDING} if row.alert_id in changed else values
                _put(row, **again)
            for parcel in self.parcels:
                if parcel.alert in changed:
                    put(parcel.delivery, parcel.token, state=State.PENDING)
        return [parcel for parcel in self.parcels if parcel.alert not in changed]


def _decide(
    rows: Sequence[Delivery], home: House | None, at: datetime, begin_by_s: float
) -> Decided:
    """What is still to be said goes on; the rest is dropped, put off, or trimmed to what is true."""
    decided = Decided()
    answers = answers_of({row.alert_id for row in rows})
    live = []
    for row in rows:
        values = _unwanted(row, home, answers, at)
        if values is None:
            live.append(row)
        else:
            decided.puts.append((row, values))
    if home is None or not live:
        return decided
    alerts = {row.alert_id: row.alert for row in live}
    spoken, facts = speak(home.workshop, list(alerts.values()), at)
    decided.trims = [
        trim
        for ident, told in spoken.items()
        if (trim := trim_of(alerts[ident], told, facts)) is not None
    ]
    for row in live:
        told = spoken[row.alert_id]
        if told.said is not None:
            decided.parcels.append(_parcel(row, told, home=home, at=at, begin_by_s=begin_by_s))
        elif told.again_at is not None:
            values = {"state": State.PENDING, "next_try_at": told.again_at}
            decided.puts.append((row, values))
        else:
            decided.puts.append((row, {"state": State.SUPERSEDED}))
    return decided


def _unwanted(
    row: Delivery, home: House | None, answers: Mapping[UUID, Sequence[Answer]], at: datetime
) -> dict[str, object] | None:
    """What to write where this person is not to be told by this way now; None where they are."""
    alert = row.alert
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


def _parcel(row: Delivery, told: Spoken, *, home: House, at: datetime, begin_by_s: float) -> Parcel:
    alert = row.alert
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
        answers=links.answers_to(row, alert, at),
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
        look=alert.urgent and alert.kind not in (Kind.RAGS, TEST),
        listed=told.listed,
    )
