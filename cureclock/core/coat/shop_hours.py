"""Hands through shop hours: when a job of some minutes can begin, and by when it has to."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused
from cureclock.core.wood.entry import moment_us, rising_us

Ints = NDArray[np.int64]

NEVER = np.iinfo(np.int64).max
NO_LONGER = np.iinfo(np.int64).min


@dataclass(frozen=True)
class ShopHours:
    """The spells in which someone is in the shop.

    Args:
        open_us: beginnings [us], rising.
        close_us: ends [us], each after its beginning and not after the next one.

    Raises:
        Refused: spells that are empty, overlap or do not pair.

    Example:
        >>> hour = 3_600_000_000
        >>> hours = ShopHours([8 * hour, 32 * hour], [18 * hour, 42 * hour])
        >>> hours.earliest_start(17 * hour, 2 * hour) // hour
        32
        >>> hours.latest_start(33 * hour, 2 * hour) // hour
        16
    """

    open_us: ArrayLike
    close_us: ArrayLike

    def __post_init__(self) -> None:
        opens, closes = rising_us(self.open_us, "opening hours"), rising_us(self.close_us, "closes")
        if len(opens) != len(closes) or np.any(closes <= opens) or np.any(opens[1:] < closes[:-1]):
            raise Refused("shop hours", f"{len(opens)} spells", "each ends before the next begins")
        object.__setattr__(self, "open_us", opens)
        object.__setattr__(self, "close_us", closes)

    def earliest_start(self, from_us: int, hands_us: int) -> int:
        """First moment [us] at or after `from_us` at which the job can begin and be ended before
        the shop closes; NEVER if none is left.
        """
        start = np.maximum(np.asarray(self.open_us), moment_us(from_us))
        fits = start <= np.asarray(self.close_us) - moment_us(hands_us)
        return int(start[np.argmax(fits)]) if fits.any() else NEVER

    def latest_start(self, by_us: int, hands_us: int) -> int:
        """Last moment [us] at which the job can begin and be ended by `by_us` and before the
        shop closes; NO_LONGER if none is left.
        """
        start = np.minimum(np.asarray(self.close_us), moment_us(by_us)) - moment_us(hands_us)
        fits = np.flatnonzero(start >= np.asarray(self.open_us))
        return int(start[fits[-1]]) if len(fits) else NO_LONGER


@dataclass(frozen=True)
class ReadyTable:
    """When a wait begun at a moment is over, from a place's cure clock, by start.

    Args:
        start_us: starts [us], rising.
        ready_us: when a wait begun then is over [us], never before its start, never falling.

    Raises:
        Refused: moments that do not rise, fall or pair as said.

    Example:
        >>> table = ReadyTable([0, 100], [80, 180])
        >>> table.ready(50), table.latest(150)
        (130, 70)
    """

    start_us: ArrayLike
    ready_us: ArrayLike

    def __post_init__(self) -> None:
        start = rising_us(self.start_us, "starts of the wait")
        ready = np.atleast_1d(np.asarray(self.ready_us))
        if ready.dtype.kind != "i" or ready.shape != start.shape:
            raise Refused("ends of the wait", f"{ready.size}", "whole microseconds, one per start")
        if np.any(ready < start) or np.any(ready[1:] < ready[:-1]):
            raise Refused("ends of the wait", "as given", "after their starts and never falling")
        object.__setattr__(self, "start_us", start)
        object.__setattr__(self, "ready_us", ready.astype(np.int64))

    def ready(self, start_us: int) -> int:
        """When a wait begun at `start_us` is over [us], rounded up; NEVER outside the table."""
        starts, ready = np.asarray(self.start_us), np.asarray(self.ready_us)
        start_us = moment_us(start_us)
        if not starts[0] <= start_us <= starts[-1]:
            return NEVER
        after = int(np.searchsorted(starts, start_us, side="left"))
        if starts[after] == start_us:
            return int(ready[after])
        span = int(starts[after] - starts[after - 1])
        risen = (start_us - int(starts[after - 1])) * int(ready[after] - ready[after - 1])
        return int(ready[after - 1]) - (-risen // span)

    def latest(self, by_us: int) -> int:
        """Last start [us] whose wait is over by `by_us`; NO_LONGER where even the first is not."""
        starts, ready = np.asarray(self.start_us), np.asarray(self.ready_us)
        by_us = moment_us(by_us)
        after = int(np.searchsorted(ready, by_us, side="right"))
        if after == 0:
            return NO_LONGER
        if after == len(ready):
            return int(starts[-1])
        rise = int(ready[after] - ready[after - 1])
        gone = (by_us - int(ready[after - 1])) * int(starts[after] - starts[after - 1])
        return int(starts[after - 1]) + gone // rise
