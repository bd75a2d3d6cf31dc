"""One turn: fire what is due, look where it is time to look, send what is to be sent."""

import os
import socket
from datetime import datetime
from uuid import uuid4

import structlog

from cureclock.reminders import beats, outage
from cureclock.reminders.clock import Clock
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.fire import Firing
from cureclock.reminders.looks import Looking
from cureclock.reminders.promise import KEPT, Houses
from cureclock.reminders.steady import BEHIND, Steady

log = structlog.get_logger("cureclock.tick")


class Turn:
    """What a dispatcher does, over and over; one for each process that does it.

    Args:
        clock: the time.
        dispatcher: sends; made where none is given.
    """

    def __init__(self, clock: Clock, dispatcher: Dispatcher | None = None) -> None:
        self.clock = clock
        self.firing = Firing(houses=Houses(KEPT))
        self.looking = Looking(Houses(KEPT))
        self.dispatcher = dispatcher or Dispatcher(clock, houses=Houses(KEPT))
        self.steady = Steady()
        self.boot = uuid4()
        self.name = f"{socket.gethostname()}:{os.getpid()}"
        self.holding = ""
        self.last_at: datetime | None = None  # of the last turn that fired
        self._newest: datetime | None = None
        self._beat_s = float("-inf")

    def tick(self) -> int:
        """Everything, once, in this thread; how many messages were sent."""
        if self.fire() is None:
            return 0
        self.look()
        return self.dispatcher.dispatch()

    def fire(self) -> int | None:
        """What has come due becomes alerts; None while the time cannot be believed."""
        at = self.clock.now()
        since = self._silent_since(at)
        self.holding = self._beat(at, self.clock.monotonic())
        if self.holding:
            return None
        self.firing.summed_until = None if since is None else at
        fired = self.firing.fire_all(at)
        if since is not None:
            log.warning("nothing was sent since", since=since.isoformat())
            outage.sum_up(since, at, self.firing.houses)
        self.last_at = at
        return fired

    def look(self) -> int:
        """What it is time to look at."""
        return self.looking.look(self.clock.now())

    def _silent_since(self, at: datetime) -> datetime | None:
        """Since when nobody has fired, if that is an outage; asked first, and after a long pause."""
        if self.last_at is not None and at - self.last_at <= outage.GAP:
            return None
        return outage.ended(at)

    def _beat(self, at: datetime, passed_s: float) -> str:
        """Leave a sign of life every other second; why the time cannot be believed, if so."""
        due = passed_s - self._beat_s > beats.EVERY_S
        if due:
            known = (self._newest, beats.newest_of_others(self.boot))
            self._newest = max((one for one in known if one is not None), default=None)
            self._beat_s = passed_s
        doubt = self.steady.doubt(at, passed_s, self._newest)
        if due or doubt != self.holding:
            # One from a past that is not believed would be no sign of life.
            believed = self._newest if doubt == BEHIND else None
            beats.beat(self.name, self.boot, believed or at, doubt)
        if doubt:
            log.error("holding fire", why=doubt, now=at.isoformat())
        return doubt


def tick(clock: Clock) -> int:
    """A single turn by itself; how many messages were sent."""
    return Turn(clock).tick()
