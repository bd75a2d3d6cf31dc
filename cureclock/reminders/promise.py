"""Writing down a promise: an alert once, and a delivery for each way of each person told."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.reminders import people
from cureclock.reminders.kinds import rings_at_any_hour
from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.people import AFTER_LIST, LIST, House, When

KEPT = timedelta(seconds=2)  # how long the people of a workshop are used again
EXPIRES = timedelta(days=7)  # nothing is tried for longer; what stays true is told in lists


@dataclass(frozen=True)
class Promise:
    """An alert to write, when it is to be told, and to whom where that is not everybody.

    Attributes:
        at: from when it is to be told.
        whens: whom to tell and from when; None for whoever it concerns.
        held: it is late, and told in a list.
    """

    alert: Alert
    at: datetime
    whens: tuple[When, ...] | None = None
    held: bool = False


class Houses:
    """The people of workshops, loaded once, and for a long-lived dispatcher again each second."""

    def __init__(self, kept: timedelta = timedelta()) -> None:
        self._for = kept
        self._houses: dict[UUID, tuple[datetime, House | None]] = {}

    def of(self, workshop: UUID, at: datetime) -> House | None:
        """The people of a workshop at an instant."""
        self.know([workshop], at)
        return self._houses[workshop][1]

    def know(self, workshops: Iterable[UUID], at: datetime) -> None:
        """Load the people of workshops that are not known, or not lately, all of them at once."""
        wanted = {one for one in workshops if not self._is_known(one, at)}
        if wanted:
            kept = {one: told for one, told in self._houses.items() if self._is_known(one, at)}
            found = people.houses(wanted, at)
            self._houses = kept | {one: (at, home) for one, home in found.items()}

    def renew(self, at: datetime) -> None:
        """Load anew, between two turns, who is about to be known too long."""
        old = [one for one, (since, _) in self._houses.items() if at - since > self._for / 2]
        if old:
            self._houses = {one: told for one, told in self._houses.items() if one not in old}
            self.know(old, at)

    def _is_known(self, workshop: UUID, at: datetime) -> bool:
        known = self._houses.get(workshop)
        return known is not None and timedelta() <= at - known[0] <= self._for


def write(promises: Sequence[Promise], at: datetime, houses: Houses) -> int:
    """Write alerts and their deliveries inside the caller's transaction; how many deliveries.

    The constraint on alerts refuses a second one of the same thing: the transaction then fails
    whole, and whoever was first has told it.
    """
    if not promises:
        return 0
    Alert.objects.bulk_create([promise.alert for promise in promises])
    houses.know({promise.alert.workshop_id for promise in promises}, at)
    hearing = _remembered(at, houses)
    deliveries = [one for promise in promises for one in _deliveries(promise, hearing)]
    return len(Delivery.objects.bulk_create(deliveries))


Hearing = Callable[[Promise], tuple[House | None, tuple[When, ...]]]


def _remembered(at: datetime, houses: Houses) -> Hearing:
    """Who hears of a promise; asked once for all of one workshop, urgency and instant."""
    known: dict[tuple[object, ...], tuple[House | None, tuple[When, ...]]] = {}

    def hearing(promise: Promise) -> tuple[House | None, tuple[When, ...]]:
        alert = promise.alert
        tell = max(promise.at, at)
        key = (alert.workshop_id, alert.urgent, tell)
        if promise.whens is not None:
            return houses.of(alert.workshop_id, at), promise.whens
        if key not in known:
            home = houses.of(alert.workshop_id, at)
            told = home.told(alert.kind, alert.gate, tell) if home else ()
            known[key] = home, told
        return known[key]

    return hearing


def _deliveries(promise: Promise, hearing: Hearing) -> Iterable[Delivery]:
    home, whens = hearing(promise)
    if promise.held:
        whens = tuple(When(one.person, promise.at + AFTER_LIST, LIST) for one in whens)
    return () if home is None else _to(promise.alert, whens, home, promise.at)


def deliver(alert: Alert, whens: Iterable[When], home: House) -> None:
    """Deliveries of an alert to more people; by a way it goes already it goes once."""
    Delivery.objects.bulk_create(_to(alert, whens, home), ignore_conflicts=True)


def _to(
    alert: Alert, whens: Iterable[When], home: House, at: datetime | None = None
) -> Iterable[Delivery]:
    for when in whens:
        for way in home.ways.get(when.person, ()):
            yield Delivery(
                alert=alert,
                way=way,
                person_id=when.person,
                urgent=alert.urgent,
                held=when.held,
                next_try_at=when.at if at is None else max(when.at, at),
            )


def alert(
    *,
    workshop: UUID,
    about: UUID,
    subject: str,
    kind: str,
    due_at: datetime,
    at: datetime,
    gate: str = "",
    seq: int = 0,
    waits: Iterable[UUID] = (),
    said: Mapping[str, object] | None = None,
) -> Alert:
    """A new alert, not yet written."""
    return Alert(
        workshop_id=workshop,
        about=about,
        subject=subject,
        gate=gate,
        kind=kind,
        seq=seq,
        waits=[str(wait) for wait in waits],
        said=dict(said or {}),
        urgent=rings_at_any_hour(kind, gate),
        due_at=due_at,
        made_at=at,
        expires_at=at + EXPIRES,
    )
