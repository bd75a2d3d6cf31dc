"""The loop of a dispatcher: a thread fires, one looks, one claims and prepares, lanes send.

Fire never waits for the network, for what is being sent, or for a long look at very many waits.
"""

import threading
from collections.abc import Callable
from datetime import timedelta

import structlog
from django.db import DatabaseError, InterfaceError, connection, connections

from cureclock.reminders import doorbell
from cureclock.reminders.clock import Clock
from cureclock.reminders.dispatch import BATCH
from cureclock.reminders.models import Delivery
from cureclock.reminders.steady import LOOK_AGAIN_S
from cureclock.reminders.writing import take_turns
from cureclock.runtime.lanes import Lanes
from cureclock.runtime.tick import Turn

log = structlog.get_logger("cureclock.loop")

SHORTEST_S, LONGEST_S = 0.005, 0.25  # between two turns
LOOK_S = 2.0  # between two looks, unless the bell rings
BROKEN_S = 0.5  # after the records could not be used


class Loop:
    """Fires, looks and sends until it is stopped.

    Args:
        clock: the time.
        alone: no other dispatcher can be alive: the lock on the records is held.
    """

    def __init__(self, clock: Clock, *, alone: bool) -> None:
        self.clock = clock
        self.alone = alone
        self.turn = Turn(clock)
        self.dispatcher = self.turn.dispatcher
        self._due, self._sendable = threading.Event(), threading.Event()
        self._told = threading.Event()
        self._stopping = threading.Event()
        self._rescue_s = float("-inf")

    def start(self) -> Callable[[], None]:
        """Start the threads; what is returned stops them, and returns when they have ended."""
        if connection.vendor == "sqlite":
            take_turns(threading.Lock())
        self.lanes = Lanes(
            self.dispatcher.carry,
            self.clock,
            hungry=self._sendable.set,
            ended=connections.close_all,
        )
        silence = doorbell.answer(self.wake)
        threads = [
            threading.Thread(target=self._run, args=(turn, bell), name=name, daemon=True)
            for name, turn, bell in (
                ("fire", self.fire_turn, self._due),
                ("look", self.look_turn, self._told),
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
        for bell in (self._due, self._told, self._sendable):
            bell.set()

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
        fired = self.turn.fire()
        if fired is None:
            return LOOK_AGAIN_S
        if fired:
            if self.turn.firing.to_send:
                self.turn.firing.to_send = 0
                self._sendable.set()
            return max(SHORTEST_S - self._renew(), 0.0)
        next_at = self.turn.firing.clocks.next_at
        if next_at is None:
            return LONGEST_S
        rest_s: float = (next_at - self.clock.now()) / timedelta(seconds=1)
        return min(max(rest_s, SHORTEST_S), LONGEST_S)

    def _renew(self) -> float:
        """Use the rest after a turn that fired for what the next will need; how long it took."""
        begun_s = self.clock.monotonic()
        self.turn.firing.renew(self.clock.now())
        return self.clock.monotonic() - begun_s

    def look_turn(self) -> float:
        """Look at what it is time to look at, once the time is known to be right."""
        if self.turn.holding or self.turn.last_at is None:
            return LONGEST_S
        if self.turn.look():
            self._sendable.set()
        return LOOK_S

    def dispatch_turn(self) -> float:
        """Claim what is due and hand it to the lanes; how long to rest."""
        passed_s = self.clock.monotonic()
        if self.turn.holding:
            return LONGEST_S
        if passed_s - self._rescue_s >= 1:
            first = self._rescue_s == float("-inf")
            self.dispatcher.mark_late()
            self.dispatcher.rescue(alone=self.alone and first)
            self._rescue_s = passed_s
        slow, stuck = self.lanes.stuck()
        self.dispatcher.give_back(stuck)
        room = min(self.lanes.room(), BATCH)
        if room <= 0 or not self._anything_due():
            return SHORTEST_S if room <= 0 else LONGEST_S
        parcels = self.dispatcher.take(room, self.lanes.busy(), slow)
        self.lanes.put(parcels)
        return SHORTEST_S if parcels else LONGEST_S

    def _anything_due(self) -> bool:
        pending = Delivery.objects.filter(state=Delivery.State.PENDING)
        return pending.filter(next_try_at__lte=self.clock.now()).exists()
