"""Lanes: one message at a time to each host, so that one that hangs holds up no other.

At most one send is under way to a host that answers: a process that is killed has then at most
one message of each host sent and not marked. Only where a host keeps us waiting does another
lane to it open, up to four, and never two to one phone.
"""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from uuid import UUID

import structlog

from cureclock.reminders.clock import Clock
from cureclock.reminders.prepare import Parcel

log = structlog.get_logger("cureclock.lanes")

SLOW_S = 1.0  # a send that takes longer no longer counts as the one under way
MOST_OF_A_HOST = 4
MOST_WAITING = 64
LONG_LINE = 16  # of one host: nothing more is claimed for it
SHORT_LINE = 8  # of one host: more is asked for
MOST_THREADS = 32


@dataclass(frozen=True, eq=False)
class UnderWay:
    """A send that has begun."""

    parcel: Parcel
    since_s: float


class Lanes:
    """Threads that carry parcels, each host's in the order they came; made as they are needed.

    Args:
        carry: sends one parcel and marks it.
        clock: the time.
        hungry: called when the line of a host gets short.
        ended: called by each thread as it ends.
    """

    def __init__(
        self,
        carry: Callable[[Parcel], object],
        clock: Clock,
        *,
        hungry: Callable[[], None] = lambda: None,
        ended: Callable[[], None] = lambda: None,
    ) -> None:
        self._carry = carry
        self._clock = clock
        self._hungry = hungry
        self._ended = ended
        self._turn = threading.Condition()
        self._waiting: dict[str, deque[Parcel]] = {}
        self._under_way: dict[str, list[UnderWay]] = {}
        self._idle = 0
        self._stopping = False
        self._threads: list[threading.Thread] = []

    def room(self) -> int:
        """How many more parcels may be put."""
        with self._turn:
            return MOST_WAITING - sum(len(line) for line in self._waiting.values())

    def busy(self) -> set[str]:
        """Hosts for which nothing more is to be claimed: their line is long, or does not move."""
        with self._turn:
            full = {host for host, line in self._waiting.items() if len(line) >= LONG_LINE}
            shut = {host for host, own in self._under_way.items() if len(own) >= MOST_OF_A_HOST}
        return full | shut

    def stuck(self) -> tuple[set[UUID], list[Parcel]]:
        """Ways that keep us waiting, and what stood in line for them: it is handed back."""
        with self._turn:
            under_way = [one for own in self._under_way.values() for one in own]
            slow = {one.parcel.way for one in under_way if self._age_s(one) > SLOW_S}
            left: list[Parcel] = []
            for host, line in list(self._waiting.items()):
                left += [parcel for parcel in line if parcel.way in slow]
                self._waiting[host] = deque(parcel for parcel in line if parcel.way not in slow)
                if not self._waiting[host]:
                    del self._waiting[host]
        return slow, left

    def put(self, parcels: list[Parcel]) -> None:
        """Parcels to carry."""
        with self._turn:
            for parcel in parcels:
                self._waiting.setdefault(parcel.host, deque()).append(parcel)
            self._spare()
            self._turn.notify_all()

    def stop(self, patience_s: float = 12.0) -> list[Parcel]:
        """Finish what is under way; what was not begun is handed back."""
        with self._turn:
            self._stopping = True
            left = [parcel for line in self._waiting.values() for parcel in line]
            self._waiting.clear()
            self._turn.notify_all()
        until = self._clock.monotonic() + patience_s
        for thread in self._threads:
            thread.join(timeout=max(until - self._clock.monotonic(), 0.1))
        return left

    def _spare(self) -> None:
        """While anything waits, one thread has nothing to do: the others may all be kept waiting."""
        if self._idle or not self._waiting or len(self._threads) >= MOST_THREADS:
            return
        name = f"lane-{len(self._threads)}"
        thread = threading.Thread(target=self._work, name=name, daemon=True)
        self._threads.append(thread)
        self._idle += 1
        thread.start()

    def _work(self) -> None:
        while (begun := self._wait()) is not None:
            try:
                self._carry(begun.parcel)
            except Exception:
                log.exception("a parcel was dropped", delivery=begun.parcel.delivery)
            finally:
                self._over(begun)
        self._ended()

    def _wait(self) -> UnderWay | None:
        """The next send that may begin; None at the end."""
        with self._turn:
            begun = self._next()
            while begun is None and not self._stopping:
                self._turn.wait(SLOW_S / 4 if self._waiting else None)
                begun = self._next()
            self._idle -= 1
            self._spare()
            return begun

    def _next(self) -> UnderWay | None:
        """Of the hosts that may have another under way, the one that waited longest."""
        for host, line in list(self._waiting.items()):
            own = self._under_way.get(host, [])
            if len(own) >= MOST_OF_A_HOST or any(self._age_s(one) <= SLOW_S for one in own):
                continue
            ways = {one.parcel.way for one in own}
            parcel = next((one for one in line if one.way not in ways), None)
            if parcel is not None:
                return self._begin(host, line, parcel)
        return None

    def _begin(self, host: str, line: deque[Parcel], parcel: Parcel) -> UnderWay:
        line.remove(parcel)
        if len(line) == SHORT_LINE or not line:
            self._hungry()
        del self._waiting[host]
        if line:
            self._waiting[host] = line  # to the end: hosts take turns
        begun = UnderWay(parcel, self._clock.monotonic())
        self._under_way.setdefault(host, []).append(begun)
        return begun

    def _over(self, begun: UnderWay) -> None:
        host = begun.parcel.host
        with self._turn:
            self._under_way[host].remove(begun)
            self._idle += 1
            if not self._under_way[host]:
                del self._under_way[host]
            self._turn.notify_all()

    def _age_s(self, one: UnderWay) -> float:
        return self._clock.monotonic() - one.since_s
