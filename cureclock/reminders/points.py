"""Named points between the steps of a promise, so that a test can stop the world at each."""

from collections.abc import Callable

POINTS = (
    "fire.marked",  # gates are marked, no alert yet
    "fire.promised",  # alerts and deliveries are written, not committed
    "fire.committed",
    "send.claimed",  # leases are committed
    "send.prepared",
    "send.accepted",  # the mailbox or push service took it, nothing is marked
    "send.marked",
    "verb.settled",  # a fact and what it does to estimates are written, no promise yet
    "verb.followed",  # what followed is written, not committed
)

_listeners: list[Callable[[str], None]] = []


def reach(point: str) -> None:
    """Say that a point was reached; nobody listens but a test."""
    for listen in _listeners:
        listen(point)


def listen(listener: Callable[[str], None]) -> Callable[[], None]:
    """Be told of every point; what is returned ends it."""
    _listeners.append(listener)
    return lambda: _listeners.remove(listener)
