"""The loop of a dispatcher: one thread fires and looks, one claims and prepares, lanes send.

Fire never waits for the network, nor for what is being sent.
"""

import os
import socket
import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import uuid4

import structlog
from django.db import DatabaseError, InterfaceError, connection, connections
from django.db.models import Min

from cureclock.reminders import beats, doorbell
from cureclock.reminders.clock import Clock
from cureclock.reminders.dispatch import BATCH, Dispatcher
from cureclock.reminders.fire import Firing
from cureclock.reminders.models import Delivery
from cureclock.reminders.promise import KEPT, Houses
from cureclock.reminders.steady import BEHIND, LOOK_AGAIN_S, Steady
from cureclock.reminders.writing import take_turns
from cureclock.runtime.lanes import Lanes
from cureclock.waits.models import Clock as CureClock

log = structlog.get_logger("cureclock.loop")

SHORTEST_S, LONGEST_S = 0.005, 0.25  # between two turns
BROKEN_S = 0.5  # after the records could not be read


class Loop:
    """Fires, looks and sends until it is stopped.

    Args:
        clock: the time.
        alone: no other dispatcher can be alive: the lock on the records is held.
    """

    def __init__(self, clock: Clock, *, alone: bool, dispatcher: Dispatcher | None = None) -> None:
        self.clock = clock
        self.alone = alone
        self.firing = Firing.lasting()
        self.dispatcher = dispatcher or Dispatcher(clock, houses=Houses(KEPT))
        self.steady = Steady()
        self.boot = uuid4()
        self.name = f"{socket.gethostname()}:{os.getpid()}"
        self._due, self._sendable = threading.Event(), threading.Event()
        self._stopping = threading.Event()
        self._beat_s = self._rescue_s = float("-inf")
        self._newest: datetime | None = None
        self.holding = ""

    def start(self) -> Callable[[], None]:
        """Start the threads; what is returned stops them, and returns when they have ended."""
        self.lanes = Lanes(
            self.dispatcher.carry,
            self.clock,
            hungry=self._sendable.set,
            ended=connections.close_all,
        )
        if connection.vendor == "sqlite":
            take_turns(threading.Lock())
        silence = doorbell.answer(self.wake)
        threads = [
            threading.Thread(target=self._run, args=(turn, bell), name=name, daemon=True)
            for name, turn, bell in (
                ("fire", self.fire_turn, self._due),
                ("dispatch", self.dispatch_turn, self._sendable),
            )
        ]
        for thread in threads:
            thread.start()

        def stop() -> None:
            silence()
            self._stopping.set()
            self.wake()
            for thread in threads:
                thread.join(timeout=10)
            self.dispatcher.give_back(self.lanes.stop())

        return stop

    def wake(self) -> None:
        """Something may be due sooner than was thought."""
        self._due.set()
        self._sendable.set()

    def _run(self, turn: Callable[[], float], bell: threading.Event) -> None:
        while not self._stopping.is_set():
            bell.clear()
            try:
                rest_s = turn()
            except (DatabaseError, InterfaceError) as failed:
                log.error("the records cannot be used", why=str(failed).strip()[:200])
                connection.close()
                rest_s = BROKEN_S
            except Exception:
                log.exception("a turn failed")
                rest_s = BROKEN_S
            bell.wait(rest_s)
        connection.close()

    def fire_turn(self) -> float:
        """Fire what is due; how long to rest."""
        at = self.clock.now()
        self.holding = self._beat(at, self.clock.monotonic())
        if self.holding:
            return LOOK_AGAIN_S
        if self.firing.fire_all(at):
            self._sendable.set()
        next_at = CureClock.objects.aggregate(next_at=Min("next_due_at"))["next_at"]
        if next_at is None:
            return LONGEST_S
        rest_s: float = (next_at - self.clock.now()) / timedelta(seconds=1)
        return min(max(rest_s, SHORTEST_S), LONGEST_S)

    def _beat(self, at: datetime, passed_s: float) -> str:
        """Leave a sign of life every other second; why the time cannot be believed, if so."""
        due = passed_s - self._beat_s > beats.EVERY_S
        if due:
            self._newest = beats.newest_of_others(self.boot)
            self._beat_s = passed_s
        doubt = self.steady.doubt(at, passed_s, self._newest)
        if due or doubt != self.holding:
            # One from a past that is not believed would be no sign of life.
            known = self._newest if doubt == BEHIND else None
            beats.beat(self.name, self.boot, known or at, doubt)
        if doubt:
            log.error("holding fire", why=doubt, now=at.isoformat())
        return doubt

    def dispatch_turn(self) -> float:
        """Claim what is due and hand it to the lanes; how long to rest."""
        passed_s = self.clock.monotonic()
        if self.holding:
            return LONGEST_S
        if passed_s - self._rescue_s >= 1:
            first = self._rescue_s == float("-inf")
            self.dispatcher.mark_late()
            self.dispatcher.rescue(alone=self.alone and first)
            self._rescue_s = passed_s
        room = min(self.lanes.room(), BATCH)
        if room <= 0 or not self._anything_due():
            return SHORTEST_S if room <= 0 else LONGEST_S
        parcels = self.dispatcher.take(room, self.lanes.busy())
        self.lanes.put(parcels)
        return SHORTEST_S if parcels else LONGEST_S

    def _anything_due(self) -> bool:
        pending = Delivery.objects.filter(state=Delivery.State.PENDING)
        return pending.filter(next_try_at__lte=self.clock.now()).exists()
