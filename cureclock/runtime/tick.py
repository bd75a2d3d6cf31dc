"""One turn: fire what is due, look where it is time to look, send what is to be sent."""

from cureclock.reminders.clock import Clock
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.fire import Firing


def tick(clock: Clock, firing: Firing | None = None, dispatcher: Dispatcher | None = None) -> int:
    """Everything a dispatcher does, once, in this thread; how many messages were sent.

    The loop of an `up` or `remind`, and Celery's beat, do no more than this.
    """
    firing = firing or Firing()
    firing.fire_all(clock.now())
    return (dispatcher or Dispatcher(clock, houses=firing.houses)).dispatch()
