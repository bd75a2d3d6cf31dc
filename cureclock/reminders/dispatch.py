"""Dispatch: claim, prepare, send, mark. Nothing is sent inside a transaction."""

from collections.abc import Collection, Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import structlog
from django.db import DatabaseError, InterfaceError, connection
from django.db.models import F

from cureclock.core.reminding.who import SECOND_US
from cureclock.reminders import leases, points
from cureclock.reminders.channels.message import Channel
from cureclock.reminders.channels.registry import CHANNELS
from cureclock.reminders.clock import Clock
from cureclock.reminders.fallback import tell_others
from cureclock.reminders.models import Alert, Delivery, Way
from cureclock.reminders.outcome import Accepted, Fault, Gone, Outcome, TryAgain, next_try
from cureclock.reminders.prepare import Parcel, prepare
from cureclock.reminders.promise import Houses
from cureclock.reminders.writing import writing

log = structlog.get_logger("cureclock.reminders")

State = Delivery.State
SECOND = timedelta(microseconds=SECOND_US)
BATCH = 16  # deliveries taken at once: few enough that what was looked up is still true


class Dispatcher:
    """Sends what is due. One for each process; it remembers what it sent and could not mark."""

    def __init__(
        self,
        clock: Clock,
        channels: Mapping[str, Channel] = CHANNELS,
        houses: Houses | None = None,
    ) -> None:
        self.clock = clock
        self.channels = channels
        self.houses = houses or Houses()
        self.unmarked: dict[int, tuple[Parcel, Accepted]] = {}
        self.in_hand: set[int] = set()  # taken and not yet marked
        self._served: set[UUID] = set()  # ways that filled a batch since all had their turn

    def dispatch(self) -> int:
        """Everything that is due, one after the other, in this thread; how many were sent."""
        sent = 0
        self.mark_late()
        self.rescue()
        while parcels := self.take(BATCH):
            for parcel in parcels:
                sent += self.carry(parcel)
        return sent

    def rescue(self, *, alone: bool = False) -> int:
        """Put back what a dead dispatcher had in hand."""
        return leases.rescue(self.clock.now(), in_hand=self.in_hand, alone=alone)

    def take(
        self, most: int, busy: Collection[str] = (), slow: Collection[UUID] = ()
    ) -> list[Parcel]:
        """Claim what is due and prepare it; busy hosts and slow ways are left alone.

        Ways with a long queue take turns with the others.
        """
        at, begun_s = self.clock.now(), self.clock.monotonic()
        token, ids = leases.claim(at, most, hosts=busy, ways={*slow, *self._served})
        if not ids and self._served:
            self._served.clear()
            token, ids = leases.claim(at, most, hosts=busy, ways=slow)
        if not ids:
            return []
        fresh = [ident for ident in ids if not self._known(ident, token)]
        begin_by_s = begun_s + leases.LEASE_S * leases.USED
        parcels = prepare(fresh, token, at, begin_by_s, self.houses)
        ways = {parcel.way for parcel in parcels}
        if len(ways) == 1 and len(ids) == most:
            self._served |= ways
        self.in_hand |= {parcel.delivery for parcel in parcels}
        return parcels

    def _known(self, ident: int, token: UUID) -> bool:
        """Already sent and not marked: mark it, never send it again."""
        if ident not in self.unmarked:
            return False
        parcel, outcome = self.unmarked.pop(ident)
        self._write(ident, token, parcel, outcome)
        return True

    def carry(self, parcel: Parcel) -> bool:
        """Send one parcel and mark it; given back if its lease may run out meanwhile."""
        if self.clock.monotonic() > parcel.begin_by_s:
            self.give_back([parcel])
            return False
        try:
            outcome = self._send(parcel)
            points.reach("send.accepted")
            self._mark(parcel, outcome)
        finally:
            self.in_hand.discard(parcel.delivery)
        points.reach("send.marked")
        return isinstance(outcome, Accepted)

    def _send(self, parcel: Parcel) -> Outcome:
        channel = self.channels.get(parcel.channel)
        if channel is None:
            return Fault(None, "no such channel here")
        try:
            return channel.send(parcel.address, parcel.message, self.clock)
        except Exception as raised:  # noqa: BLE001  a channel's defect is an outcome like any other
            log.error("a channel raised", channel=parcel.channel, why=type(raised).__name__)
            return TryAgain(None, type(raised).__name__)

    def _mark(self, parcel: Parcel, outcome: Outcome) -> None:
        """Write what became of it. What was sent and cannot be marked is remembered."""
        try:
            self._write(parcel.delivery, parcel.token, parcel, outcome)
        except (DatabaseError, InterfaceError) as failed:
            log.error("not marked", delivery=parcel.delivery, why=type(failed).__name__)
            if isinstance(outcome, Accepted):
                self.unmarked[parcel.delivery] = parcel, outcome
            connection.close()

    def mark_late(self) -> None:
        """Mark what was sent while the records could not be written."""
        for ident, (parcel, outcome) in list(self.unmarked.items()):
            if not self._write(ident, parcel.token, parcel, outcome):
                # Put back meanwhile and taken by nobody yet: it was sent all the same.
                waiting = Delivery.objects.filter(id=ident, state=State.PENDING)
                with writing():
                    waiting.update(**_values(outcome, parcel, self.clock.now()))
            self.unmarked.pop(ident, None)

    def _write(self, ident: int, token: UUID, parcel: Parcel, outcome: Outcome) -> bool:
        at = self.clock.now()
        with writing():
            mine = leases.put(
                ident, token, attempts=F("attempts") + 1, **_values(outcome, parcel, at)
            )
            if mine and isinstance(outcome, Accepted):
                _told(parcel, at)
            if mine and isinstance(outcome, Gone):
                dead = Way.objects.filter(id=parcel.way, dead_since=None)
                dead.update(dead_since=at, dead_why=outcome.why)
            if mine and isinstance(outcome, Gone | Fault):
                tell_others(parcel.alert, parcel.delivery, at, self.houses)
        if isinstance(outcome, Fault):
            log.error("refused", channel=parcel.channel, status=outcome.status, why=outcome.why)
        return mine

    def give_back(self, parcels: Collection[Parcel]) -> None:
        """Put back what was taken and not begun: this process ends."""
        for parcel in parcels:
            leases.give_back([parcel.delivery], parcel.token)
            self.in_hand.discard(parcel.delivery)


def _told(parcel: Parcel, at: datetime) -> None:
    """An alert is told once its first way took it; a list tells those it names as well."""
    look = {"look_at": at + SECOND} if parcel.look else {}
    Alert.objects.filter(id=parcel.alert, told_at=None).update(told_at=at, **look)
    if parcel.listed:
        Alert.objects.filter(id__in=parcel.listed, told_at=None).update(told_at=at)
        same = Delivery.objects.filter(alert__in=parcel.listed, way=parcel.way)
        same.filter(state=State.PENDING).update(state=State.SUPERSEDED)


def _values(outcome: Outcome, parcel: Parcel, at: datetime) -> dict[str, Any]:
    """What is written of an outcome."""
    told = {"status": outcome.status, "error": outcome.why[:200]}
    if isinstance(outcome, Accepted):
        return {**told, "state": State.SENT, "sent_at": at}
    if isinstance(outcome, TryAgain):
        again = next_try(parcel.attempts + 1, at, outcome.after_s)
        if again >= parcel.expires_at:
            return {**told, "state": State.EXPIRED}
        return {**told, "state": State.PENDING, "next_try_at": again}
    return {**told, "state": State.DEAD}
